package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Stream;
import linnet.Browser;
import linnet.Voices;
import linnet.demo.Demo;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Takes the pictures of the README anew, of pages that the example's lead gives: {@code mvn -Pbench test -Dtest=PicturesTest -Dpictures=docs/pictures}. */
@Tag("bench")
class PicturesTest extends Called {
    private static final int WIDE = 900, HIGH = 1200;

    @TempDir
    Path folder;

    @Test
    void takeThem() throws Exception {
        String to = System.getProperty("pictures");
        assumeTrue(to != null, "skipped: -Dpictures=FOLDER says where they go");
        Path pictures = Files.createDirectories(Voices.repository().resolve(to)), lead = lead(), chains = Voices.repository().resolve("chains");
        Path chain = chains.resolve("close-lead.yaml"), asInTheSong = folder.resolve("lead.yaml");
        Files.writeString(asInTheSong, "steps:\n  - use: chains/clean-up.yaml\n    with: { ride: { sections: 50 % } }\n  - use: chains/close-lead.yaml\n");
        assertEquals(0, run("render", asInTheSong, lead, "--out", folder.resolve("print.wav"), "--report", folder.resolve("report")), () -> err.toString());
        assertEquals(0, run("compare", chain, chains.resolve("ballad-lead.yaml"), "--take", lead, "--dry", "--from", "4", "--to", "16", "--out",
                folder.resolve("compare")), () -> err.toString());
        try (Browser browser = Browser.open()) {
            browser.width(WIDE, HIGH);
            browser.show(folder.resolve("report/report.html"));
            take(browser, "#step-10", pictures.resolve("step.png"));
            browser.show(folder.resolve("compare/compare.html"));
            take(browser, "main section", pictures.resolve("compare.png"));
        }
    }

    /** With a margin, and without what is folded. */
    private static void take(Browser browser, String css, Path png) throws IOException {
        browser.run("const part = document.querySelector(arguments[0]); part.style.padding = '16px'; part.style.border = 'none';"
                + "for (const folded of part.querySelectorAll('details')) folded.remove()", css);
        browser.photograph(css, png);
    }

    private Path lead() throws IOException {
        try (Stream<Path> chains = Files.list(Voices.repository().resolve("chains"))) {
            for (Demo.Piece p : Demo.pieces(folder, chains.toList())) p.write();
        }
        return folder.resolve("lead.wav");
    }
}
