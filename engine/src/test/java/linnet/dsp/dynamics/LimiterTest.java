package linnet.dsp.dynamics;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.SplittableRandom;
import linnet.dsp.Cell;
import org.junit.jupiter.api.Test;

class LimiterTest {
    private static final double RATE = 48_000;

    private static double[][] limited(double[][] x, double ceilingDb, int cut) {
        Limiter limiter = new Limiter(RATE, x.length, 3);
        limiter.set(ceilingDb, 80);
        double[][] y = new double[x.length][x[0].length];
        double[][] block = new double[x.length][Cell.LENGTH];
        for (int at = 0; at < x[0].length; ) {
            int n = Math.min(Math.min(cut, Cell.LENGTH - at % Cell.LENGTH), x[0].length - at);
            for (int c = 0; c < x.length; c++) System.arraycopy(x[c], at, block[c], 0, n);
            limiter.process(block, n);
            for (int c = 0; c < x.length; c++) System.arraycopy(block[c], 0, y[c], at, n);
            at += n;
        }
        return y;
    }

    /** Bursts of tones and noise, some of them far over full scale. */
    private static double[] loud(int seed) {
        SplittableRandom random = new SplittableRandom(seed);
        double[] x = new double[48_000];
        double f = 200 + 6000 * random.nextDouble();
        for (int i = 0; i < x.length; i++) {
            double env = i % 7000 < 3000 ? 2.5 : 0.2;
            x[i] = env * (0.6 * Math.sin(2 * Math.PI * f * i / RATE + 0.7) + 0.4 * Math.sin(2 * Math.PI * 12_000 * i / RATE + 0.25 * Math.PI)) + 0.1 * (random.nextDouble() - 0.5);
        }
        return x;
    }

    /** True peak by a slow interpolation: 16 points between samples, 128 taps, Hann; ITU-R BS.1770 Annex 2 in spirit. */
    private static double truePeak(double[] x) {
        double worst = 0;
        for (int p = 0; p < 16; p++) {
            double[] h = new double[128];
            double dc = 0;
            for (int t = 0; t < 128; t++) {
                double d = t - 63 - p / 16.0;
                h[t] = (d == 0 ? 1 : Math.sin(Math.PI * d) / (Math.PI * d)) * (0.5 + 0.5 * Math.cos(Math.PI * d / 64.5));
                dc += h[t];
            }
            for (int i = 0; i + 128 <= x.length; i++) {
                double s = 0;
                for (int t = 0; t < 128; t++) s += h[t] * x[i + t];
                worst = Math.max(worst, Math.abs(s / dc));
            }
        }
        return worst;
    }

    @Test
    void noTruePeakIsOverTheCeiling() {
        for (int seed = 0; seed < 3; seed++) {
            for (double ceiling : new double[] {-1, -6}) {
                double[] y = limited(new double[][] {loud(seed)}, ceiling, 480)[0];
                double peak = 20 * Math.log10(truePeak(y));
                assertTrue(peak <= ceiling, "true peak " + peak + " dBTP over " + ceiling);
                assertTrue(peak > ceiling - 0.6, "needlessly low: " + peak);
            }
        }
    }

    @Test
    void belowTheCeilingItIsABitExactDelay() {
        double[] x = loud(1);
        for (int i = 0; i < x.length; i++) x[i] *= 0.2;
        double[] y = limited(new double[][] {x}, -1, 480)[0];
        int latency = new Limiter(RATE, 1, 3).latency();
        assertArrayEquals(Arrays.copyOf(x, x.length - latency), Arrays.copyOfRange(y, latency, y.length));
    }

    @Test
    void afterAPeakItIsABitExactDelayAgain() {
        double[] x = new double[200_000];
        for (int i = 0; i < x.length; i++) x[i] = 0.3 * Math.sin(0.05 * i);
        x[1000] = 4;
        double[] y = limited(new double[][] {x}, -1, 480)[0];
        int latency = new Limiter(RATE, 1, 3).latency();
        int from = 150_000;
        assertArrayEquals(Arrays.copyOfRange(x, from - latency, x.length - latency), Arrays.copyOfRange(y, from, y.length));
    }

    @Test
    void anyCutHasTheSameBits() {
        double[][] x = {loud(2), loud(3)};
        double[][] whole = limited(x, -3, 480);
        for (int cut : new int[] {1, 7, 64}) {
            double[][] y = limited(x, -3, cut);
            for (int c = 0; c < 2; c++) assertArrayEquals(whole[c], y[c], "cut " + cut);
        }
    }

    /** Linked: what is turned down on one side is turned down on the other by as much. */
    @Test
    void bothSidesShareOneGain() {
        double[] quiet = new double[48_000];
        Arrays.fill(quiet, 0.1);
        double[][] alone = limited(new double[][] {loud(1)}, -3, 480);
        double[][] both = limited(new double[][] {loud(1), quiet}, -3, 480);
        assertArrayEquals(alone[0], both[0]);
        int latency = new Limiter(RATE, 1, 3).latency();
        double[] x = loud(1);
        for (int i = 5000; i < 40_000; i++) {
            if (Math.abs(x[i - latency]) > 0.05) assertEquals(both[0][i] / x[i - latency], both[1][i] / 0.1, 1e-9);
        }
    }

    /** Against an obvious oracle. */
    @Test
    void theSlidingMinimumIsTheMinimum() {
        SplittableRandom random = new SplittableRandom(3);
        double[] x = random.doubles(3000).map(v -> Math.floor(20 * v)).toArray();
        for (int window : new int[] {1, 2, 5, 64, 145}) {
            SlidingMinimum minimum = new SlidingMinimum(window);
            for (int i = 0; i < x.length; i++) {
                double expected = Arrays.stream(x, Math.max(0, i - window + 1), i + 1).min().orElseThrow();
                assertEquals(expected, minimum.next(x[i]));
            }
        }
    }
}
