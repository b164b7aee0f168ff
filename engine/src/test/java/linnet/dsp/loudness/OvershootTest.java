package linnet.dsp.loudness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class OvershootTest {
    private static double most(Overshoot overshoot, double[] x) {
        return overshoot.most(Overshoot.highest(x, x.length), x, x.length);
    }

    /** The sharpest signals there are: every sample at full scale, of either sign. */
    @Test
    void noReadingLiesAboveIt() {
        SplittableRandom random = new SplittableRandom(1);
        double nearest = 0;
        for (int trial = 0; trial < 5_000; trial++) {
            double[] x = new double[2 * TruePeak.BESIDE + 2];
            double size = trial % 2 == 0 ? 1 : 1 - random.nextDouble();
            for (int i = 0; i < x.length; i++) x[i] = random.nextBoolean() ? size : -size;
            double read = TruePeak.between(x, TruePeak.BESIDE), most = most(TruePeak.OVERSHOOT, x);
            assertTrue(read <= most, read + " lies above " + most);
            double highest = Overshoot.highest(x, x.length);
            assertTrue(TruePeak.OVERSHOOT.mayReach(read * 0.999999, highest, x, x.length));
            assertTrue(TruePeak.OVERSHOOT.mayReach(most * 0.999999, highest, x, x.length));
            assertFalse(TruePeak.OVERSHOOT.mayReach(most, highest, x, x.length));
            nearest = Math.max(nearest, read / most);
        }
        assertTrue(nearest > 0.5, "a bound that far off saves nothing: " + nearest);
    }

    /** By hand: the taps (-1, 9, 9, -1) / 16 are a half of each sample beside, and two second differences by -1/16 each. */
    @Test
    void theCubicThroughFourSamplesByHand() {
        Overshoot cubic = Overshoot.of(1, new double[] {-1 / 16.0, 9 / 16.0, 9 / 16.0, -1 / 16.0});
        assertEquals(1, cubic.straight(), 1e-5);
        assertEquals(1 / 8.0, cubic.bent(), 1e-5);
    }

    @Test
    void whatIsSmoothCanHardlyReachAboveItsSamples() {
        double[] x = new double[480];
        for (int i = 0; i < x.length; i++) x[i] = Math.sin(2 * Math.PI * 440 * i / 48_000);
        assertTrue(most(TruePeak.OVERSHOOT, x) < 1.005);
    }

    /** Odd lengths and one sample too. */
    @Test
    void theHighestIsFoundWhereverItLies() {
        for (int n = 1; n < 12; n++) {
            for (int at = 0; at < n; at++) {
                double[] x = new double[n];
                x[at] = -2;
                assertEquals(2, Overshoot.highest(x, n));
                if (n > 2) assertEquals(at == 0 || at == n - 1 ? 2 : 4, new Overshoot(0, 1).most(2, x, n));
            }
        }
    }
}
