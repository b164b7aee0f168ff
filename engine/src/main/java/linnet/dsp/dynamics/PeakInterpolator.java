package linnet.dsp.dynamics;

import java.util.Arrays;
import linnet.dsp.Cell;
import linnet.dsp.resample.Kaiser;

/**
 * The largest magnitude that a signal reaches at and around each sample, between the samples too: interpolation to eight
 * times the rate by a windowed sinc, flat within 0.01 dB to 20 kHz at 44.1 kHz and above.
 *
 * <p>Source: ITU-R BS.1770 Annex 2 gives the method; the filter there has 0.24 dB of ripple, so a limiter needs this longer
 * one. At eight times the rate a peak is under-read by 0.14 dB at most, at 0.45 of the rate.
 */
final class PeakInterpolator {
    /** Samples by which the magnitudes are later than the signal. */
    static final int LATENCY = 24;

    private static final int TAPS = 2 * LATENCY;
    private static final int PHASES = 8;
    private static final double ATTENUATION_DB = 60;

    /** One interpolated value is a sum of samples by at most this much: the largest sum of magnitudes of the taps. */
    private static final double[][] TAP = taps();

    private static final double WORST = worst();

    private final double[] past = new double[TAPS + Cell.LENGTH];
    /** The block shifted by each tap: same index in every array, so that the sums vectorise. */
    private final double[][] shifted = new double[TAPS][Cell.LENGTH];

    private final double[] sum = new double[Cell.LENGTH];
    private final double[] between = new double[Cell.LENGTH];
    private double lastBetween;

    private static double[][] taps() {
        double[][] h = new double[PHASES - 1][TAPS];
        double beta = Kaiser.beta(ATTENUATION_DB);
        for (int p = 1; p < PHASES; p++) {
            double dc = 0;
            for (int t = 0; t < TAPS; t++) {
                // The value at p/8 after sample LATENCY - 1 of the window.
                double x = t - (LATENCY - 1) - (double) p / PHASES;
                h[p - 1][t] = Kaiser.sinc(x) * Kaiser.at(x / LATENCY, beta);
                dc += h[p - 1][t];
            }
            for (int t = 0; t < TAPS; t++) h[p - 1][t] /= dc;
        }
        return h;
    }

    private static double worst() {
        return Arrays.stream(TAP).mapToDouble(h -> Arrays.stream(h).map(Math::abs).sum()).max().orElseThrow();
    }

    /**
     * Raises {@code peak[i]} to the magnitude around the sample {@link #LATENCY} before {@code x[i]}.
     *
     * @param least magnitudes below this do not matter; where none can reach it, only samples are looked at
     */
    void process(double[] x, double[] peak, int n, double least) {
        System.arraycopy(x, 0, past, TAPS, n);
        double loudest = 0;
        for (int i = 0; i < TAPS + n; i++) loudest = Math.max(loudest, Math.abs(past[i]));
        if (loudest * WORST >= least) interpolate(n);
        else Arrays.fill(between, 0, n, 0);
        for (int i = 0; i < n; i++) {
            // past[i + LATENCY] is the sample; between[i] lies after it, the one before was the last.
            double here = Math.max(Math.abs(past[i + LATENCY]), Math.max(lastBetween, between[i]));
            lastBetween = between[i];
            if (here > peak[i]) peak[i] = here;
        }
        System.arraycopy(past, n, past, 0, TAPS);
    }

    /** The largest magnitude between the sample {@code past[i + LATENCY]} and the next. */
    private void interpolate(int n) {
        for (int t = 0; t < TAPS; t++) System.arraycopy(past, t + 1, shifted[t], 0, n);
        Arrays.fill(between, 0, n, 0);
        for (double[] h : TAP) {
            Arrays.fill(sum, 0, n, 0);
            for (int t = 0; t < TAPS; t += 4) add(sum, shifted[t], shifted[t + 1], shifted[t + 2], shifted[t + 3], h[t], h[t + 1], h[t + 2], h[t + 3], n);
            for (int i = 0; i < n; i++) between[i] = Math.max(between[i], Math.abs(sum[i]));
        }
    }

    private static void add(double[] y, double[] a, double[] b, double[] c, double[] d, double ha, double hb, double hc, double hd, int n) {
        for (int i = 0; i < n; i++) y[i] += ha * a[i] + hb * b[i] + hc * c[i] + hd * d[i];
    }
}
