package linnet.dsp.repair;

import java.util.Arrays;
import linnet.dsp.Approximation;
import linnet.dsp.Stretches;
import linnet.dsp.filter.Biquad;
import linnet.dsp.pitch.Decimator;

/**
 * What of a sound linear prediction cannot foretell: the formants of a voice are taken from it, its pulses and its clicks stay (S. Godsill, P. Rayner, "Digital
 * Audio Restoration", 1998). It hears one channel, block after block, and keeps two numbers for each cell of a quarter of a millisecond.
 */
final class PredictionError {
    /** In a frame of the pitch track, 10 ms. */
    static final int CELLS = 40;
    /** Bits of rounding, as a power: below this nothing was recorded. */
    static final double SILENCE = 1e-14;
    private static final double SLOW_RATE = 48_000, FRAME_SECONDS = 0.0427, ORDER_SECONDS = 0.00067;
    private static final double BAND = 1000;
    private static final int BLOCK = 480;

    /** Null for everywhere. */
    private final Stretches where;
    private final int before, after;
    private final int hop, factor, slowHop, frame, order;
    private final Decimator decimator;
    private final double[] window, windowed, autocorrelation, prediction, scratch;
    private final Biquad high;
    private double s1, s2;
    /** Slow samples; the first {@code frame/4 + order} lie before the hop that is analysed. */
    private final double[] held;
    private final double[] error;
    private final double[] block = new double[BLOCK];
    private int filled;
    private long heard;
    /** Slow samples analysed. */
    private long analysed;
    private double cellSum, cellPeak;
    private int cellCount, cells;
    /** From the cell {@code base} on. */
    private float[] errors = new float[1 << 14], peaks = new float[1 << 14];
    private int base;
    /** The first cell that is still asked for. */
    private int kept;

    /** @param rate in Hz; high ones are brought down to about 48 kHz, as clicks end at 10 kHz */
    PredictionError(double rate) {
        this(rate, null, 0, 0);
    }

    /**
     * @param where it is asked for, in samples; elsewhere it may be 0. Null for everywhere
     * @param before how many cells before such a place are asked for too
     * @param after how many after it
     */
    PredictionError(double rate, Stretches where, int before, int after) {
        this.where = where;
        this.before = before;
        this.after = after;
        hop = (int) Math.round(rate / 100);
        factor = Math.max(1, (int) Math.round(rate / SLOW_RATE));
        double slow = rate / factor;
        decimator = factor == 1 ? null : new Decimator(factor, BLOCK);
        slowHop = (int) (FRAME_SECONDS * slow / 4) * 2;
        frame = 2 * slowHop;
        order = (int) Math.round(ORDER_SECONDS * slow);
        window = new double[frame];
        for (int i = 0; i < frame; i++) window[i] = 0.5 - 0.5 * StrictMath.cos(2 * Math.PI * (i + 0.5) / frame);
        windowed = new double[frame + order];
        autocorrelation = new double[order + 1];
        prediction = new double[order + 1];
        scratch = new double[order + 1];
        high = Biquad.highPass(slow, BAND, Biquad.BUTTERWORTH);
        held = new double[frame + order + BLOCK + 2];
        error = new double[slowHop];
        filled = slowHop / 2 + order;
    }

    /** Hears the next {@code n} samples. */
    void add(double[] x, int n) {
        for (int at = 0; at < n; ) {
            int m = Math.min(Math.min(BLOCK, n - at), factor * (held.length - 1 - filled));
            if (decimator == null) {
                System.arraycopy(x, at, held, filled, m);
                filled += m;
            } else {
                System.arraycopy(x, at, block, 0, m);
                filled += decimator.decimate(block, m, held, filled);
            }
            at += m;
            while (filled >= frame + order) analyse();
        }
        heard += n;
    }

    /** The next hop, told from a frame around it. */
    private void analyse() {
        int first = order + slowHop / 2;
        if (isCompared()) predict(first);
        else Arrays.fill(error, 0);
        cells(first);
        System.arraycopy(held, slowHop, held, 0, filled - slowHop);
        filled -= slowHop;
    }

    /** Whether anything in this hop is wanted for a place, the cells of which are a little uneven. */
    private boolean isCompared() {
        int cell = hop / CELLS + 1;
        return where == null || where.meets(analysed * factor - (after + 2) * cell, (analysed + slowHop) * factor + (before + 2) * cell);
    }

    private void predict(int first) {
        for (int i = 0; i < frame; i++) windowed[i] = window[i] * held[order + i];
        correlate();
        if (autocorrelation[0] > SILENCE * frame) {
            // White noise far below, so that a band that holds nothing at all does not count.
            autocorrelation[0] *= 1 + 1e-9;
            Levinson.predict(autocorrelation, prediction, scratch);
        } else {
            Arrays.fill(prediction, 0);
            prediction[0] = 1;
        }
        System.arraycopy(held, first, error, 0, slowHop);
        int k = 1;
        for (; k + 3 <= order; k += 4) fourTaps(first - k);
        for (; k <= order; k++) {
            double a = prediction[k];
            for (int i = 0; i < slowHop; i++) error[i] += a * held[first - k + i];
        }
    }

    /** Four terms of the prediction at a time, in their order, so that the error is fetched and laid down once for them. */
    private void fourTaps(int from) {
        int k = order + slowHop / 2 - from;
        double a = prediction[k], b = prediction[k + 1], c = prediction[k + 2], d = prediction[k + 3];
        for (int i = 0; i < slowHop; i++) error[i] = error[i] + a * held[from + i] + b * held[from - 1 + i] + c * held[from - 2 + i] + d * held[from - 3 + i];
    }

    /** Eight lags at a time share the samples: as many sums as do not wait for each other. What lies past the frame is silence. */
    private void correlate() {
        for (int k = 0; k <= order; k += 8) {
            double a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0;
            int there = Math.min(frame, windowed.length - k - 7);
            for (int i = 0; i < there; i++) {
                double v = windowed[i];
                a += v * windowed[i + k];
                b += v * windowed[i + k + 1];
                c += v * windowed[i + k + 2];
                d += v * windowed[i + k + 3];
                e += v * windowed[i + k + 4];
                f += v * windowed[i + k + 5];
                g += v * windowed[i + k + 6];
                h += v * windowed[i + k + 7];
            }
            double[] sums = {a, b, c, d, e, f, g, h};
            System.arraycopy(sums, 0, autocorrelation, k, Math.min(8, order + 1 - k));
        }
    }

    /** Squares of the error, and peaks above the band, of the hop that begins there. */
    private void cells(int first) {
        for (int from = 0; from < slowHop; ) {
            // A cell ends with the first sample at or past its end.
            long end = ((cells + 1L) * hop + factor * CELLS - 1) / (factor * CELLS);
            int to = (int) Math.min(slowHop, from + end - analysed);
            hear(first, from, to);
            cellCount += to - from;
            analysed += to - from;
            from = to;
            if (analysed == end) endCell();
        }
    }

    /** The section is written out, as its output is only looked at: a cascade over a copy takes as long, and has other last bits. */
    private void hear(int first, int from, int to) {
        double b0 = high.b0(), b1 = high.b1(), b2 = high.b2(), a1 = high.a1(), a2 = high.a2();
        double s1 = this.s1, s2 = this.s2, sum = cellSum, peak = cellPeak;
        for (int i = from; i < to; i++) {
            double x = held[first + i], e = error[i], y = b0 * x + s1;
            s1 = b1 * x + s2 - a1 * y;
            s2 = b2 * x - a2 * y;
            sum += e * e;
            double v = Math.abs(y);
            peak = v > peak ? v : peak;
        }
        this.s1 = s1;
        this.s2 = s2;
        cellSum = sum;
        cellPeak = peak;
    }

    private void endCell() {
        if (cells - base == errors.length) makeRoom();
        errors[cells - base] = (float) (cellSum / cellCount);
        peaks[cells++ - base] = (float) cellPeak;
        cellSum = 0;
        cellPeak = 0;
        cellCount = 0;
        // As an amplitude it lies 280 dB down, far below any peak that counts.
        if (Math.abs(s1) + Math.abs(s2) < SILENCE) {
            s1 = 0;
            s2 = 0;
        }
    }

    /** Drops the cells that are no more asked for; where the others take most of the room, there is more of it then. */
    private void makeRoom() {
        int from = kept - base, room = 2 * (cells - kept) > errors.length ? 2 * errors.length : errors.length;
        errors = Arrays.copyOfRange(errors, from, from + room);
        peaks = Arrays.copyOfRange(peaks, from, from + room);
        base = kept;
    }

    /** Cells before this one are no more asked for: then an hour needs no more memory than seconds. */
    void forget(int before) {
        kept = Math.max(kept, before);
    }

    /** How many cells there are, with those that are forgotten. */
    int cells() {
        return cells;
    }

    /** Mean of the squares of the error in a cell. */
    double error(int cell) {
        return errors[cell - base];
    }

    /** Peak above 1 kHz in a cell, the one before it and the two after it. */
    double peak(int c) {
        int at = c - base;
        return Math.max(Math.max(peaks[at - 1], peaks[at]), Math.max(peaks[at + 1], peaks[at + 2]));
    }

    /** The error in dB; beyond the first cell and the last it is that of those. */
    double level(int cell) {
        return Approximation.DB_PER_OCTAVE / 2 * Approximation.log2(error(Math.max(0, Math.min(cells - 1, cell))) + SILENCE);
    }

    /** The first sample of a cell. */
    long sample(int cell) {
        return (long) cell * hop / CELLS;
    }

    /** The cell in which a time lies, in samples; between two samples too. */
    double cell(double sample) {
        return sample * CELLS / hop;
    }

    /** Nothing comes any more: the last samples need some silence behind them. Call once. */
    void finish() {
        long all = heard;
        double[] silence = new double[BLOCK];
        while (analysed * factor < all) add(silence, BLOCK);
        heard = all;
        cells = (int) Math.min(cells, all * CELLS / hop);
    }
}
