package linnet.dsp.splice;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Against the definitions, written out. */
class OverlapTest {
    private static final int FROM = 400, N = 960, MOST = 288;

    private static double[] noise(int seed) {
        return new SplittableRandom(seed).doubles(2000, -0.5, 0.5).toArray();
    }

    private static double dot(double[] a, double[] b) {
        double sum = 0;
        for (int i = 0; i < a.length; i++) sum += a[i] * b[i];
        return sum;
    }

    @ParameterizedTest
    @ValueSource(ints = {0, 7, -200})
    void correlationAndPowersAreThoseOfAllChannels(int lag) {
        double[][] first = {noise(1), noise(2)}, second = {noise(3), noise(4)};
        for (int c = 0; c < 2; c++) for (int i = 0; i < 1500; i++) second[c][i + 200] += first[c][Math.max(0, i + 200 - 7)];
        double[] a = new double[2 * N], b = new double[2 * N];
        for (int c = 0; c < 2; c++) {
            System.arraycopy(first[c], FROM, a, c * N, N);
            System.arraycopy(second[c], FROM + lag, b, c * N, N);
        }
        Overlap overlap = Overlap.of(first, second, FROM, N, lag);
        assertEquals(dot(a, b) / Math.sqrt(dot(a, a) * dot(b, b)), overlap.correlation(), 1e-12);
        assertEquals(dot(a, a) / (2 * N), overlap.before(), 1e-12);
        assertEquals(dot(b, b) / (2 * N), overlap.after(), 1e-12);
    }

    @Test
    void silenceIsLikeNothing() {
        double[][] x = {noise(1)}, silence = {new double[2000]};
        assertEquals(new Overlap(0, 0, 0), Overlap.of(silence, silence, FROM, N, 0));
        assertEquals(0, Overlap.of(x, silence, FROM, N, 0).correlation());
        assertEquals(new Overlap(0, 0, 0), Overlap.of(x, x, FROM, 0, 0));
        assertEquals(0, Overlap.lag(x, silence, FROM, N, MOST));
    }

    /** Below -90 dBFS nobody hears how far below. */
    @Test
    void aStepIsHeardDownToMinusNinety() {
        assertEquals(20, new Overlap(0, 1e-4, 1e-2).step(), 1e-9);
        assertEquals(-20, new Overlap(0, 1e-2, 1e-4).step(), 1e-9);
        assertEquals(70, new Overlap(0, 0, 1e-2).step(), 1e-9);
        assertEquals(-70, new Overlap(0, 1e-2, 1e-12).step(), 1e-9);
        assertEquals(0, new Overlap(0, 0, 1e-15).step(), 1e-9);
    }

    /** The likeness counts and not the loudness: what is a hundred times louder beside it leads nobody astray. */
    @ParameterizedTest
    @ValueSource(ints = {0, 1, -1, 100, -101, MOST, -MOST})
    void theLagOfTheLikestIsFound(int lag) {
        double[] second = noise(5), other = noise(6), first = new double[2000];
        for (int i = FROM; i < FROM + N; i++) first[i] = second[i + lag];
        for (boolean loudBefore : new boolean[] {true, false}) {
            double[] uneven = second.clone();
            int end = FROM + lag;
            for (int i = 0; i < 2000; i++) if (loudBefore ? i < end : i >= end + N) uneven[i] = 100 * other[i];
            assertEquals(lag, Overlap.lag(new double[][] {first}, new double[][] {uneven}, FROM, N, MOST));
            assertEquals(lag, Overlap.lag(new double[][] {new double[2000], first}, new double[][] {new double[2000], uneven}, FROM, N, MOST),
                    "in the second channel alone");
        }
    }

    /** Of lags that are as good the shortest: what repeats every 100 samples is not moved by a whole period. */
    @Test
    void ofLagsThatAreAsGoodTheShortestIsTaken() {
        double[] buzz = new double[2000], late = new double[2000];
        Arrays.setAll(buzz, i -> i % 100 == 0 ? 1 : 0);
        Arrays.setAll(late, i -> i % 100 == 30 ? 1 : 0);
        assertEquals(0, Overlap.lag(new double[][] {buzz}, new double[][] {buzz}, FROM, N, MOST));
        assertEquals(30, Overlap.lag(new double[][] {buzz}, new double[][] {late}, FROM, N, MOST));
        assertEquals(-30, Overlap.lag(new double[][] {late}, new double[][] {buzz}, FROM, N, MOST));
    }
}
