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
            new Sheet.Lines("Heard", "", List.of(WILD), ""),
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
        assertEquals(1, text.lines().filter(l -> l.startsWith("# ")).count(), "one heading of the first order");
        assertTrue(text.stripTrailing().endsWith(SheetText.END));
    }
}
