package linnet.report;

import java.io.IOException;
import java.io.Writer;
import java.util.List;

/** A {@link Sheet} as a page that asks for nothing and runs nothing. */
public record SheetPage(Sheet sheet) {
    public void write(Writer out) throws IOException {
        Template.page("sheet.html", out, sheet.title(), Template.resource("sheet.css"), "", place -> {
            switch (place) {
                case "heading" -> out.append(HtmlText.name(sheet.title()));
                case "passage" -> out.append(HtmlText.escaped(sheet.passage()));
                case "blocks" -> {
                    for (int b = 0; b < sheet.blocks().size(); b++) block(out, b, sheet.blocks().get(b));
                }
                default -> throw new IllegalStateException("nothing goes to " + place);
            }
        });
        out.append(SheetText.END).append('\n');
    }

    private static void block(Writer out, int number, Sheet.Block b) throws IOException {
        String id = "block-" + number;
        out.append("<section aria-labelledby=\"").append(id).append("\">\n<h2 id=\"").append(id).append("\">").append(HtmlText.escaped(b.heading()))
                .append("</h2>\n");
        if (!b.hint().isEmpty()) out.append("<p class=\"hint\">").append(HtmlText.escaped(b.hint())).append("</p>\n");
        if (b instanceof Sheet.Table t) table(out, t.columns(), t.rows(), id);
        if (b instanceof Sheet.Lines l) lines(out, l);
        if (b instanceof Sheet.Items i) items(out, i.items());
        if (b instanceof Sheet.Findings f) for (int c = 0; c < f.chapters().size(); c++) chapter(out, f.chapters().get(c), id + "-" + c);
        if (b instanceof Sheet.Chains c) for (Sheet.Chain chain : c.chains()) chain(out, chain);
        out.append("</section>\n");
    }

    private static void table(Writer out, List<String> columns, List<List<String>> rows, String id) throws IOException {
        out.append("<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-labelledby=\"").append(id).append("\">\n<table aria-labelledby=\"").append(id)
                .append("\">\n<thead><tr>");
        for (String column : columns) out.append("<th scope=\"col\">").append(HtmlText.escaped(column)).append("</th>");
        out.append("</tr></thead>\n<tbody>\n");
        for (List<String> row : rows) {
            out.append("<tr><th scope=\"row\">").append(HtmlText.name(row.get(0))).append("</th>");
            for (String cell : row.subList(1, row.size())) {
                out.append(isSum(cell) ? "<td class=\"sum\">" : "<td>").append(HtmlText.escaped(cell)).append("</td>");
            }
            out.append("</tr>\n");
        }
        out.append("</tbody>\n</table>\n</div>\n");
    }

    private static boolean isSum(String cell) {
        return cell.length() == 64 && cell.chars().allMatch(c -> Character.digit(c, 16) >= 0);
    }

    private static void lines(Writer out, Sheet.Lines l) throws IOException {
        if (l.lines().isEmpty()) {
            out.append("<p>").append(HtmlText.escaped(l.none())).append("</p>\n");
            return;
        }
        items(out, Sheet.items(l.lines()));
    }

    private static void chapter(Writer out, Sheet.Chapter c, String id) throws IOException {
        out.append("<h3 id=\"").append(id).append("\">").append(HtmlText.escaped(c.heading())).append("</h3>\n");
        if (!c.rows().isEmpty()) table(out, c.columns(), c.rows(), id);
        items(out, c.items());
    }

    private static void items(Writer out, List<Sheet.Item> items) throws IOException {
        if (items.isEmpty()) return;
        out.append("<ul class=\"lines\">\n");
        for (Sheet.Item i : items) {
            out.append("<li>").append(HtmlText.escaped(i.text()));
            items(out, i.items());
            out.append("</li>\n");
        }
        out.append("</ul>\n");
    }

    private static void chain(Writer out, Sheet.Chain c) throws IOException {
        out.append("<h3>").append(HtmlText.name(c.name())).append("</h3>\n");
        if (!c.about().isEmpty()) out.append("<p class=\"hint\">").append(HtmlText.escaped(c.about())).append("</p>\n");
        if (c.steps().isEmpty()) return;
        out.append("<ol class=\"steps\">\n");
        for (String step : c.steps()) out.append("<li>").append(HtmlText.escaped(step)).append("</li>\n");
        out.append("</ol>\n");
    }
}
