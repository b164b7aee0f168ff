package linnet.dsp.resample;

import linnet.dsp.Cell;
import linnet.dsp.Silence;

/**
 * Doubles the rate, and halves it again, through one linear-phase half-band filter. Every second tap of such a filter is zero
 * but the middle one, so of the two samples that stand for one, the first is the sample itself, delayed, and only the second
 * is filtered; and as the taps mirror each other, they are multiplied in pairs.
 *
 * <p>Up and down together are late by {@link #latency} samples of the doubled rate.
 */
public final class HalfBand {
    private final int pairs;
    private final MirroredFir fir;
    private final double[] up, even, odd; // each: what earlier blocks left, then the block, then room for what the filter only skims
    private final double[] folded;

    /**
     * @param pairs         pairs of taps that are not zero; the filter has 4 pairs - 1 taps in all
     * @param attenuationDb of the stop band; with the pairs it gives the width of the transition around half the lower rate
     * @param longest       most samples of the lower rate in a block
     */
    public HalfBand(int pairs, double attenuationDb, int longest) {
        this.pairs = pairs;
        fir = new MirroredFir(taps(pairs, attenuationDb));
        up = new double[longest + fir.reads()];
        even = new double[pairs - 1 + longest];
        odd = new double[longest + fir.reads()];
        folded = new double[longest];
    }

    /** Of one side, from the outermost to the one beside the middle, for a gain of 1. */
    private static double[] taps(int pairs, double attenuationDb) {
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
    static int latency(int pairs) {
        return 4 * pairs - 2;
    }

    /** n samples become 2 n. */
    public void up(double[] x, double[] y, int n) {
        int past = 2 * pairs - 1;
        System.arraycopy(x, 0, up, past, n);
        filter(up, folded, n);
        weave(up, pairs - 1, folded, y, n);
        System.arraycopy(up, n, up, 0, past);
    }

    /** n samples become the n even and the n odd ones of the doubled rate. */
    void up(double[] x, double[] evenOut, double[] oddOut, int n) {
        int past = 2 * pairs - 1;
        System.arraycopy(x, 0, up, past, n);
        filter(up, oddOut, n);
        System.arraycopy(up, pairs - 1, evenOut, 0, n);
        System.arraycopy(up, n, up, 0, past);
    }

    /** The n even and the n odd samples become n. */
    void down(double[] evenIn, double[] oddIn, double[] x, int n) {
        int past = 2 * pairs - 1;
        System.arraycopy(evenIn, 0, even, pairs - 1, n);
        System.arraycopy(oddIn, 0, odd, past, n);
        filter(odd, folded, n);
        average(even, folded, x, n);
        System.arraycopy(odd, n, odd, 0, past);
        System.arraycopy(even, n, even, 0, pairs - 1);
    }

    /** Zeroes what has died away, at the end of a cell. */
    public void settle() {
        settle(up, 2 * pairs - 1);
        settle(odd, 2 * pairs - 1);
        settle(even, pairs - 1);
    }

    /** Whether silence leaves it as silence; at the border of a cell. */
    public boolean rests() {
        return Silence.in(up, 2 * pairs - 1) && Silence.in(odd, 2 * pairs - 1) && Silence.in(even, pairs - 1);
    }

    private static void settle(double[] states, int n) {
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

    private void filter(double[] x, double[] y, int n) {
        for (int at = 0; at < n; at += Cell.LENGTH) fir.process(x, at, y, at, Math.min(Cell.LENGTH, n - at));
    }
}
