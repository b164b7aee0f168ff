package linnet.dsp.resample;

import linnet.dsp.Cell;

/**
 * Four times the rate, and back, through two {@link HalfBand}s each way. The quadrupled signal is never woven into one array: it
 * stays in its four phases, as long as the signal itself. So the shorter filter, whose two rates are both beyond the signal's,
 * runs over whole phases shifted against each other, in loops of which the compiler makes vectors.
 */
public final class Fourfold {
    /** Of the shorter filter; its taps reach over {@link #SPAN} samples of the doubled rate, that is, so many of each phase. */
    private static final int PAIRS = 7, SPAN = 2 * PAIRS, REACH = SPAN / 2;

    private final HalfBand lower;
    private final double[] taps;
    private final double[] even = new double[Cell.LENGTH], odd = new double[Cell.LENGTH];
    private final Phases rising = new Phases(), falling = new Phases();
    /** Of the quadrupled rate, phases that the shorter filter only delays: what earlier blocks left, then the block. */
    private final double[] first = new double[PAIRS / 2 + Cell.LENGTH], third = new double[PAIRS / 2 + Cell.LENGTH];
    private final double[] late = new double[1 + Cell.LENGTH];

    /**
     * @param pairs of taps of the longer filter, as of a {@link HalfBand}
     * @param attenuationDb of both
     */
    public Fourfold(int pairs, double attenuationDb) {
        lower = new HalfBand(pairs, attenuationDb, Cell.LENGTH);
        taps = HalfBand.taps(PAIRS, attenuationDb);
    }

    /** Of {@link #up} and {@link #down} in series, in samples of the signal. */
    public int latency() {
        // The shorter pair is late by an odd number at twice the rate; one sample more makes the sum a whole one.
        return (lower.latency() + (4 * PAIRS - 2) / 2 + 1) / 2;
    }

    /** n samples become four phases of n each: {@code y[p][i]} stands at a time of {@code i + p/4}. */
    public void up(double[] x, double[][] y, int n) {
        lower.up(x, even, odd, n);
        rising.take(even, odd, n);
        double[][] w = rising.shifted;
        System.arraycopy(w[PAIRS], 0, y[0], 0, n);
        fold(w, 1, taps, y[1], n);
        System.arraycopy(w[PAIRS + 1], 0, y[2], 0, n);
        fold(w, 2, taps, y[3], n);
        rising.keep(n);
    }

    /** Four phases of n samples become n samples. */
    public void down(double[][] y, double[] x, int n) {
        falling.take(y[1], y[3], n);
        fold(falling.shifted, 1, taps, odd, n);
        fold(falling.shifted, 2, taps, even, n);
        falling.keep(n);
        System.arraycopy(y[0], 0, first, PAIRS / 2, n);
        average(first, odd, odd, n);
        System.arraycopy(first, n, first, 0, PAIRS / 2);
        System.arraycopy(y[2], 0, third, PAIRS / 2, n);
        average(third, even, even, n);
        System.arraycopy(third, n, third, 0, PAIRS / 2);
        System.arraycopy(even, 0, late, 1, n);
        lower.down(late, odd, x, n);
        late[0] = late[n];
    }

    /** Zeroes what has died away, at the end of a cell. */
    public void settle() {
        lower.settle();
        rising.settle();
        falling.settle();
        HalfBand.settle(first, PAIRS / 2);
        HalfBand.settle(third, PAIRS / 2);
        HalfBand.settle(late, 1);
    }

    /** The even and the odd samples of a doubled rate, each at all the shifts that the taps ask for. */
    private static final class Phases {
        private final double[] even = new double[REACH + Cell.LENGTH], odd = new double[REACH + Cell.LENGTH];
        /** {@code shifted[m][i]} is the sample of the doubled rate at {@code 2 i + m - SPAN}. */
        private final double[][] shifted = new double[SPAN + 2][];

        Phases() {
            shifted[1] = odd; // as far back as it goes: its start is the oldest sample
            for (int m = 2; m < shifted.length; m++) shifted[m] = new double[Cell.LENGTH];
        }

        void take(double[] newEven, double[] newOdd, int n) {
            System.arraycopy(newEven, 0, even, REACH, n);
            System.arraycopy(newOdd, 0, odd, REACH, n);
            for (int m = 2; m < shifted.length; m++) System.arraycopy(m % 2 == 0 ? even : odd, m / 2, shifted[m], 0, n);
        }

        void keep(int n) {
            System.arraycopy(even, n, even, 0, REACH);
            System.arraycopy(odd, n, odd, 0, REACH);
        }

        void settle() {
            HalfBand.settle(even, REACH);
            HalfBand.settle(odd, REACH);
        }
    }

    /** {@code y[i] = Σ taps[k] (w[from + k][i] + w[from + SPAN - 1 - k][i])}. */
    private static void fold(double[][] w, int from, double[] taps, double[] y, int n) {
        int last = from + SPAN - 1;
        fourPairs(w[from], w[last], taps[0], w[from + 1], w[last - 1], taps[1], w[from + 2], w[last - 2], taps[2], w[from + 3], w[last - 3], taps[3], y, n);
        threePairs(w[from + 4], w[last - 4], taps[4], w[from + 5], w[last - 5], taps[5], w[from + 6], w[last - 6], taps[6], y, n);
    }

    private static void fourPairs(double[] a, double[] b, double h0, double[] c, double[] d, double h1, double[] e, double[] f, double h2,
            double[] g, double[] h, double h3, double[] y, int n) {
        for (int i = 0; i < n; i++) y[i] = (h0 * (a[i] + b[i]) + h1 * (c[i] + d[i])) + (h2 * (e[i] + f[i]) + h3 * (g[i] + h[i]));
    }

    private static void threePairs(double[] a, double[] b, double h0, double[] c, double[] d, double h1, double[] e, double[] f, double h2,
            double[] y, int n) {
        for (int i = 0; i < n; i++) y[i] += (h0 * (a[i] + b[i]) + h1 * (c[i] + d[i])) + h2 * (e[i] + f[i]);
    }

    private static void average(double[] a, double[] b, double[] mean, int n) {
        for (int i = 0; i < n; i++) mean[i] = 0.5 * (a[i] + b[i]);
    }
}
