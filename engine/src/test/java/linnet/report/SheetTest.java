package linnet.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.StringWriter;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Names are shown in both forms of a sheet, and obeyed in none. */
class SheetTest {
    private static final String WILD = "<script>alert(1)</script> | *bold* [x](y) `c` \n# h & \u202Eabc";
    private static final Sheet SHEET = new Sheet(WILD, "revision 1", List.of(
            new Sheet.Table("Prints", WILD, List.of("File", "Checksum"), List.of(List.of(WILD, "a".repeat(64)))),
            new Sheet.Lines("To look at", "", List.of(), "Nothing."),
            new Sheet.Lines("Throws", "", List.of(WILD), ""),
            new Sheet.Findings("Heard", "", List.of(
                    Sheet.Chapter.of(WILD, List.of(new Sheet.Item("double", Sheet.items(List.of(WILD, "second"))), new Sheet.Item("harmony", List.of()))),
                    new Sheet.Chapter("Tidied", List.of("Part", "Where"), List.of(List.of(WILD, "0:01.000")), Sheet.items(List.of("other"))))),
            new Sheet.Chains("Chains", "", List.of(new Sheet.Chain(WILD, "", List.of("eq: bands: [{ bell: 1 kHz }]", WILD))))));

    @Test
    void thePageShowsNames() throws IOException {
        StringWriter out = new StringWriter();
        new SheetPage(SHEET).write(out);
        String page = out.toString();
        assertFalse(page.contains("<script"), page);
        assertTrue(page.contains("&lt;script&gt;alert(1)&lt;/script&gt; | *bold*"), page);
        assertTrue(page.contains("<td class=\"sum\">" + "a".repeat(64)), page);
        assertTrue(page.contains("default-src 'none'; script-src 'none'"), page);
        assertFalse(page.contains("{{"), page);
        String shown = "&lt;script&gt;alert(1)&lt;/script&gt; | *bold*";
        assertTrue(page.contains("<h3 id=\"block-3-0\">" + shown), page);
        assertTrue(page.matches("(?s).*<ul class=\"lines\">\n<li>double<ul class=\"lines\">\n<li>&lt;script.*</li>\n<li>second</li>\n</ul>\n</li>\n"
                + "<li>harmony</li>\n</ul>\n.*"), page);
        assertTrue(page.matches("(?s).*<h3 id=\"block-3-1\">Tidied</h3>\n<div [^>]*aria-labelledby=\"block-3-1\">\n<table.*<td>0:01.000</td>.*"
                + "</table>\n</div>\n<ul class=\"lines\">\n<li>other</li>.*"), page);
        assertTrue(page.stripTrailing().endsWith(SheetText.END));
    }

    @Test
    void theTextShowsNames() throws IOException {
        StringWriter out = new StringWriter();
        new SheetText(SHEET).write(out);
        String text = out.toString();
        String shown = "\\<script\\>alert(1)\\</script\\> \\| \\*bold\\* \\[x\\](y) \\`c\\`  \\# h &amp; \u202Eabc";
        assertTrue(text.startsWith("# " + shown + "\n\nrevision 1\n"), text);
        assertTrue(text.contains("| " + shown + " | " + "a".repeat(64) + " |\n"), text);
        assertTrue(text.contains("## To look at\n\nNothing.\n"), text);
        assertTrue(text.contains("1. eq: bands: \\[\\{ bell: 1 kHz \\}\\]\n2. " + shown + "\n"), text);
        assertTrue(text.contains("## Heard\n\n### " + shown + "\n\n- double\n  - " + shown + "\n  - second\n- harmony\n\n### Tidied\n\n"
                + "| Part | Where |\n|---|---|\n| " + shown + " | 0:01.000 |\n\n- other\n\n## Chains\n"), text);
        assertEquals(1, text.lines().filter(l -> l.startsWith("# ")).count(), "one heading of the first order");
        assertTrue(text.stripTrailing().endsWith(SheetText.END));
    }
}
