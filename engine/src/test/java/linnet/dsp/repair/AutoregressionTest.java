package linnet.dsp.repair;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Gaps told from the model, in sounds that are known; the expected figures were computed with a general-purpose library from the published formulas. */
class AutoregressionTest {
    private static final double RATE = 48_000;

    private static double[] tone(double hz, int harmonics, double noiseDb, int n, long seed) {
        Random random = new Random(seed);
        double[] x = new double[n];
        for (int i = 0; i < n; i++) for (int k = 1; k <= harmonics; k++) x[i] += StrictMath.sin(2 * Math.PI * k * hz * i / RATE + k * k) / Math.sqrt(k);
        double noise = Math.sqrt(Arrays.stream(x).map(v -> v * v).average().orElseThrow()) * Math.pow(10, noiseDb / 20);
        for (int i = 0; i < n; i++) x[i] += noise * random.nextGaussian();
        return x;
    }

    private static double[] filled(double[] x, int from, int to, int[] lags) {
        boolean[] damaged = new boolean[x.length];
        Arrays.fill(damaged, from, to, true);
        double[] y = x.clone();
        Arrays.fill(y, from, to, 0);
        Autoregression model = Autoregression.fit(y, 0, y.length, damaged, lags);
        double[] off = model.around(y, from, to, y.length).solved(0);
        for (int i = from; i < to; i++) y[i] -= off[i - from];
        for (int i = 0; i < x.length; i++) if (i < from || i >= to) assertEquals(x[i], y[i], 0);
        return y;
    }

    private static double snr(double[] x, double[] y, int from, int to) {
        double signal = 0, error = 0;
        for (int i = from; i < to; i++) {
            signal += x[i] * x[i];
            error += (x[i] - y[i]) * (x[i] - y[i]);
        }
        return 10 * Math.log10(signal / error);
    }

    @Test
    void aSineIsToldFromItsTwoNeighboursForAMillisecond() {
        double[] x = tone(440, 1, -400, 4000, 1);
        double[] exact = new double[x.length];
        for (int i = 0; i < x.length; i++) exact[i] = StrictMath.sin(2 * Math.PI * 440 * i / RATE);
        double[] y = filled(exact, 2000, 2048, Autoregression.lags(2, 0, 0));
        for (int i = 2000; i < 2048; i++) assertEquals(exact[i], y[i], 1e-11);
    }

    /** Without a period in the model a gap of 1 ms is lost: why clicks inside a vowel need more than that. */
    @ParameterizedTest
    @CsvSource({"-60, 12, 42, 4", "-120, 12, 96, 4", "-120, 24, 49, 10", "-60, 48, 4, 4", "-120, 48, 7, 4"})
    void aToneOfManyHarmonicsIsToldFromFiftyForAQuarterOfAMillisecond(double noise, int gap, double expected, double off) {
        assertEquals(expected, Arrays.stream(ratios(noise, gap)).average().orElseThrow(), off);
    }

    /** Half a millisecond hangs on where in the period it lies. */
    @Test
    void halfAMillisecondIsToldWellInPartOfThePeriodOnly() {
        double[] sorted = Arrays.stream(ratios(-60, 24)).sorted().toArray();
        assertTrue(sorted[0] < 10 && sorted[sorted.length - 1] > 20, Arrays.toString(sorted));
    }

    private static double[] ratios(double noise, int gap) {
        double[] ratios = new double[40];
        for (int trial = 0; trial < ratios.length; trial++) {
            double[] x = tone(220, 24, noise, 4000, trial);
            int from = 1900 + 7 * trial;
            ratios[trial] = snr(x, filled(x, from, from + gap, Autoregression.lags(50, 0, 0)), from, from + gap);
        }
        return ratios;
    }

    @Test
    void withThePeriodInTheModelAGapOfFiveMillisecondsIsTold() {
        double[] x = tone(220, 24, -60, 4000, 3);
        int period = (int) Math.round(RATE / 220);
        double[] y = filled(x, 1900, 2140, Autoregression.lags(32, period, 16));
        assertTrue(snr(x, y, 1900, 2140) > 40, "SNR " + snr(x, y, 1900, 2140));
    }

    @Test
    void besideDigitalSilenceSilenceIsExpected() {
        double[] y = filled(new double[2000], 900, 950, Autoregression.lags(32, 0, 0));
        for (double v : y) assertEquals(0, v, 0);
    }

    @Test
    void equationsAreSolved() {
        Random random = new Random(9);
        int size = 37;
        double[] wanted = random.doubles(size, -1, 1).toArray();
        Equations equations = new Equations(size);
        for (int row = 0; row < 3 * size; row++) {
            double[] a = random.doubles(size, -1, 1).toArray();
            double value = 0;
            for (int i = 0; i < size; i++) value += a[i] * wanted[i];
            equations.add(a, value);
        }
        double[] solved = equations.solved(0);
        for (int i = 0; i < size; i++) assertEquals(wanted[i], solved[i], 1e-12);
    }
}
