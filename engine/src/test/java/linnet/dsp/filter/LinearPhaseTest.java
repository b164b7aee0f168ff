package linnet.dsp.filter;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.junit.jupiter.api.Test;

/** Against what defines it, and against the sum written out. */
class LinearPhaseTest {
    private static final double RATE = 48_000;
    private final LinearPhase filter = LinearPhase.lowPass(RATE, 3000, 50, 2400, 240);

    @Test
    void passesAndStopsAsDesigned() {
        assertEquals(1, filter.gain(0), 1e-12);
        // A symmetric transition has half the gain in its middle.
        assertEquals(0.5, filter.gain(3000), 0.005);
        // Kaiser's design keeps ripple and stop band within 50 dB outside the transition.
        double ripple = Math.pow(10, -50 / 20.0);
        for (double hz = 0; hz < 1800; hz += 10) assertEquals(1, filter.gain(hz), 1.1 * ripple, "at " + hz);
        for (double hz = 4200; hz < RATE / 2; hz += 10) assertEquals(0, filter.gain(hz), 1.1 * ripple, "at " + hz);
    }

    @Test
    void aToneComesOutInPhaseWithItsGain() {
        int reach = filter.reach();
        double[] x = new double[2 * reach + 480], y = new double[480];
        for (double hz : new double[] {500, 2500, 3000, 6000}) {
            double w = 2 * Math.PI * hz / RATE;
            Arrays.setAll(x, i -> Math.cos(w * i));
            filter.process(x, reach, y, 480);
            double gain = filter.gain(hz);
            for (int i = 0; i < 480; i++) assertEquals(gain * x[reach + i], y[i], 1e-12, hz + " Hz at " + i);
        }
    }

    @Test
    void anyCutGivesTheSameBits() {
        int reach = filter.reach();
        double[] x = Vectors.noise(2 * reach + 480, 3), whole = new double[480], part = new double[480], cut = new double[480];
        filter.process(x, reach, whole, 480);
        for (int at = 0, n; at < 480; at += n) {
            n = Math.min(7, 480 - at);
            filter.process(x, reach + at, part, n);
            System.arraycopy(part, 0, cut, at, n);
        }
        assertArrayEquals(whole, cut);
    }

    @Test
    void reachesNoFurtherThanItMay() {
        assertEquals(20, LinearPhase.lowPass(RATE, 1000, 50, 100, 20).reach());
        assertTrue(filter.reach() < 240);
    }

    /** Kaiser's formula, (A - 7.95) / (2.285 Δω), gives 59 taps and one for 50 dB over 2.4 kHz: half of them to a side, and each is used. */
    @Test
    void reachesAsFarAsKaisersFormulaSays() {
        int reach = filter.reach();
        assertEquals(30, reach);
        double[] impulse = new double[4 * reach + 1], y = new double[2 * reach + 1];
        impulse[2 * reach] = 1;
        filter.process(impulse, reach, y, y.length);
        for (int i = 0; i < y.length; i++) assertEquals(y[y.length - 1 - i], y[i]);
        assertTrue(y[0] != 0);
    }
}
