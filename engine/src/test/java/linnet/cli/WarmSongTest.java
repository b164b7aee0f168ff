package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.OperatingSystemMXBean;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * What four minutes of song cost when all code is compiled and nothing is started: the least that a process could take for it. {@code LongSongTest} writes the
 * song;
 * {@code mvn -Pbench test -Dtest=WarmSongTest -Dlong.song=FOLDER} renders it over and over and prints seconds, those of the processor, and those of the
 * compiler.
 */
@Tag("bench")
class WarmSongTest {
    private static final int ROUNDS = 2;
    private static final String MOVES = "\nmoves:\n", LOWER = "  verse 3: { plate: -3 dB }\n";

    @Test
    void isRenderedOverAndOver(@TempDir Path prints) throws IOException {
        Path folder = Path.of(System.getProperty("long.song", "target/long-song")), store = folder.resolve(PlannedSong.STORE),
                song = folder.resolve("long-song.yaml"), changed = folder.resolve("long-song-changed.yaml");
        String moved = Files.readString(song).replace(MOVES, MOVES + LOWER);
        assertTrue(moved.contains(LOWER));
        Files.writeString(changed, moved);
        try {
            for (int k = 0; k < ROUNDS; k++) {
                forget(store, "sound", "facts");
                took("nothing stored", song, prints);
                took("one return 3 dB lower in one section", changed, prints);
                forget(store, "sound");
                took("facts stored, no sounds", song, prints);
                forget(store, "sound", "facts");
                took("nothing stored, one work at a time", song, prints, "--jobs", "1");
                forget(store, "sound", "facts");
            }
        } finally {
            Files.delete(changed);
            forget(store, "sound", "facts");
        }
    }

    private static void forget(Path folder, String... kinds) throws IOException {
        if (!Files.isDirectory(folder)) return;
        try (Stream<Path> files = Files.list(folder)) {
            for (Path f : files.toList()) if (List.of(kinds).stream().anyMatch(k -> f.toString().endsWith("." + k))) Files.delete(f);
        }
    }

    private static void took(String what, Path song, Path prints, String... more) throws IOException {
        // What is there as it would be would be left as it is.
        forget(prints, "wav");
        var system = (OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean();
        var compiler = ManagementFactory.getCompilationMXBean();
        long began = System.nanoTime(), processor = system.getProcessCpuTime(), compiled = compiler.getTotalCompilationTime();
        var said = new StringWriter();
        assertEquals(Exit.DONE,
                Main.run(Stream.concat(Stream.of("render", song.toString(), "--out", prints.toString(), "--force"), Stream.of(more)).toArray(String[]::new),
                        new PrintWriter(said), new PrintWriter(said)), said::toString);
        System.out.printf(Locale.ROOT, "%-40s %5.1f s, %5.1f s of processor time, %4.1f s of the compiler%n", what, (System.nanoTime() - began) * 1e-9,
                (system.getProcessCpuTime() - processor) * 1e-9, (compiler.getTotalCompilationTime() - compiled) * 1e-3);
    }
}
