package linnet.dsp.loudness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Against the definitions of mean, mean square and Pearson's coefficient, worked out in two passes. */
class MomentsTest {
    private static final int RATE = 8000;

    @Test
    void readsMeanAndMeanSquare() {
        double[] l = noise(1, 5 * RATE + 3, 0.3), r = noise(2, l.length, -0.2);
        Moments read = heard(l, r);
        assertEquals(Arrays.stream(l).average().orElseThrow(), read.mean(0), 1e-12);
        assertEquals(Arrays.stream(r).average().orElseThrow(), read.mean(1), 1e-12);
        assertEquals(Arrays.stream(l).map(v -> v * v).average().orElseThrow(), read.meanSquare(0), 1e-12);
        assertEquals(Arrays.stream(r).map(v -> v * v).average().orElseThrow(), read.meanSquare(1), 1e-12);
    }

    /** Two sines a quarter of a turn apart are not correlated, in phase they are, turned they are opposed; a level changes nothing. */
    @Test
    void readsThePhaseOfSines() {
        double[] x = Tones.sine(RATE, 100, 1, 0, 4);
        assertEquals(1, heard(x, Tones.sine(RATE, 100, 0.01, 0, 4)).correlation(), 1e-9);
        assertEquals(0, heard(x, Tones.sine(RATE, 100, 0.01, 90, 4)).correlation(), 1e-9);
        assertEquals(-1, heard(x, Tones.sine(RATE, 100, 0.01, 180, 4)).correlation(), 1e-9);
        assertEquals(0.5, heard(x, Tones.sine(RATE, 100, 0.01, 60, 4)).lowestCorrelation(), 1e-9);
    }

    /** DC alone is nothing that could be correlated, on one side or on both. */
    @Test
    void readsNoCorrelationWhereAChannelIsStill() {
        double[] dc = new double[4 * RATE];
        Arrays.fill(dc, 0.1);
        assertTrue(Double.isNaN(heard(dc, dc).correlation()));
        assertTrue(Double.isNaN(heard(dc, noise(3, dc.length, 0)).lowestCorrelation()));
        assertTrue(Double.isNaN(heard(new double[RATE], new double[RATE]).correlation()));
        assertTrue(Double.isNaN(heard(noise(4, RATE, 0)).correlation()));
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 7, 64, 480, 5000})
    void readsTheSameBitsHoweverTheSoundIsCut(int cut) {
        double[] l = noise(5, 4 * RATE + 11, 0.1), r = noise(6, l.length, 0);
        Moments whole = heard(l, r), pieces = new Moments(RATE, 2);
        for (int from = 0; from < l.length; from += cut) {
            int to = Math.min(l.length, from + cut);
            pieces.add(new double[][] {Arrays.copyOfRange(l, from, to), Arrays.copyOfRange(r, from, to)}, to - from);
        }
        assertEquals(whole.mean(0), pieces.mean(0));
        assertEquals(whole.meanSquare(1), pieces.meanSquare(1));
        assertEquals(whole.correlation(), pieces.correlation());
        assertEquals(whole.lowestCorrelation(), pieces.lowestCorrelation());
    }

    private static Moments heard(double[]... x) {
        Moments moments = new Moments(RATE, x.length);
        moments.add(x, x[0].length);
        return moments;
    }

    private static double[] noise(long seed, int n, double dc) {
        return new Random(seed).doubles(n, dc - 0.5, dc + 0.5).toArray();
    }

    /** Windows of 3 s, one each 100 ms, those more than 20 dB under the whole left out: written out, for a minute that changes all the time. */
    @Tag("listening")
    @Test
    void readsTheLowestOfTheWindowsThatCount() {
        int hop = RATE / 10, hops = 620;
        for (int seed = 0; seed < 6; seed++) {
            Random random = new Random(seed);
            double[] l = new double[hop * hops + 17], r = new double[l.length];
            double share = 1, level = 1;
            for (int i = 0; i < l.length; i++) {
                if (i % (20 * hop) == 0) share = random.nextDouble() * 2 - 1;
                if (i % (35 * hop) == 0) level = random.nextInt(3) == 0 ? 0.02 : 1;
                double a = random.nextGaussian(), b = random.nextGaussian();
                l[i] = 0.1 * level * a + 0.05;
                r[i] = 0.2 * level * (share * a + Math.sqrt(1 - share * share) * b) - 0.02;
            }
            Moments read = heard(l, r);
            double gate = 0.01 * (read.meanSquare(0) + read.meanSquare(1)), lowest = Double.POSITIVE_INFINITY;
            for (int from = 0; from + 30 * hop <= hop * hops; from += hop) {
                double[] a = Arrays.copyOfRange(l, from, from + 30 * hop), b = Arrays.copyOfRange(r, from, from + 30 * hop);
                double power = Arrays.stream(a).map(v -> v * v).average().orElseThrow() + Arrays.stream(b).map(v -> v * v).average().orElseThrow();
                if (power >= gate) lowest = Math.min(lowest, pearson(a, b));
            }
            assertEquals(lowest, read.lowestCorrelation(), 1e-9);
            assertEquals(pearson(l, r), read.correlation(), 1e-9);
        }
    }

    private static double pearson(double[] a, double[] b) {
        double meanA = Arrays.stream(a).average().orElseThrow(), meanB = Arrays.stream(b).average().orElseThrow(), ab = 0, aa = 0, bb = 0;
        for (int i = 0; i < a.length; i++) {
            ab += (a[i] - meanA) * (b[i] - meanB);
            aa += (a[i] - meanA) * (a[i] - meanA);
            bb += (b[i] - meanB) * (b[i] - meanB);
        }
        return ab / Math.sqrt(aa * bb);
    }

    @Test
    void readsASingleChannel() {
        double[] x = noise(8, 3 * RATE + 5, 0.2);
        Moments read = heard(x);
        assertEquals(Arrays.stream(x).average().orElseThrow(), read.mean(0), 1e-12);
        assertEquals(Arrays.stream(x).map(v -> v * v).average().orElseThrow(), read.meanSquare(0), 1e-12);
        assertTrue(Double.isNaN(read.lowestCorrelation()));
    }
}
