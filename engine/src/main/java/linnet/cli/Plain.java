package linnet.cli;

import java.io.FilterWriter;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.Writer;

/**
 * What goes to a terminal, without signs that would move its cursor, ring its bell or turn the direction of a line: names in texts and sounds are a
 * stranger's. Colours, which the help has, pass.
 */
final class Plain extends FilterWriter {
    private static final char ESCAPE = 0x1B;

    /** What came of a sequence that may become a colour. */
    private final StringBuilder begun = new StringBuilder();

    Plain(Writer to) {
        super(to);
    }

    @Override
    public void write(int c) throws IOException {
        char sign = (char) c;
        if (begun.length() == 0) {
            if (sign == ESCAPE) begun.append(sign);
            else out.write(isUnseen(sign) ? '·' : sign);
            return;
        }
        boolean parameter = begun.length() == 1 ? sign == '[' : Character.digit(sign, 10) >= 0 && sign < 0x80 || sign == ';';
        if (parameter) {
            begun.append(sign);
        } else if (sign == 'm' && begun.length() > 1) {
            out.write(begun.append(sign).toString());
            begun.setLength(0);
        } else {
            giveUp();
            write(c);
        }
    }

    private void giveUp() throws IOException {
        if (begun.length() == 0) return;
        out.write('·');
        out.write(begun.substring(1));
        begun.setLength(0);
    }

    private static boolean isUnseen(char c) {
        return Character.isISOControl(c) && c != '\n' && c != '\r' && c != '\t' || c >= '\u202a' && c <= '\u202e' || c >= '\u2066' && c <= '\u2069';
    }

    @Override
    public void write(char[] signs, int from, int n) throws IOException {
        write(new String(signs, from, n), 0, n);
    }

    /** What can be seen goes on in one piece, as nearly all does. */
    @Override
    public void write(String text, int from, int n) throws IOException {
        int end = from + n;
        for (int at = from; at < end; at++) {
            int seen = at;
            while (begun.length() == 0 && seen < end && text.charAt(seen) != ESCAPE && !isUnseen(text.charAt(seen))) seen++;
            if (seen > at) out.write(text, at, seen - at);
            if (seen < end) write(text.charAt(seen));
            at = seen;
        }
    }

    @Override
    public void flush() throws IOException {
        giveUp();
        out.flush();
        // A print writer keeps to itself that nobody reads any more.
        if (out instanceof PrintWriter to && to.checkError()) throw new IOException("nothing can be written");
    }

    @Override
    public void close() throws IOException {
        giveUp();
        out.close();
    }
}
