package linnet.cli;

import java.io.IOException;
import java.nio.file.Path;
import picocli.CommandLine.Option;

/** The span that a page is about, and the folder it goes to: what compare and sweep have in common. */
final class Passage {
    /** What the page is called. */
    String page = "compare.html";

    @Option(names = "--out", required = true, paramLabel = "DIR", description = "The folder for the page, compare.html; it is made where it is missing.")
    Path out;

    @Option(names = "--force", description = "Replace a page that is there.")
    boolean force;

    @Option(names = "--from", paramLabel = "T", converter = Time.class,
            description = "Where the passage begins, as 12.5, 800ms or 1:02.5. Usual: at the beginning.")
    Double from;

    @Option(names = "--to", paramLabel = "T", converter = Time.class,
            description = "Where the passage ends, written likewise. Usual: at the end of the longest version.")
    Double to;

    /** What can be refused before anything is heard. */
    void refuse() {
        if (from != null && to != null && from >= to) throw new Refusal(Exit.USAGE, "--from must be before --to");
        page().refuse();
    }

    private PageFile page() {
        return new PageFile(out, page, force);
    }

    Path write(PageFile.Content content) throws IOException {
        return page().write(content);
    }
}
