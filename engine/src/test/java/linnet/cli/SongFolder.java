package linnet.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import linnet.dsp.Cell;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

/** A song of one short tone in a folder of its own, and the program as a user calls it. */
abstract class SongFolder {
    @TempDir
    Path folder;

    Path song, prints;
    final StringWriter out = new StringWriter();
    final StringWriter err = new StringWriter();

    @BeforeEach
    void aSong() throws IOException {
        song = folder.resolve("song.yaml");
        prints = folder.resolve("prints");
        try (WavWriter writer = WavWriter.create(folder.resolve("take.wav"), Print.of(48_000, 1, SampleFormat.INT_24))) {
            double[][] x = new double[1][Cell.LENGTH];
            for (int block = 0; block < 20; block++) {
                for (int i = 0; i < Cell.LENGTH; i++) x[0][i] = 0.3 * Math.sin(2 * Math.PI * 220 * (block * Cell.LENGTH + i) / 48_000.0);
                writer.write(x, Cell.LENGTH);
            }
            writer.finish();
        }
        parts("lead: { take: take.wav }");
    }

    void parts(String part) throws IOException {
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts:\n  " + part + "\nprints: [ mix, lead ]\n");
    }

    int run(Object... words) {
        CommandLine line = Main.commandLine();
        line.setOut(new PrintWriter(out, true));
        line.setErr(new PrintWriter(err, true));
        return line.execute(Arrays.stream(words).map(Object::toString).toArray(String[]::new));
    }
}
