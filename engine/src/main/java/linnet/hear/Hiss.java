package linnet.hear;

import java.util.Arrays;
import linnet.dsp.Cell;
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
    private int filled, frames, cells;
    private float[] power = new float[1024], peaks = new float[1024 * CELLS];

    Hiss(double rate) {
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
        if (cells == peaks.length) peaks = Arrays.copyOf(peaks, 2 * cells);
        peaks[cells++] = (float) peak;
        peak = 0;
        if (filled < hop) return;
        if (frames == power.length) power = Arrays.copyOf(power, 2 * frames);
        power[frames++] = (float) (sum / hop);
        sum = 0;
        filled = 0;
        s1 = Cell.settled(s1);
        s2 = Cell.settled(s2);
    }

    /** Power in each whole frame. */
    float[] power() {
        return Arrays.copyOf(power, frames);
    }

    /** Peak in each tenth of a frame. */
    float[] peaks() {
        return Arrays.copyOf(peaks, cells);
    }
}
