package linnet.fuzz;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Stream;

/** Where the fuzzing library comes in: {@code engine/fuzz/run} starts it. */
public final class Fuzz {
    /** One reading in so many is written and read again too: that is slow beside it. */
    private static final int SELDOM = 16;
    private static Target target;
    private static Path folder;

    private Fuzz() {}

    /** @param args the target */
    public static void fuzzerInitialize(String[] args) throws IOException {
        target = Target.of(args[0]);
        folder = Files.createTempDirectory("linnet-fuzz");
    }

    public static void fuzzerTestOneInput(byte[] input) {
        if (input.length <= Target.LARGEST) target.check(input, folder, Math.floorMod(Arrays.hashCode(input), SELDOM) == 0);
    }

    /** Writes the seeds and the dictionary of a target into a folder; or, with {@code read} behind, reads the corpus there is. */
    public static void main(String[] args) throws IOException {
        Target target = Target.of(args[0]);
        Path folder = Path.of(args[1]), corpus = Files.createDirectories(folder.resolve("corpus"));
        if (args.length > 2) {
            try (Stream<Path> files = Files.list(corpus)) {
                Path scratch = Files.createDirectories(folder.resolve("tmp"));
                for (Path file : files.sorted().toList()) target.check(Files.readAllBytes(file), scratch, true);
            }
            return;
        }
        List<byte[]> seeds = Seeds.all(target);
        for (int i = 0; i < seeds.size(); i++) Files.write(corpus.resolve("seed-" + i), seeds.get(i));
        Files.write(folder.resolve("dictionary"), Seeds.dictionary(target));
    }
}
