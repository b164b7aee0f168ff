package linnet.report;

import java.io.IOException;
import java.io.Writer;
import java.util.List;
import java.util.stream.Collectors;

/** A {@link Sheet} in Markdown. What stands in it is shown as it is: no name becomes a heading, a link or a tag. */
public record SheetText(Sheet sheet) {
    /** Signs that mean something there. */
    private static final String SIGNS = "\\`*_{}[]<>#|~$";

    /** What ends a sheet, in both forms: so one that may be written anew is told from what a person wrote. */
    public static final String END = "<!-- written by linnet, and anew with the prints -->";

    public void write(Writer out) throws IOException {
        out.append("# ").append(plain(sheet.title())).append("\n\n").append(plain(sheet.passage())).append('\n');
        for (Sheet.Block b : sheet.blocks()) {
            out.append("\n## ").append(plain(b.heading())).append('\n');
            if (!b.hint().isEmpty()) out.append('\n').append(plain(b.hint())).append('\n');
            out.append('\n');
            if (b instanceof Sheet.Table t) table(out, t.columns(), t.rows());
            if (b instanceof Sheet.Lines l) lines(out, l);
            if (b instanceof Sheet.Items i) items(out, i.items(), "");
            if (b instanceof Sheet.Findings f) findings(out, f);
            if (b instanceof Sheet.Chains c) for (Sheet.Chain chain : c.chains()) chain(out, chain);
        }
        out.append('\n').append(END).append('\n');
    }

    private static void table(Writer out, List<String> columns, List<List<String>> rows) throws IOException {
        row(out, columns);
        out.append("|").append("---|".repeat(columns.size())).append('\n');
        for (List<String> row : rows) row(out, row);
    }

    private static void row(Writer out, List<String> cells) throws IOException {
        out.append(cells.stream().map(SheetText::plain).collect(Collectors.joining(" | ", "| ", " |\n")));
    }

    private static void lines(Writer out, Sheet.Lines l) throws IOException {
        if (l.lines().isEmpty()) out.append(plain(l.none())).append('\n');
        for (String line : l.lines()) out.append("- ").append(plain(line)).append('\n');
    }

    private static void findings(Writer out, Sheet.Findings f) throws IOException {
        for (int c = 0; c < f.chapters().size(); c++) {
            Sheet.Chapter chapter = f.chapters().get(c);
            out.append(c > 0 ? "\n" : "").append("### ").append(plain(chapter.heading())).append("\n\n");
            if (!chapter.rows().isEmpty()) {
                table(out, chapter.columns(), chapter.rows());
                out.append('\n');
            }
            items(out, chapter.items(), "");
        }
    }

    private static void items(Writer out, List<Sheet.Item> items, String indent) throws IOException {
        for (Sheet.Item i : items) {
            out.append(indent).append("- ").append(plain(i.text())).append('\n');
            items(out, i.items(), indent + "  ");
        }
    }

    private static void chain(Writer out, Sheet.Chain c) throws IOException {
        out.append("### ").append(plain(c.name())).append("\n\n");
        if (!c.about().isEmpty()) out.append(plain(c.about())).append("\n\n");
        for (int s = 0; s < c.steps().size(); s++) out.append(String.valueOf(s + 1)).append(". ").append(plain(c.steps().get(s))).append('\n');
        if (!c.steps().isEmpty()) out.append('\n');
    }

    private static String plain(String text) {
        StringBuilder out = new StringBuilder(text.length() + 16);
        text.codePoints().forEach(c -> {
            if (c < 128 && SIGNS.indexOf(c) >= 0) out.append('\\').append((char) c);
            else if (c == '&') out.append("&amp;");
            else if (Character.isISOControl(c)) out.append(' ');
            else out.appendCodePoint(c);
        });
        return out.toString();
    }
}
