package linnet.cli;

import java.io.FilterOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.util.Locale;

/** Standard output that remembers why it failed, where a print stream only knows that it did. */
final class Output extends FilterOutputStream {
    private IOException failure;

    Output(OutputStream to) {
        super(to);
    }

    @Override
    public void write(byte[] bytes, int from, int n) throws IOException {
        try {
            out.write(bytes, from, n);
        } catch (IOException e) {
            failure = e;
            throw e;
        }
    }

    /** A reader that has seen enough and closed the pipe misses nothing; anyone else does. */
    boolean isIncomplete() {
        return failure != null && !reason().toLowerCase(Locale.ROOT).contains("pipe");
    }

    String reason() {
        return String.valueOf(failure.getMessage());
    }
}
