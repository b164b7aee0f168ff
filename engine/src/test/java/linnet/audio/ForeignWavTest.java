package linnet.audio;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import linnet.Voices;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Against other implementations: reference-vectors/wav/SOURCE.md. */
class ForeignWavTest {
    private static final Path VECTORS = Voices.repository().resolve("reference-vectors").resolve("wav");
    private static final int FRAMES = 24;

    @TempDir
    Path folder;

    @Test
    void readsWhatScipyReads() throws Exception {
        List<String> lines = Files.readAllLines(VECTORS.resolve("expected.csv"));
        Map<String, double[][]> read = new TreeMap<>();
        for (String line : lines.subList(1, lines.size())) {
            String[] f = line.split(",");
            double[][] x = read.get(f[0]);
            if (x == null) {
                try (WavFile wav = WavFile.open(VECTORS.resolve(f[0]))) {
                    assertEquals(Double.parseDouble(f[1]), wav.rate(), f[0]);
                    assertEquals(FRAMES, wav.frames(), f[0]);
                    assertEquals(List.of(), wav.header().remarks(), f[0]);
                    x = new double[wav.channels()][FRAMES];
                    wav.read(0, x, FRAMES);
                }
                read.put(f[0], x);
            }
            assertEquals(Double.parseDouble(f[4]), x[Integer.parseInt(f[3])][Integer.parseInt(f[2])], line);
        }
        assertEquals(7, read.size());
    }

    /** The frozen files were read back by two other implementations, so equal bytes are readable ones. */
    @ParameterizedTest
    @CsvSource({"linnet-16-mono.wav, INT_16, 1", "linnet-24-stereo.wav, INT_24, 2", "linnet-float32-stereo.wav, FLOAT_32, 2"})
    void writesWhatOthersRead(String name, SampleFormat format, int channels) throws Exception {
        double[][] x = new double[channels][FRAMES];
        for (int c = 0; c < channels; c++) {
            for (int k = 0; k < FRAMES; k++) x[c][k] = k / 64.0 - c / 2.0;
        }
        Path file = folder.resolve(name);
        try (WavWriter writer = WavWriter.create(file, Print.of(48_000, channels, format).dither(Dither.none()))) {
            writer.write(x, FRAMES);
            writer.finish();
        }
        assertArrayEquals(Files.readAllBytes(VECTORS.resolve(name)), Files.readAllBytes(file));
    }
}
