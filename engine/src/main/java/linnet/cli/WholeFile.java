package linnet.cli;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import linnet.files.SystemWords;
import linnet.files.Unfinished;

/** A file that is written whole or not at all. */
record WholeFile(Path path, boolean force) {
    interface Content {
        void write(OutputStream to) throws IOException;
    }

    /** What can be refused before anything is heard, as hearing takes a while. */
    void refuse() {
        refusePath();
        Path folder = path.toAbsolutePath().getParent();
        if (!Files.exists(folder)) throw new Refusal(Exit.USAGE, shown(folder) + " is not there; make that folder first, or choose another");
        refuse(folder);
    }

    /** As {@link #refuse}, where folders that are missing will be made. */
    void refuseBeneath() {
        refusePath();
        Path folder = path.toAbsolutePath().getParent();
        while (!Files.exists(folder)) folder = folder.getParent();
        refuse(folder);
    }

    private void refusePath() {
        if (Files.isDirectory(path)) throw new Refusal(Exit.USAGE, path + " is a folder; give the file another name");
        if (!force && Files.exists(path, LinkOption.NOFOLLOW_LINKS)) throw there();
    }

    private void refuse(Path folder) {
        if (!Files.isDirectory(folder)) throw new Refusal(Exit.USAGE, shown(folder) + " is a file, not a folder; choose another place");
        if (!Files.isWritable(folder)) {
            throw new Refusal(Exit.USAGE, shown(folder) + " may not be written; choose another folder, or give yourself the right to");
        }
    }

    /** As the user wrote it, where that names anything. */
    private Path shown(Path folder) {
        Path own = path.getParent();
        return own != null && own.toAbsolutePath().equals(folder) && !own.toString().isEmpty() ? own : folder;
    }

    /** Under another name first: where the disk is full or the program is ended, no half file is left, nor is the old one lost. */
    void write(Content content) throws IOException {
        Path part = Unfinished.hidden(path);
        try {
            Unfinished.FILES.begin(() -> Files.createFile(part));
            try (OutputStream to = Files.newOutputStream(part, StandardOpenOption.WRITE, LinkOption.NOFOLLOW_LINKS)) {
                content.write(to);
            }
            Unfinished.FILES.take(part, path, force);
        } catch (FileAlreadyExistsException e) {
            throw there();
        } catch (IOException e) {
            throw unwritten(e);
        } finally {
            Unfinished.FILES.drop(part);
        }
    }

    private Refusal there() {
        return Refusal.there(path);
    }

    private Refusal unwritten(IOException e) {
        return Refusal.of(path, Exit.FILE, path + ": cannot be written (" + SystemWords.reason(e) + "); "
                + SystemWords.remedy(e, "free some space or choose another folder"));
    }
}
