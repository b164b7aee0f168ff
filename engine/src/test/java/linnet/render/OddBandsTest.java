package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.hear.Told;
import linnet.list.Take;
import linnet.plan.SongPlan;
import linnet.plan.SongPlanner;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.store.Store;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What a song tells of bands that do not what they seem to: of an equaliser above what its rate can hold, and of a multiband among the sibilants. */
class OddBandsTest {
    @TempDir
    private Path folder;

    private List<String> odd(double rate) throws Exception {
        return odd(new Samples(rate, new double[(int) rate]), """
                      - eq: [ { bell: 300 Hz, gain: 2 dB }, { bell: 10 kHz, gain: 3 dB, bandwidth: 2 octaves } ]
                      - eq: [ { high-pass: 80 Hz } ]
                """);
    }

    private List<String> odd(Sound take, String steps) throws Exception {
        double rate = take.rate();
        Path file = Files.writeString(folder.resolve("song.yaml"), SongRig.HEAD + """
                parts:
                  one:
                    take: one.wav
                    chain:
                """ + steps + "prints: [ mix ]\n");
        SongPlan plan = SongPlanner.plan(SongReader.read(file, Builtins.catalogue()), rate, List.of(1));
        try (SongRenderer renderer = new SongRenderer(plan, List.of(new SongRenderer.Take(take, Told.nothing(), Take.of("", take).sound())), "test",
                new Store(folder.resolve("store"), 1 << 30), new Sums(), 1)) {
            return renderer.findings().odd(true).stream()
                    .map(o -> o.work() + ": " + o.found().step() + ": " + o.found().setting() + " " + o.found().value()).toList();
        }
    }

    @Test
    void aSongTellsWhichBandIsLeftOutAtItsRate() throws Exception {
        assertEquals(List.of("one: eq: bell 10 kHz is above what can be filtered at 16 kHz, up to 7.84 kHz: this band is left out"), odd(16_000));
        assertEquals(List.of(), odd(48_000));
    }

    /** A tone that has little above 5 kHz but for a tenth of a second now and then, as an s. */
    @Test
    void aSongTellsAnAimOnSibilants() throws Exception {
        double[] x = new double[5 * 48_000];
        for (int i = 0; i < x.length; i++) {
            x[i] = 0.3 * Math.sin(2 * Math.PI * 200 * i / 48_000) + (i % 24_000 < 4800 ? 0.06 : 0.003) * Math.sin(2 * Math.PI * 14_000 * i / 48_000);
        }
        Sound take = new Samples(48_000, x);
        List<String> told = odd(take, "      - multiband: { splits: [ 200 Hz, 5 kHz ], bands: [ {}, {}, { aim: 2 dB } ] }\n");
        assertEquals(1, told.size(), told.toString());
        assertTrue(told.get(0).startsWith("one: multiband: aim of band 3 is met over all that is heard") && told.get(0).contains("'most: 4 dB'"), told.get(0));
        for (String bands : List.of("[ {}, {}, { aim: 2 dB, most: 4 dB } ]", "[ {}, {}, { threshold: -50 dB } ]", "[ {}, { aim: 2 dB }, {} ]",
                "[ { aim: 2 dB } ]")) {
            assertEquals(List.of(), odd(take, "      - multiband: { splits: [ 200 Hz, 5 kHz ], bands: " + bands + " }\n"), bands);
        }
        assertEquals(List.of(), odd(take, "      - multiband: { bands: [ {}, { aim: 2 dB } ] }\n"));
    }
}
