package linnet.yaml;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.text.Normalizer;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import linnet.text.Nearest;

/** What lies in a folder beside a name that a text gives. */
public final class Siblings {
    /** No system has longer paths; what is looked for folder by folder ends there. */
    private static final int LONGEST = 4096;

    private Siblings() {}

    /**
     * The file that a path names. A letter with a mark is one character or two, the letter and its mark, and which one is a matter of the
     * computer that wrote the name: the same names are the same, as Unicode has it (UAX 15). The path as it is where nothing is there.
     */
    public static Path named(Path path) {
        Path folder = path.getParent(), name = path.getFileName();
        if (name == null || path.toString().length() > LONGEST || Files.exists(path, LinkOption.NOFOLLOW_LINKS)) return path;
        Path in = folder == null ? Path.of("") : named(folder);
        return in.resolve(same(in, name.toString()).orElse(name.toString()));
    }

    private static Optional<String> same(Path folder, String name) {
        if (name.chars().allMatch(c -> c < 128)) return Optional.empty();
        try (Stream<Path> there = Files.list(folder)) {
            return there.map(f -> f.getFileName().toString()).filter(f -> isSame(f, name)).sorted().findFirst();
        } catch (IOException | UncheckedIOException e) {
            return Optional.empty();
        }
    }

    /** Whether two names are one, be its marks apart from their letters or not. */
    public static boolean isSame(String name, String other) {
        return Normalizer.normalize(name, Normalizer.Form.NFC).equals(Normalizer.normalize(other, Normalizer.Form.NFC));
    }

    /** "; did you mean 'x'?" or nothing. */
    public static String hint(Path missing) {
        Path folder = missing.toAbsolutePath().getParent();
        if (folder == null) return "";
        try (Stream<Path> there = Files.list(folder)) {
            String name = missing.getFileName().toString();
            return Nearest.hint(name, there.filter(Files::isRegularFile).map(f -> f.getFileName().toString()).filter(f -> isAlike(name, f)).toList());
        } catch (IOException | UncheckedIOException e) {
            return "";
        }
    }

    /** Of one kind. An ending that both have would make any two names alike. */
    private static boolean isAlike(String name, String other) {
        return isNear(name.substring(stem(name).length()), other.substring(stem(other).length())) && isNear(stem(name), stem(other));
    }

    private static boolean isNear(String name, String other) {
        return name.equals(other) || Nearest.to(name, List.of(other)).isPresent();
    }

    private static String stem(String name) {
        return name.replaceFirst("[.][^.]*$", "");
    }
}
