package linnet.cli;

import java.io.IOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import picocli.CommandLine.Option;

/** The span that a page is about, and the folder it goes to: what compare and sweep have in common. */
final class Passage {
    static final String PAGE = "compare.html";

    @Option(names = "--out", required = true, paramLabel = "DIR", description = "The folder for the page, compare.html; it is made where it is missing.")
    Path out;

    @Option(names = "--force", description = "Replace a page that is there.")
    boolean force;

    @Option(names = "--from", paramLabel = "T", converter = Time.class, description = "Where the passage begins. Usual: at the beginning.")
    Double from;

    @Option(names = "--to", paramLabel = "T", converter = Time.class, description = "Where the passage ends. Usual: at the end of the longest version.")
    Double to;

    /** What can be refused before anything is heard. */
    void refuse() {
        if (from != null && to != null && from >= to) throw new Refusal(Exit.USAGE, "--from must be before --to");
        if (Files.exists(out) && !Files.isDirectory(out)) throw new Refusal(Exit.USAGE, out + " is there already and is no folder; give another name");
        if (Files.exists(page(), LinkOption.NOFOLLOW_LINKS) && !force) throw new Refusal(Exit.USAGE, page() + " is there already; say --force to replace it");
    }

    private Path page() {
        return out.resolve(PAGE);
    }

    /** Writes a page into a whole file or none. */
    interface Content {
        void write(Writer to) throws IOException;
    }

    Path write(Content content) throws IOException {
        Files.createDirectories(out);
        // Under another name first: where the disk is full, no half page is left, nor is the old one lost.
        Path part = out.resolve(".linnet-" + ProcessHandle.current().pid() + ".part");
        part.toFile().deleteOnExit();
        try {
            try (Writer writer = Files.newBufferedWriter(part, StandardCharsets.UTF_8, StandardOpenOption.CREATE, StandardOpenOption.TRUNCATE_EXISTING)) {
                content.write(writer);
            }
            if (force) Files.move(part, page(), StandardCopyOption.REPLACE_EXISTING);
            else Files.move(part, page());
        } finally {
            Files.deleteIfExists(part);
        }
        return page();
    }
}
