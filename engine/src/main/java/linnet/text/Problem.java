package linnet.text;

/** Something wrong at a place, said with its remedy. */
public record Problem(Span at, String message) {
    private static final int WIDEST = 120;

    /** The place and message, then the source line and a caret under the word. */
    public String show() {
        String line = at.source().line(at.line()).replace('\t', ' ');
        String head = at + ": " + printable(message);
        if (line.isBlank()) return head;
        // A very long line is shown around the place, so that the caret stays in sight.
        int from = at.column() <= WIDEST ? 0 : at.column() - 1 - WIDEST / 2;
        String shown = printable(line.substring(Math.min(from, line.length()), Math.min(line.length(), from + WIDEST)));
        int marks = Math.max(1, Math.min(at.length(), shown.length() - (at.column() - 1 - from)));
        return head + "\n    " + shown + "\n    " + " ".repeat(Math.max(0, at.column() - 1 - from)) + "^".repeat(marks);
    }

    /** Control characters would let a text move the reader's cursor. */
    private static String printable(String text) {
        return text.replaceAll("\\p{Cntrl}", "·");
    }
}
