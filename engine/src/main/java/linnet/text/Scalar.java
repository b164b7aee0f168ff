package linnet.text;

import java.util.regex.Pattern;

/** A text as a scalar of YAML 1.2, on one line, from which it is read back. */
public final class Scalar {
    /** Nothing that means more than itself, wherever it stands; fewer than there are. */
    private static final Pattern PLAIN = Pattern.compile("[\\p{L}\\p{N}](?:[\\p{L}\\p{M}\\p{N} ._/+'-]*[\\p{L}\\p{M}\\p{N}._/+'-])?");

    private Scalar() {}

    /** Plain where that is safe, as a person would write it, else in quotes. */
    public static String of(String text) {
        return PLAIN.matcher(text).matches() ? text : quoted(text);
    }

    /** Double-quoted, as in section 7.3.1. */
    public static String quoted(String text) {
        StringBuilder out = new StringBuilder("\"");
        text.codePoints().forEach(c -> {
            if (c == '"' || c == '\\') out.append('\\').appendCodePoint(c);
            else if (isShown(c)) out.appendCodePoint(c);
            // Half a character cannot be told by any escape.
            else if (Character.getType(c) == Character.SURROGATE) out.append('\uFFFD');
            else out.append(String.format("\\u%04x", c));
        });
        return out.append('"').toString();
    }

    /** Whether a character can stand in a line of text as it is, and is no mark of the order of bytes. */
    public static boolean isShown(int c) {
        return !Character.isISOControl(c) && c != 0x2028 && c != 0x2029 && c != 0xFEFF && c != 0xFFFE && c != 0xFFFF
                && Character.getType(c) != Character.SURROGATE;
    }
}
