package linnet.cli;

import java.io.PrintWriter;

/** Standard output of a command that knows whether anything was said there: a script that asks for JSON gets one object, be it the answer or the fault. */
final class Answer extends PrintWriter {
    private boolean begun;

    Answer(PrintWriter to) {
        super(to, true);
    }

    boolean isBegun() {
        return begun;
    }

    @Override
    public void write(int c) {
        begun = true;
        super.write(c);
    }

    @Override
    public void write(char[] text, int from, int n) {
        begun = true;
        super.write(text, from, n);
    }

    @Override
    public void write(String text, int from, int n) {
        begun = true;
        super.write(text, from, n);
    }
}
