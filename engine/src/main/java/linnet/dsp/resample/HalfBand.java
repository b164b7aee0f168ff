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
    private final double[] up, even, odd; // each: what earlier blocks left, then the block
    private final double[] folded;

    /**
     * @param pairs         pairs of taps that are not zero; the filter has 4 pairs - 1 taps in all
     * @param attenuationDb of the stop band; with the pairs it gives the width of the transition around half the lower rate
     * @param longest       most samples of the lower rate in a block
     */
    public HalfBand(int pairs, double attenuationDb, int longest) {
        taps = taps(pairs, attenuationDb);
        up = new double[2 * pairs - 1 + longest];
        even = new double[pairs - 1 + longest];
        odd = new double[2 * pairs - 1 + longest];
        folded = new double[longest];
    }

    static double[] taps(int pairs, double attenuationDb) {
        double[] taps = new double[pairs];
        double beta = Kaiser.beta(attenuationDb), sum = 0;
        for (int k = 0; k < pairs; k++) {
            double out = 2 * (pairs - k) - 1; // samples of the doubled rate from the middle
            taps[k] = Kaiser.sinc(out / 2) * Kaiser.at(out / (2 * pairs - 1), beta);
            sum += 2 * taps[k];
        }
        for (int k = 0; k < pairs; k++) taps[k] /= sum; // both samples of a pair then pass a constant alike
        return taps;
    }

    /** Of {@link #up} and {@link #down} in series, in samples of the doubled rate: twice an odd number. */
    public int latency() {
        return 4 * taps.length - 2;
    }

    /** n samples become 2 n. */
    public void up(double[] x, double[] y, int n) {
        int pairs = taps.length, past = 2 * pairs - 1;
        System.arraycopy(x, 0, up, past, n);
        fold(up, taps, folded, n);
        weave(up, pairs - 1, folded, y, n);
        System.arraycopy(up, n, up, 0, past);
    }

    /** n samples become the n even and the n odd ones of the doubled rate. */
    void up(double[] x, double[] evenOut, double[] oddOut, int n) {
        int pairs = taps.length, past = 2 * pairs - 1;
        System.arraycopy(x, 0, up, past, n);
        fold(up, taps, oddOut, n);
        System.arraycopy(up, pairs - 1, evenOut, 0, n);
        System.arraycopy(up, n, up, 0, past);
    }

    /** The n even and the n odd samples become n. */
    void down(double[] evenIn, double[] oddIn, double[] x, int n) {
        int pairs = taps.length, past = 2 * pairs - 1;
        System.arraycopy(evenIn, 0, even, pairs - 1, n);
        System.arraycopy(oddIn, 0, odd, past, n);
        fold(odd, taps, folded, n);
        average(even, folded, x, n);
        System.arraycopy(odd, n, odd, 0, past);
        System.arraycopy(even, n, even, 0, pairs - 1);
    }

    /** Zeroes what has died away, at the end of a cell. */
    public void settle() {
        settle(up, 2 * taps.length - 1);
        settle(odd, 2 * taps.length - 1);
        settle(even, taps.length - 1);
    }

    static void settle(double[] states, int n) {
        for (int i = 0; i < n; i++) states[i] = Cell.settled(states[i]);
    }

    private static void weave(double[] even, int from, double[] odd, double[] y, int n) {
        for (int i = 0; i < n; i++) {
            y[2 * i] = even[from + i];
            y[2 * i + 1] = odd[i];
        }
    }

    private static void average(double[] a, double[] b, double[] mean, int n) {
        for (int i = 0; i < n; i++) mean[i] = 0.5 * (a[i] + b[i]);
    }

    /**
     * {@code y[i] = Σ taps[k] (x[i+k] + x[last+i-k])}. Four outputs at a time keep the adders busy; each is summed in the same
     * order as a single one, so the cut into blocks leaves no trace.
     */
    private static void fold(double[] x, double[] taps, double[] y, int n) {
        int pairs = taps.length, last = 2 * pairs - 1, i = 0;
        for (; i + 4 <= n; i += 4) {
            double a = 0, b = 0, c = 0, d = 0;
            for (int k = 0; k < pairs; k++) {
                double h = taps[k];
                int p = i + k, q = last + i - k;
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
            for (int k = 0; k < pairs; k++) a += taps[k] * (x[i + k] + x[last + i - k]);
            y[i] = a;
        }
    }
}
