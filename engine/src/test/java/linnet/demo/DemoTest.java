package linnet.demo;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import linnet.audio.WavFile;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.yaml.snakeyaml.Yaml;

class DemoTest {
    @Test
    void writesWhatIsNeededToTryThings(@TempDir Path folder) throws Exception {
        Path chain = Files.writeString(folder.resolve("even.yaml"), "chain: even\n");
        Path demo = folder.resolve("demo");
        Demo.write(demo, List.of(chain));
        Demo.write(demo, List.of(chain));
        long frames;
        try (WavFile lead = WavFile.open(demo.resolve("lead.wav"))) {
            assertEquals(48_000, lead.rate());
            assertEquals(1, lead.channels());
            frames = lead.frames();
            assertEquals(18 * 2.4 * 48_000, frames, 1);
        }
        try (WavFile bed = WavFile.open(demo.resolve("bed.wav"))) {
            assertEquals(2, bed.channels());
            assertEquals(frames, bed.frames());
            double[][] x = new double[2][(int) frames];
            bed.read(0, x, (int) frames);
            double peak = 0;
            double apart = 0;
            for (int i = 0; i < frames; i++) {
                peak = Math.max(peak, Math.max(Math.abs(x[0][i]), Math.abs(x[1][i])));
                apart = Math.max(apart, Math.abs(x[0][i] - x[1][i]));
            }
            assertEquals(-7, 20 * Math.log10(peak), 0.1);
            assertTrue(apart > 0.05, "the bed is as good as mono");
        }
        for (String name : List.of("double-1.wav", "double-2.wav")) {
            try (WavFile twin = WavFile.open(demo.resolve(name)); WavFile lead = WavFile.open(demo.resolve("lead.wav"))) {
                double[][] x = new double[1][(int) frames], y = new double[1][(int) frames];
                twin.read(0, x, (int) frames);
                lead.read(0, y, (int) frames);
                double same = 0, own = 0;
                for (int i = 0; i < frames; i++) {
                    same += x[0][i] * y[0][i];
                    own += y[0][i] * y[0][i];
                }
                assertTrue(Math.abs(same / own) < 0.9, name + " is a copy of the lead");
            }
        }
        Map<String, Object> truth = new Yaml().load(Files.readString(demo.resolve("lead.truth.yaml")));
        assertEquals("Seven Lanterns", truth.get("title"));
        assertEquals(8, ((List<?>) truth.get("phrases")).size());
        assertEquals(61, ((List<?>) truth.get("notes")).size());
        assertTrue(Files.readString(demo.resolve("README.md")).contains("Start playback low"));
        assertArrayEquals(Files.readAllBytes(chain), Files.readAllBytes(demo.resolve("chains/even.yaml")));
    }
}
