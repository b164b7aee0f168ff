package linnet.report;

import java.nio.charset.StandardCharsets;
import java.util.Locale;

/** Any text as the content of an HTML element or attribute. */
final class HtmlText {
    private HtmlText() {}

    /** Shown, never obeyed: what HTML would read as a sign is named, what it cannot hold becomes U+FFFD. */
    static String escaped(String text) {
        StringBuilder out = new StringBuilder(text.length() + 16);
        text.codePoints().forEach(c -> {
            switch (c) {
                case '<' -> out.append("&lt;");
                case '>' -> out.append("&gt;");
                case '&' -> out.append("&amp;");
                case '"' -> out.append("&quot;");
                case '\'' -> out.append("&#39;");
                case '\n', '\t' -> out.append(' ');
                default -> out.appendCodePoint(isShown(c) ? c : 0xFFFD);
            }
        });
        return out.toString();
    }

    private static boolean isShown(int c) {
        return !Character.isISOControl(c) && Character.getType(c) != Character.SURROGATE;
    }

    /** A file beside the page, as a link names it (RFC 3986): what is not unreserved there is its bytes in UTF-8. */
    static String link(String file) {
        StringBuilder out = new StringBuilder(file.length() + 16);
        for (byte b : file.getBytes(StandardCharsets.UTF_8)) {
            boolean plain = b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' || b >= '0' && b <= '9' || "-._~".indexOf(b) >= 0;
            out.append(plain ? String.valueOf((char) b) : String.format(Locale.ROOT, "%%%02X", b));
        }
        return out.toString();
    }

    /** A name: its direction of writing, and signs that would turn that of its neighbours, end with it. */
    static String name(String name) {
        return "<bdi class=\"name\">" + escaped(name) + "</bdi>";
    }
}
