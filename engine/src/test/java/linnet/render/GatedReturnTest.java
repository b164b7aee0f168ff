package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.dsp.Samples;
import linnet.dsp.loudness.Loudness;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Sends by ear into a return that opens only from some level on: what it makes of them jumps, or rises more steeply than what is sent. Loudness after ITU-R
 * BS.1770.
 */
class GatedReturnTest {
    private static final String SONG = """
            parts: { one: { take: a.wav, sends: { room: %s } } }
            returns: { room: { chain: [ gate: { threshold: -30 dBFS, hysteresis: 0 dB, floor: %s, hold: 0 ms, release: 5 ms }, trim ] } }
            prints: [ one, room ]
            """;

    @TempDir
    Path folder;

    /** By how many LU the return lies under the voice. */
    private static double under(Map<String, double[][]> prints) {
        return lufs(prints.get("one")) - lufs(prints.get("room"));
    }

    private static double lufs(double[][] x) {
        Loudness meter = new Loudness(SongRig.RATE, x.length);
        meter.add(x, x[0].length);
        return meter.integrated();
    }

    /** Syllables, each softer than the last. */
    private static Samples fading(double step) {
        Samples noise = SongRig.noise(5, 4, 0.5);
        for (int i = 0; i < noise.frames(); i++) noise.data()[0][i] *= i % 9600 < 7200 ? Math.pow(10, -step * (i / 9600) / 20) : 0;
        return noise;
    }

    /**
     * Between syllables that open it and those that do not it gets louder by more than is sent: trials that go by the slope alone go past it to either side
     * again and again.
     */
    @Test
    void whereItRisesSteeplyTheLevelIsFound() throws Exception {
        SongRig rig = new SongRig(folder);
        for (double[] c : new double[][] {{0.5, 13}, {1, 13}}) {
            assertEquals(c[1], under(rig.render(SONG.formatted((int) c[1] + " LU under", "-40 dB"), 1, fading(c[0]))), 0.2, rig.levels.toString());
        }
    }

    /** What lies inside the jump of a gate cannot be reached: then it is said how near any level comes, so that this can be written. */
    @Test
    void whatCannotBeReachedIsToldWithWhatComesNearest() throws Exception {
        SongRig rig = new SongRig(folder);
        // All levels around the jump, one by one.
        Map<Double, Double> all = new LinkedHashMap<>();
        for (int tenths = -155; tenths >= -180; tenths--) {
            all.put(tenths / 10.0, under(rig.render(SONG.formatted(tenths / 10.0 + " dB", "-40 dB"), 1, fading(0))));
        }
        Pattern told = Pattern.compile("4:39: 'room' comes no nearer to (\\d+) LU under 'one' than ([0-9.]+) LU under, with a send of (-[0-9.]+) dB: write "
                + "that, or another level");
        for (int lu : new int[] {28, 33, 45, 50}) {
            String said = assertThrows(ProblemsException.class, () -> rig.render(SONG.formatted(lu + " LU under", "-40 dB"), 1, fading(0))).getMessage().lines()
                    .findFirst().orElseThrow().replaceFirst(".*song.yaml:", "");
            Matcher m = told.matcher(said);
            assertTrue(m.matches(), said);
            assertEquals(lu, Integer.parseInt(m.group(1)));
            double nearest = all.values().stream().min(Comparator.comparingDouble(u -> Math.abs(u - lu))).orElseThrow();
            assertEquals(nearest, Double.parseDouble(m.group(2)), 0.051, said);
            assertEquals(nearest, all.get(Double.parseDouble(m.group(3))), 1e-6, said);
        }
    }
}
