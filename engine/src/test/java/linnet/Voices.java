package linnet;

import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;

/** The real voices, where they are present beside the checkout or where {@code -Dlinnet.voices} says; tests that need them are skipped without them. */
public final class Voices {
    private static final Path FOLDER = Path.of(System.getProperty("linnet.voices", repository().resolveSibling("shared").resolve("voices").toString()));

    private Voices() {}

    /** The root of this checkout, from whichever module folder the tests run in. */
    public static Path repository() {
        Path at = Path.of("").toAbsolutePath();
        while (!Files.isDirectory(at.resolve("reference-vectors"))) at = at.getParent();
        return at;
    }

    public static boolean present() {
        return Files.isDirectory(FOLDER);
    }

    /** Skips the test that calls it where they are not present, so that it is not taken for one that passed. */
    public static void assumePresent() {
        assumeTrue(present(), "the real voices are not here");
    }

    /** The file of that name; call only where {@link #present()}. */
    public static Path file(String name) {
        return FOLDER.resolve(name);
    }

    /** Every voice, sorted by name; call only where {@link #present()}. */
    public static List<Path> all() throws java.io.IOException {
        try (Stream<Path> files = Files.list(FOLDER)) {
            return files.filter(f -> f.toString().endsWith(".wav")).sorted().toList();
        }
    }
}
