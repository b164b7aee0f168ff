package linnet.text;

/** Something wrong at a place, said with its remedy. */
public record Problem(Span at, String message) {
    private static final int WIDEST = 120;

    /** The place and message, then the source line and a caret under the word. */
    public String show() {
        String line = at.source().line(at.line()).replace('\t', ' ');
        String head = at + ": " + printable(message);
        if (line.isBlank()) return head;
        // In characters, of which a code point may have two.
        int column = line.offsetByCodePoints(0, Math.min(at.column() - 1, line.codePointCount(0, line.length())));
        // A very long line is shown around the place, so that the caret stays in sight.
        int from = column < WIDEST ? 0 : column - WIDEST / 2;
        String shown = printable(line.substring(Math.min(from, line.length()), Math.min(line.length(), from + WIDEST)));
        int marks = Math.max(1, Math.min(at.length(), shown.length() - (column - from)));
        return head + "\n    " + shown + "\n    " + " ".repeat(column - from) + "^".repeat(marks);
    }

    /** Control characters would let a text move the reader's cursor, end a line, or turn the direction of what follows. */
    private static String printable(String text) {
        return text.replaceAll("[\\p{Cc}\\p{Zl}\\p{Zp}\\u202A-\\u202E\\u2066-\\u2069]", "·");
    }
}
