package linnet.cli;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.regex.Pattern;
import linnet.render.SideBySide;

/**
 * The SHA-256 of whole files in the folder where this one lies, for whoever gets them and has no Linnet: a line for each, as {@code sha256sum -c} reads them
 * (the form of GNU coreutils, which other programs for checksums read too).
 */
record FileSums(Path path) {
    /** A name without a way to it. Names with a backslash or the end of a line, which would be written otherwise, do not occur. */
    private static final Pattern LINE = Pattern.compile("[0-9a-f]{64}  [^/\\\\]+");

    /** Refuses to take the place of what a person wrote. */
    void refuse() throws IOException {
        if (Files.exists(path, LinkOption.NOFOLLOW_LINKS) && !isOurs()) {
            throw new Refusal(Exit.USAGE, path + " is there already, and is no list of checksums of ours; say --force to replace it");
        }
    }

    private boolean isOurs() throws IOException {
        if (!Files.isRegularFile(path, LinkOption.NOFOLLOW_LINKS) || Files.size(path) > SongSheet.LARGEST) return false;
        List<String> lines = new String(Files.readAllBytes(path), StandardCharsets.UTF_8).lines().toList();
        return !lines.isEmpty() && lines.stream().allMatch(l -> LINE.matcher(l).matches());
    }

    /**
     * Whether it is there and none of the files was changed since, as where a print was rendered alone, or a render was ended before this was written.
     *
     * @throws IOException where one of them cannot be asked
     */
    boolean areThere(List<Path> files) throws IOException {
        if (!Files.isRegularFile(path, LinkOption.NOFOLLOW_LINKS)) return false;
        FileTime written = Files.getLastModifiedTime(path);
        for (Path f : files) if (Files.getLastModifiedTime(f).compareTo(written) > 0) return false;
        return true;
    }

    /** Reads each file to its end, so many at once. */
    void write(List<Path> files, int jobs) throws IOException {
        List<Callable<String>> lines = files.stream().<Callable<String>>map(f -> () -> Provenance.digest(f) + "  " + f.getFileName() + "\n").toList();
        String all = String.join("", SideBySide.run(lines, jobs));
        new WholeFile(path, true).write(to -> to.write(all.getBytes(StandardCharsets.UTF_8)));
    }
}
