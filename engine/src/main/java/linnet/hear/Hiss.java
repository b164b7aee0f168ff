package linnet.hear;

import linnet.dsp.Cell;
import linnet.dsp.Tape;
import linnet.dsp.filter.Biquad;

/**
 * What lies above 3 kHz (12 dB/oct) in the mean of all channels, where noise of the mouth is strong and vowels are weak: its power in
 * frames of 10 ms, and its peak in each tenth of one.
 */
final class Hiss {
    static final int CELLS = 10;
    private static final double SPLIT = 3000;

    private final int hop;
    private final Biquad high;
    private double s1, s2, sum, peak;
    private int filled, cells;
    private final Series power = new Series();
    private final Tape peaks;
    private final double[][] waiting = new double[1][1024];

    Hiss(double rate, Tape.Maker tapes) {
        peaks = tapes.tape(100.0 * CELLS, 1);
        hop = (int) Math.round(rate / 100);
        high = Biquad.highPass(rate, Math.min(SPLIT, 0.4 * rate), Biquad.BUTTERWORTH);
    }

    void add(double[][] x, int n) {
        for (int from = 0; from < n; ) {
            // Cells end at whole samples; the last of a frame ends with it.
            int end = (int) ((long) (cells % CELLS + 1) * hop / CELLS);
            int to = Math.min(n, from + end - filled);
            hear(x, from, to);
            filled += to - from;
            from = to;
            if (filled == end) endCell();
        }
    }

    /**
     * The section is written out, as its input is made and its output is looked at in the same loop: a cascade of {@code dsp.filter} over a copy takes as long,
     * and has other last bits.
     */
    private void hear(double[][] x, int from, int to) {
        double b0 = high.b0(), b1 = high.b1(), b2 = high.b2(), a1 = high.a1(), a2 = high.a2();
        double[] left = x[0], right = x[x.length - 1];
        double s1 = this.s1, s2 = this.s2, sum = this.sum, peak = this.peak;
        for (int i = from; i < to; i++) {
            double in = 0.5 * (left[i] + right[i]);
            double y = b0 * in + s1;
            s1 = (b1 * in + s2) - a1 * y;
            s2 = b2 * in - a2 * y;
            sum += y * y;
            double v = Math.abs(y);
            peak = v > peak ? v : peak;
        }
        this.s1 = s1;
        this.s2 = s2;
        this.sum = sum;
        this.peak = peak;
    }

    private void endCell() {
        waiting[0][cells++ % waiting[0].length] = (float) peak;
        if (cells % waiting[0].length == 0) peaks.append(waiting, waiting[0].length);
        peak = 0;
        if (filled < hop) return;
        power.add((float) (sum / hop));
        sum = 0;
        filled = 0;
        s1 = Cell.settled(s1);
        s2 = Cell.settled(s2);
    }

    /** Power in each whole frame. */
    Series power() {
        return power;
    }

    /** Peak in each tenth of a frame. */
    Strip peaks() {
        return Strip.of(peaks);
    }

    /** Nothing more will come. Returns itself. */
    Hiss finished() {
        peaks.append(waiting, cells % waiting[0].length);
        peaks.finish();
        return this;
    }
}
