package linnet.dsp.delay;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import org.junit.jupiter.api.Test;

class LineTest {
    /** The formula as it stands: h[n] = product over k ≠ n of (D-k)/(n-k). */
    private static double[] lagrange(int order, double d) {
        double[] h = new double[order + 1];
        for (int n = 0; n <= order; n++) {
            h[n] = 1;
            for (int k = 0; k <= order; k++) if (k != n) h[n] *= (d - k) / (n - k);
        }
        return h;
    }

    /** The oracle itself against taps worked out apart from it, in double precision, from Laakso et al. 1996. */
    @Test
    void theFormulaIsTheOneOfThePaper() {
        assertArrayEquals(new double[] {-0.0595, 0.7735, 0.3315, -0.0455}, lagrange(3, 1.3), 1e-12);
        assertArrayEquals(new double[] {-0.0625, 0.5625, 0.5625, -0.0625}, lagrange(3, 1.5), 1e-12);
        assertArrayEquals(new double[] {0.01171875, -0.09765625, 0.5859375, 0.5859375, -0.09765625, 0.01171875}, lagrange(5, 2.5), 1e-12);
    }

    @Test
    void readsWithTheTapsOfOrderFive() {
        for (double fraction : new double[] {0, 0.1, 0.3, 0.5, 0.77, 0.999}) {
            Line line = new Line(100);
            double[] x = new double[40];
            x[20] = 1;
            line.write(x, 40);
            double[] distances = new double[12], y = new double[12];
            Arrays.fill(distances, 24 + fraction); // y[i] reads time 40 + i - 24 - fraction
            line.read(distances, 0, y, 12);
            // A distance of 24.3 holds its fraction to 4e-15.
            assertArrayEquals(lagrange(5, 2 + fraction), Arrays.copyOfRange(y, 2, 8), 1e-14);
        }
    }

    /** Acceptance: a delayed 1 kHz sine against the ideal one, error below -80 dB at 48 kHz. */
    @Test
    void aDelayedSineIsTheSineDelayed() {
        Line line = new Line(1000);
        double[] x = new double[480], y = new double[200];
        for (int i = 0; i < 480; i++) x[i] = Math.sin(2 * Math.PI * 1000 * i / 48000);
        line.write(x, 480);
        double[] distances = new double[200];
        Arrays.fill(distances, 230.5);
        line.read(distances, 0, y, 200);
        for (int i = 0; i < 200; i++) assertEquals(Math.sin(2 * Math.PI * 1000 * (480 + i - 230.5) / 48000), y[i], 1e-5);
    }

    @Test
    void aWholeDistanceIsExactAcrossTheEndOfTheRing() {
        Line line = new Line(100);
        double[] y = new double[64];
        double[] ramp = new double[64];
        for (int round = 0; round < 10; round++) {
            if (round > 1) {
                line.read(100, y, 64);
                for (int i = 0; i < 64; i++) assertEquals(64 * round + i - 100, y[i]);
            }
            for (int i = 0; i < 64; i++) ramp[i] = 64 * round + i;
            line.write(ramp, 64);
        }
    }
}
