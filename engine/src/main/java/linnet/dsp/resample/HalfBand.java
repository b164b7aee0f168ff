package linnet.dsp.resample;

import linnet.dsp.Cell;

/**
 * Doubles the rate, and halves it again, through one linear-phase half-band filter. Every second tap of such a filter is zero
 * but the middle one, so of the two samples that stand for one, the first is the sample itself, delayed, and only the second
 * is filtered; and as the taps mirror each other, they are multiplied in pairs.
 *
 * <p>Up and down together are late by {@link #latency()} samples of the doubled rate.
 */
public final class HalfBand {
    private final double[] taps; // of one side, from the outermost to the one beside the middle, for a gain of 1
    private final double[] up, kept, filtered; // each: what earlier blocks left, then the block

    /**
     * @param pairs         pairs of taps that are not zero; the filter has 4 pairs - 1 taps in all
     * @param attenuationDb of the stop band; with the pairs it gives the width of the transition around half the lower rate
     * @param longest       most samples of the lower rate in a block
     */
    public HalfBand(int pairs, double attenuationDb, int longest) {
        taps = new double[pairs];
        double beta = Kaiser.beta(attenuationDb), sum = 0;
        for (int k = 0; k < pairs; k++) {
            double out = 2 * (pairs - k) - 1; // samples of the doubled rate from the middle
            taps[k] = Kaiser.sinc(out / 2) * Kaiser.at(out / (2 * pairs - 1), beta);
            sum += 2 * taps[k];
        }
        for (int k = 0; k < pairs; k++) taps[k] /= sum; // both samples of a pair then pass a constant alike
        up = new double[2 * pairs - 1 + longest];
        kept = new double[pairs - 1 + longest];
        filtered = new double[2 * pairs - 1 + longest];
    }

    /** Of {@link #up} and {@link #down} in series, in samples of the doubled rate: twice an odd number. */
    public int latency() {
        return 4 * taps.length - 2;
    }

    /** n samples become {@code even[0], odd[0], even[1], odd[1] …}: two arrays of n, the even ones first in time. */
    public void up(double[] x, double[] even, double[] odd, int n) {
        int pairs = taps.length, past = 2 * pairs - 1;
        System.arraycopy(x, 0, up, past, n);
        fold(up, taps, odd, n);
        System.arraycopy(up, pairs - 1, even, 0, n);
        System.arraycopy(up, n, up, 0, past);
    }

    /** Takes two samples for one; the inverse of {@link #up}. */
    public void down(double[] even, double[] odd, double[] x, int n) {
        int pairs = taps.length, past = 2 * pairs - 1;
        System.arraycopy(odd, 0, filtered, past, n);
        System.arraycopy(even, 0, kept, pairs - 1, n);
        fold(filtered, taps, x, n);
        average(kept, x, n);
        System.arraycopy(filtered, n, filtered, 0, past);
        System.arraycopy(kept, n, kept, 0, pairs - 1);
    }

    /** Zeroes what has died away, at the end of a cell. */
    public void settle() {
        settle(up, 2 * taps.length - 1);
        settle(filtered, 2 * taps.length - 1);
        settle(kept, taps.length - 1);
    }

    private static void settle(double[] states, int n) {
        for (int i = 0; i < n; i++) states[i] = Cell.settled(states[i]);
    }

    private static void average(double[] kept, double[] x, int n) {
        for (int i = 0; i < n; i++) x[i] = 0.5 * (x[i] + kept[i]);
    }

    /**
     * {@code y[i] = Σ taps[k] (x[i+k] + x[i+last-k])}. Four outputs at a time share the loads and keep the adders busy; each is
     * summed in the same order as a single one, so the cut into blocks leaves no trace.
     */
    private static void fold(double[] x, double[] taps, double[] y, int n) {
        int pairs = taps.length, last = 2 * pairs - 1, i = 0;
        for (; i + 4 <= n; i += 4) {
            double a = 0, b = 0, c = 0, d = 0;
            for (int k = 0; k < pairs; k++) {
                double h = taps[k];
                int p = i + k, q = i + last - k;
                a += h * (x[p] + x[q]);
                b += h * (x[p + 1] + x[q + 1]);
                c += h * (x[p + 2] + x[q + 2]);
                d += h * (x[p + 3] + x[q + 3]);
            }
            y[i] = a;
            y[i + 1] = b;
            y[i + 2] = c;
            y[i + 3] = d;
        }
        for (; i < n; i++) {
            double a = 0;
            for (int k = 0; k < pairs; k++) a += taps[k] * (x[i + k] + x[i + last - k]);
            y[i] = a;
        }
    }
}
