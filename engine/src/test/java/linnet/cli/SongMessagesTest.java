package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Arrays;
import java.util.List;
import java.util.TreeMap;
import java.util.stream.Stream;
import linnet.Voices;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import linnet.dsp.Cell;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

/** Broken songs, and what is said of them, word for word, behind the exit code: {@code songs/*.yaml} and the {@code .txt} beside each. Nothing is written. */
class SongMessagesTest {
    private static final Path SONGS = Voices.repository().resolve("engine/src/test/resources/songs");

    @TempDir
    Path folder;

    private static List<Path> songs() throws IOException {
        try (Stream<Path> files = Files.list(SONGS)) {
            return files.filter(f -> f.toString().endsWith(".yaml")).sorted().toList();
        }
    }

    @BeforeEach
    void takes() throws IOException {
        take("one.wav", 48_000);
        take("two.wav", 48_000);
        take("slow.wav", 44_100);
        take("odd.wav", 47_999);
        byte[] whole = Files.readAllBytes(folder.resolve("one.wav"));
        Files.write(folder.resolve("cut.wav"), Arrays.copyOf(whole, 1000));
        Files.writeString(folder.resolve("text.wav"), "Salt on the stones, the boats come in\n".repeat(10));
    }

    private void take(String name, int rate) throws IOException {
        try (WavWriter writer = WavWriter.create(folder.resolve(name), Print.of(rate, 1, SampleFormat.INT_16))) {
            double[][] x = new double[1][Cell.LENGTH];
            for (int block = 0; block < 400; block++) {
                for (int i = 0; i < Cell.LENGTH; i++) x[0][i] = 0.1 * Math.sin(2 * Math.PI * 220 * (block * Cell.LENGTH + i) / rate);
                writer.write(x, Cell.LENGTH);
            }
            writer.finish();
        }
    }

    /** But for the store: what is heard of takes before a song is refused may be there for the next. */
    private TreeMap<String, Long> files() throws IOException {
        TreeMap<String, Long> files = new TreeMap<>();
        try (Stream<Path> all = Files.walk(folder)) {
            for (Path f : all.filter(Files::isRegularFile).toList()) files.put(folder.relativize(f).toString(), Files.size(f));
        }
        files.keySet().removeIf(f -> f.startsWith(".linnet"));
        return files;
    }

    /** The exit code and what is said, with the folder of chance left out. */
    private String render(Path song) throws IOException {
        Path here = folder.resolve("song.yaml");
        Files.copy(song, here, java.nio.file.StandardCopyOption.REPLACE_EXISTING);
        TreeMap<String, Long> before = files();
        StringWriter said = new StringWriter();
        CommandLine line = Main.commandLine();
        line.setOut(new PrintWriter(new StringWriter()));
        line.setErr(new PrintWriter(said, true));
        int code = line.execute("render", here.toString(), "--out", folder.resolve("prints").toString());
        assertEquals(before, files(), "something was written");
        return "exit " + code + "\n" + said.toString().replace(folder + "/", "").stripTrailing() + "\n";
    }

    @TestFactory
    List<DynamicTest> everyBrokenSongIsExplained() throws IOException {
        return songs().stream().map(song -> dynamicTest(song.getFileName().toString(), () -> {
            Path expected = Path.of(song.toString().replace(".yaml", ".txt"));
            String said = assertTimeoutPreemptively(Duration.ofSeconds(20), () -> render(song));
            assertEquals(Files.readString(expected), said);
        })).toList();
    }

    @Test
    void thereAreEnoughOfThem() throws IOException {
        assertTrue(songs().size() >= 40);
    }
}
