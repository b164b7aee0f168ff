package linnet.dsp.spectral;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import pl.edu.icm.jlargearrays.ConcurrencyUtils;

class FftTest {
    private static double[] noise(int n) {
        return new Random(n).doubles(n, -1, 1).toArray();
    }

    /** Oracle: the sum of the definition, term by term. */
    @ParameterizedTest
    @ValueSource(ints = {2, 4, 8, 30, 256, 480, 1000})
    void equalsTheSumOfTheDefinition(int n) {
        Fft fft = new Fft(n);
        double[] x = noise(n), re = new double[fft.bins()], im = new double[fft.bins()];
        fft.forward(x, re, im);
        assertEquals(n, fft.length());
        assertEquals(n / 2 + 1, fft.bins());
        for (int k = 0; k <= n / 2; k++) {
            double sumRe = 0, sumIm = 0;
            for (int i = 0; i < n; i++) {
                double angle = 2 * Math.PI * ((long) k * i % n) / n;
                sumRe += x[i] * Math.cos(angle);
                sumIm -= x[i] * Math.sin(angle);
            }
            assertEquals(sumRe, re[k], 1e-11, "re " + k);
            assertEquals(sumIm, im[k], 1e-11, "im " + k);
        }
    }

    @ParameterizedTest
    @ValueSource(ints = {2, 30, 4096, 1 << 17})
    void inverseGivesTheSignalBack(int n) {
        Fft fft = new Fft(n);
        double[] x = noise(n), re = new double[fft.bins()], im = new double[fft.bins()], back = new double[n];
        fft.forward(x, re, im);
        // Another one, which has nothing of the signal left in its scratch memory.
        new Fft(n).inverse(re, im, back);
        assertArrayEquals(x, back, 1e-13);
    }

    @Test
    void neverUsesAPoolOfThreads() {
        new Fft(1 << 17);
        assertEquals(1, ConcurrencyUtils.getNumberOfThreads());
    }

    @Test
    void refusesOddLengths() {
        String message = assertThrows(IllegalArgumentException.class, () -> new Fft(7)).getMessage();
        assertTrue(message.contains("7"), message);
    }

    @ParameterizedTest
    @ValueSource(ints = {2, 4, 6, 16, 30, 512})
    void correlatesAsTheDefinitionDoes(int n) {
        Random random = new Random(8);
        int at = 3, window = n - n / 3;
        double[] x = random.doubles(at + n, -1, 1).toArray(), r = new double[n];
        Fft fft = new Fft(n);
        // What an earlier one left in the scratch memory is not in the next.
        fft.correlate(x, 0, n, r);
        fft.correlate(x, at, window, r);
        for (int lag = 0; lag < n; lag++) {
            double sum = 0;
            for (int j = 0; j < window; j++) sum += x[at + j] * x[at + (j + lag) % n];
            assertEquals(sum, r[lag], 1e-12 * n);
        }
    }
}
