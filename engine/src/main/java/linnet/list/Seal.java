package linnet.list;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.HexFormat;
import java.util.List;
import linnet.digest.Sha256;
import linnet.yaml.Yaml;

/**
 * A line {@code check: …} by which a file that the tool wrote is known again: the first 64 bits of the SHA-256 of all its other lines, but
 * for the first, that names the take. Whoever edits the file breaks the seal without knowing of it, and the tool leaves the file alone.
 */
public final class Seal {
    private static final String KEY = "check: ";
    private static final int DIGITS = 16;
    private static final long LARGEST = 16 << 20;

    private Seal() {}

    /** The line for a file of these lines. */
    static String line(List<String> lines) {
        return KEY + of(lines);
    }

    /** Whether the file is as the tool wrote it. */
    static boolean holds(List<String> lines) {
        String wanted = line(lines);
        return lines.stream().anyMatch(l -> l.strip().equals(wanted));
    }

    /** Whether there is such a file and it is as the tool wrote it; any other file is somebody's. */
    public static boolean holds(Path file) {
        try {
            // A pipe would block, and what is larger than any list was not written here.
            return Files.isRegularFile(file) && Files.size(file) <= LARGEST && holds(Yaml.text(file).lines().toList());
        } catch (IOException e) {
            return false;
        }
    }

    private static String of(List<String> lines) {
        MessageDigest digest = Sha256.open();
        for (String line : lines) {
            if (line.startsWith(KEY) || line.startsWith(MarksFile.TAKE + ":") || line.startsWith(NotesFile.TAKE + ":")) continue;
            digest.update((line.stripTrailing() + "\n").getBytes(StandardCharsets.UTF_8));
        }
        return HexFormat.of().formatHex(digest.digest()).substring(0, DIGITS);
    }
}
