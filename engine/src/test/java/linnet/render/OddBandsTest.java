package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.hear.Told;
import linnet.plan.SongPlan;
import linnet.plan.SongPlanner;
import linnet.sheet.Take;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.store.Store;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A band of an equaliser that lies above what the rate of a song can hold. */
class OddBandsTest {
    @TempDir
    private Path folder;

    private List<String> odd(double rate) throws Exception {
        Path file = Files.writeString(folder.resolve("song.yaml"), SongRig.HEAD + """
                parts:
                  one:
                    take: one.wav
                    chain:
                      - eq: [ { bell: 300 Hz, gain: 2 dB }, { bell: 10 kHz, gain: 3 dB, bandwidth: 2 octaves } ]
                      - eq: [ { high-pass: 80 Hz } ]
                prints: [ mix ]
                """);
        Sound take = new Samples(rate, new double[(int) rate]);
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
}
