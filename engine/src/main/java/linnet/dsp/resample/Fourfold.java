package linnet.dsp.resample;

import linnet.dsp.Cell;

/** Four times the rate, and back, through two {@link HalfBand}s each way: a long one, and one whose two rates are both beyond the signal's. */
public final class Fourfold {
    private static final int PAIRS = 7;

    private final HalfBand lower, upper;
    private final double[] even = new double[1 + Cell.LENGTH], odd = new double[Cell.LENGTH], twice = new double[2 * Cell.LENGTH];

    /**
     * @param pairs of taps of the longer filter, as of a {@link HalfBand}
     * @param attenuationDb of both
     */
    public Fourfold(int pairs, double attenuationDb) {
        lower = new HalfBand(pairs, attenuationDb, Cell.LENGTH);
        upper = new HalfBand(PAIRS, attenuationDb, 2 * Cell.LENGTH);
    }

    /** Of {@link #up} and {@link #down} in series, in samples of the signal. */
    public static int latency(int pairs) {
        // The shorter pair is late by an odd number at twice the rate; one sample more makes the sum a whole one.
        return (HalfBand.latency(pairs) + HalfBand.latency(PAIRS) / 2 + 1) / 2;
    }

    /** n samples become the 2 n even ones and the 2 n odd ones of four times the rate. */
    public void up(double[] x, double[] evenOut, double[] oddOut, int n) {
        lower.up(x, twice, n);
        upper.up(twice, evenOut, oddOut, 2 * n);
    }

    /** Those become n samples again. */
    public void down(double[] evenIn, double[] oddIn, double[] x, int n) {
        upper.down(evenIn, oddIn, twice, 2 * n);
        for (int i = 0; i < n; i++) {
            odd[i] = twice[2 * i];
            even[1 + i] = twice[2 * i + 1];
        }
        lower.down(even, odd, x, n);
        even[0] = even[n];
    }

    /** Zeroes what has died away, at the end of a cell. */
    public void settle() {
        lower.settle();
        upper.settle();
        even[0] = Cell.settled(even[0]);
    }

    /** Whether silence leaves it as silence; at the border of a cell. */
    public boolean rests() {
        return even[0] == 0 && lower.rests() && upper.rests();
    }
}
