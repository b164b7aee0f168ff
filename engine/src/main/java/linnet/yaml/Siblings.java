package linnet.yaml;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import linnet.text.Nearest;

/** What lies in the folder of a file that is not there. */
public final class Siblings {
    private Siblings() {}

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
