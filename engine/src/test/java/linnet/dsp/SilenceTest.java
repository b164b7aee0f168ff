package linnet.dsp;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

class SilenceTest {
    @Test
    void nothingIsSilent() {
        for (int from : new int[] {0, 3}) {
            assertTrue(Silence.in(new double[] {1, 1, 1}, from, 0));
            assertTrue(Silence.in(new float[] {1, 1, 1}, from, 0));
        }
        assertTrue(Silence.in(new double[0]));
        assertTrue(Silence.in(new float[0], 0, 0));
    }

    /** Wherever it stands among what is asked for, and no farther; a negative zero is sound. */
    @Test
    void oneSampleIsSound() {
        int n = 2 * Cell.LENGTH + 3;
        for (double sound : new double[] {1e-30, -0.0}) {
            for (int at = 0; at < n; at++) {
                double[] x = new double[n];
                float[] y = new float[n];
                x[at] = sound;
                y[at] = (float) sound;
                assertFalse(Silence.in(x), "at " + at);
                assertFalse(Silence.in(y, 0, n), "at " + at);
                assertEquals(at < 2 || at >= n - 1, Silence.in(x, 2, n - 3), "at " + at);
                assertEquals(at < 2 || at >= n - 1, Silence.in(y, 2, n - 3), "at " + at);
            }
        }
    }
}
