package linnet.cli;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;

/** A page in a folder that is made where it is missing. */
record PageFile(Path folder, String name, boolean force) {
    /** Writes a page into a whole file or none. */
    interface Content {
        void write(Writer to) throws IOException;
    }

    /** What can be refused before anything is heard. */
    void refuse() {
        file().refuseBeneath();
    }

    private WholeFile file() {
        return new WholeFile(folder.resolve(name), force);
    }

    Path write(Content content) throws IOException {
        Files.createDirectories(folder);
        file().write(to -> {
            Writer page = new BufferedWriter(new OutputStreamWriter(to, StandardCharsets.UTF_8));
            content.write(page);
            page.flush();
        });
        return file().path();
    }
}
