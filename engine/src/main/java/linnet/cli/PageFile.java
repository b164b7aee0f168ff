package linnet.cli;

import java.io.IOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;

/** A page in a folder that is made where it is missing. */
record PageFile(Path folder, String name, boolean force) {
    /** Writes a page into a whole file or none. */
    interface Content {
        void write(Writer to) throws IOException;
    }

    /** What can be refused before anything is heard. */
    void refuse() {
        if (Files.exists(folder) && !Files.isDirectory(folder)) throw new Refusal(Exit.USAGE, folder + " is there already and is no folder; give another name");
        if (Files.exists(path(), LinkOption.NOFOLLOW_LINKS) && !force) throw new Refusal(Exit.USAGE, path() + " is there already; say --force to replace it");
    }

    private Path path() {
        return folder.resolve(name);
    }

    Path write(Content content) throws IOException {
        Files.createDirectories(folder);
        // Under another name first: where the disk is full, no half page is left, nor is the old one lost.
        Path part = folder.resolve(".linnet-" + ProcessHandle.current().pid() + ".part");
        part.toFile().deleteOnExit();
        try {
            try (Writer writer = Files.newBufferedWriter(part, StandardCharsets.UTF_8, StandardOpenOption.CREATE, StandardOpenOption.TRUNCATE_EXISTING)) {
                content.write(writer);
            }
            if (force) Files.move(part, path(), StandardCopyOption.REPLACE_EXISTING);
            else Files.move(part, path());
        } finally {
            Files.deleteIfExists(part);
        }
        return path();
    }
}
