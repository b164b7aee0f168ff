package linnet.report;

/** Any text as the content of an HTML element or attribute. */
final class Text {
    private Text() {}

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

    /** A name: its direction of writing, and signs that would turn that of its neighbours, end with it. */
    static String name(String name) {
        return "<bdi class=\"name\">" + escaped(name) + "</bdi>";
    }
}
