package linnet.dsp.repair;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Models and what is parted by them, as least squares of errors that are written out one by one and solved by elimination. */
class SeparationTest {
    private static double[] voice(int n, long seed) {
        Random random = new Random(seed);
        double[] x = new double[n];
        for (int i = 2; i < n; i++) x[i] = 1.6 * x[i - 1] - 0.9 * x[i - 2] + 0.01 * random.nextGaussian();
        return x;
    }

    /** The unknowns that make the squares of rows · u - values least. */
    private static double[] least(List<double[]> rows, List<Double> values) {
        int n = rows.get(0).length;
        double[][] left = new double[n][n];
        double[] right = new double[n];
        for (int r = 0; r < rows.size(); r++) {
            for (int i = 0; i < n; i++) {
                right[i] += rows.get(r)[i] * values.get(r);
                for (int j = 0; j < n; j++) left[i][j] += rows.get(r)[i] * rows.get(r)[j];
            }
        }
        return EquationsTest.eliminated(left, right);
    }

    @Test
    void lagsAreThoseOfFormantsAndOfAPeriod() {
        assertArrayEquals(new int[] {1, 2, 3}, Autoregression.lags(3, 0, 2));
        assertArrayEquals(new int[] {1, 2, 3, 8, 9, 10, 11, 12}, Autoregression.lags(3, 10, 2));
        assertArrayEquals(new int[] {1, 2, 3, 4, 5, 6}, Autoregression.lags(3, 4, 2));
        assertArrayEquals(new int[] {1, 2, 3}, Autoregression.lags(3, 1, 2));
        assertEquals(12, new Autoregression(new int[] {1, 5, 12}, new double[3], 1).reach());
    }

    @ParameterizedTest
    @CsvSource({"0, 300, 0", "40, 260, 0", "5, 300, 25"})
    void aModelIsTheLeastSquaresOfWhatIsWhole(int from, int to, int period) {
        double[] x = voice(300, 1);
        boolean[] damaged = new boolean[300];
        Arrays.fill(damaged, 120, 135, true);
        damaged[200] = true;
        int[] lags = Autoregression.lags(4, period, 1);
        Autoregression model = Autoregression.fit(x, from, to, damaged, lags);
        List<double[]> rows = new ArrayList<>();
        List<Double> values = new ArrayList<>();
        for (int n = Math.max(from, lags[lags.length - 1]); n < to; n++) {
            boolean whole = !damaged[n];
            for (int lag : lags) whole &= !damaged[n - lag];
            if (!whole) continue;
            int at = n;
            rows.add(Arrays.stream(lags).mapToDouble(lag -> x[at - lag]).toArray());
            values.add(x[n]);
        }
        double[] taps = least(rows, values);
        assertArrayEquals(taps, model.taps(), 1e-6);
        double rest = 0;
        for (int r = 0; r < rows.size(); r++) {
            double error = values.get(r);
            for (int k = 0; k < taps.length; k++) error -= taps[k] * rows.get(r)[k];
            rest += error * error;
        }
        assertEquals(rest / rows.size(), model.variance(), 1e-6 * model.variance());
    }

    @Test
    void ofTooLittleThereIsNoModelAndOfSilenceOneOfSilence() {
        double[] x = voice(30, 2);
        boolean[] whole = new boolean[30];
        int[] lags = {1, 2, 3, 4};
        assertNotNull(Autoregression.fit(x, 0, 12, whole, lags));
        assertNull(Autoregression.fit(x, 0, 11, whole, lags));
        Autoregression silent = Autoregression.fit(new double[30], 0, 30, whole, lags);
        assertArrayEquals(new double[4], silent.taps());
        assertEquals(1e-20, silent.variance());
        double[] sine = new double[300];
        double power = 0;
        for (int i = 0; i < 300; i++) sine[i] = Math.sin(0.3 * i);
        for (int i = 2; i < 300; i++) power += sine[i] * sine[i];
        double variance = Autoregression.fit(sine, 0, 300, new boolean[300], new int[] {1, 2}).variance();
        assertTrue(variance >= 1e-15 * power / 298 && variance < 1e-12, "a sine is told wholly, but for the ridge: " + variance);
    }

    /** Each error that a sample of the gap stands in, up to an end. */
    private static void errors(double[] x, int from, int to, int end, Autoregression model, double weight, List<double[]> rows, List<Double> values) {
        for (int n = Math.max(from, model.reach()); n < end; n++) {
            double[] row = new double[to - from];
            double error = x[n];
            if (n < to) row[n - from] = weight;
            for (int k = 0; k < model.lags().length; k++) {
                int at = n - model.lags()[k];
                error -= model.taps()[k] * x[at];
                if (at >= from && at < to) row[at - from] -= weight * model.taps()[k];
            }
            rows.add(row);
            values.add(weight * error);
        }
    }

    @ParameterizedTest
    @CsvSource({"100, 112, 300", "100, 112, 115", "2, 12, 300", "280, 300, 300"})
    void aGapIsTheLeastSquaresOfAllErrorsAroundIt(int from, int to, int end) {
        double[] x = voice(300, 3);
        Autoregression model = new Autoregression(new int[] {1, 2, 3, 20}, new double[] {1.5, -0.8, 0.05, 0.1}, 1);
        List<double[]> rows = new ArrayList<>();
        List<Double> values = new ArrayList<>();
        errors(x, from, to, end, model, 1, rows, values);
        if (from > 20) assertArrayEquals(least(rows, values), model.around(x, from, to, end).solved(0), 1e-9);
        double[] right = new double[to - from];
        for (int r = 0; r < rows.size(); r++) for (int i = 0; i < right.length; i++) right[i] += rows.get(r)[i] * values.get(r);
        assertArrayEquals(right, model.around(x, from, to, end).right(), 1e-12);
    }

    /**
     * Noise whitened: the autocorrelation of what a click's spectrum is, a filter of order 8 from it, and the sum of both errors made least, again and again.
     */
    @ParameterizedTest
    @CsvSource({"48000, 1", "48000, 3", "8000, 2", "44100, 2"})
    void aClickIsWhatMakesBothErrorsLeast(double rate, int rounds) {
        double[] x = voice(400, 4);
        int from = 150, to = 190, m = to - from;
        for (int i = 0; i < 25; i++) x[from + 5 + i] += 0.5 * Math.exp(-0.2 * i) * Math.sin(0.9 * i);
        Autoregression voice = new Autoregression(new int[] {1, 2}, new double[] {1.6, -0.9}, 1e-4);
        double[] r = new double[9];
        for (int k = 0; k < 512; k++) {
            double hz = (k + 0.5) / 512 * rate / 2, low = hz / 1000, high = hz / 10_000;
            for (int j = 0; j < 9; j++) r[j] += (low * low / (1 + low * low) / (1 + Math.pow(high, 4)) + 1e-4) * Math.cos(2 * Math.PI * hz / rate * j);
        }
        double[][] toeplitz = new double[8][8];
        double[] right = new double[8];
        for (int i = 0; i < 8; i++) {
            for (int j = 0; j < 8; j++) toeplitz[i][j] = r[Math.abs(i - j)];
            right[i] = -r[i + 1];
        }
        double[] whitening = new double[9];
        whitening[0] = 1;
        System.arraycopy(EquationsTest.eliminated(toeplitz, right), 0, whitening, 1, 8);

        double[] click = Arrays.copyOfRange(x, from, to), envelope = new double[m];
        Arrays.fill(envelope, 1);
        double power = 4 * power(click, envelope, whitening);
        int smooth = Math.max(2, (int) (0.0002 * rate));
        for (int round = 0; round < rounds; round++) {
            List<double[]> rows = new ArrayList<>();
            List<Double> values = new ArrayList<>();
            errors(x, from, to, x.length, voice, 1, rows, values);
            for (int n = 0; n < m + 8; n++) {
                double[] row = new double[m];
                for (int i = Math.max(0, n - 8); i <= Math.min(m - 1, n); i++) row[i] = Math.sqrt(voice.variance() / power) * whitening[n - i] / envelope[i];
                rows.add(row);
                values.add(0.0);
            }
            click = least(rows, values);
            envelope = envelope(click, smooth);
            double peak = Arrays.stream(envelope).max().orElseThrow();
            for (int i = 0; i < m; i++) envelope[i] = Math.max(0.02, envelope[i] / peak);
            power = power(click, envelope, whitening);
        }
        Separation separation = new Separation(rate);
        assertArrayEquals(click, separation.click(x, from, to, voice, rounds), 1e-7);
        assertArrayEquals(envelope(click, smooth), separation.envelope(click), 1e-9);
    }

    private static double[] envelope(double[] click, int smooth) {
        double[] envelope = new double[click.length];
        for (int i = 0; i < click.length; i++) {
            double sum = 0;
            int n = 0;
            for (int k = Math.max(0, i - smooth); k <= Math.min(click.length - 1, i + smooth); k++, n++) sum += click[k] * click[k];
            envelope[i] = Math.sqrt(sum / n);
        }
        return envelope;
    }

    private static double power(double[] click, double[] envelope, double[] whitening) {
        double sum = 0;
        for (int n = 0; n < click.length + 8; n++) {
            double white = 0;
            for (int k = 0; k <= 8; k++) if (n - k >= 0 && n - k < click.length) white += whitening[k] * click[n - k] / envelope[n - k];
            sum += white * white;
        }
        return sum / click.length;
    }

    @Test
    void inSilenceThereIsNoClick() {
        Autoregression silent = new Autoregression(new int[] {1, 2}, new double[2], 1e-20);
        assertNull(new Separation(48_000).click(new double[200], 50, 80, silent, 2));
        assertEquals(0, Separation.peak(new double[4]));
        assertEquals(3, Separation.peak(new double[] {1, 3, 2}));
    }
}
