package linnet.report;

import java.io.IOException;
import java.io.Writer;
import java.util.List;

/**
 * A page that leads to those of the chains of a song; it asks for nothing and runs nothing.
 *
 * @param title of the song; any text at all
 */
public record SongReportPage(String title, List<Row> rows) {
    public SongReportPage {
        rows = List.copyOf(rows);
    }

    /**
     * A chain.
     *
     * @param name of what it is the chain of; any text at all
     * @param file its page, which lies beside this one
     */
    public record Row(String name, String file, RenderReport report) {}

    public void write(Writer out) throws IOException {
        Template.page("song-report.html", out, title, Template.resource("report.css"), "", place -> {
            switch (place) {
                case "heading" -> out.append(HtmlText.name(title));
                case "chains" -> {
                    for (Row r : rows) row(out, r);
                }
                default -> throw new IllegalStateException("nothing goes to " + place);
            }
        });
    }

    private static void row(Writer out, Row r) throws IOException {
        RenderReport.Printed made = r.report.print();
        out.append("<tr><th scope=\"row\"><a href=\"").append(HtmlText.link(r.file)).append("\">").append(HtmlText.name(r.name)).append("</a></th>");
        for (String figure : List.of(String.valueOf(r.report.steps().size()), Figure.of(made.lufs(), 1), Figure.of(made.truePeakDbtp(), 1),
                String.valueOf(r.report.toLookAt().size()))) {
            out.append("<td>").append(figure).append("</td>");
        }
        out.append("</tr>\n");
    }
}
