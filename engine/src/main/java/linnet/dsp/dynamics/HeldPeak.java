package linnet.dsp.dynamics;

import static linnet.dsp.Approximation.DB_PER_OCTAVE;

import java.util.Arrays;
import linnet.dsp.Approximation;
import linnet.dsp.Silence;

/**
 * The level of the highest magnitude of the last few milliseconds. With a window of a voice's period the level stands still from peak to
 * peak, so that a fast release does not follow the waveform of a low note; a low note would growl.
 *
 * <p>Source: the sliding maximum of M. van Herk, Pattern Recognition Letters 13(7), 1992, here over the maxima of hops: the
 * window is cut into fixed stretches, and it always is the end of one and the beginning of the next. The hop that is not
 * yet full counts with its newest sample only. So the level stands still through most hops, and few logarithms are taken; a
 * release loses nothing in so short a time.
 */
final class HeldPeak {
    /** Samples in a hop at the usual rates. */
    private static final int FULL = 40;

    private final int length;
    /** Of the stretch before: from each hop to its end; overwritten, hop by hop, with the maxima of the present one. */
    private final double[] toEnd;
    private int at;
    private double fromBeginning;
    private double hop, before, beforeDb = decibels(0);
    private int into;

    /** @param windowMs it is rounded to whole hops */
    HeldPeak(double rate, double windowMs) {
        length = Hop.at(rate, FULL);
        toEnd = new double[Math.max(1, (int) Math.round(windowMs * 1e-3 * rate / length)) + 1]; // the last stays 0: nothing is left
    }

    /** Fills {@code db}, another array, with the level of the window that ends with each sample, as {@link Approximation#decibels} has it. */
    void process(double[] x, double[] db, int n) {
        for (int i = 0; i < n; ) {
            int to = Math.min(n, i + length - into);
            double most = highest(x, i, to);
            if (most > before) rise(x, i, to, db);
            else Arrays.fill(db, i, to, beforeDb);
            hop = Math.max(hop, most);
            into += to - i;
            if (into == length) next();
            i = to;
        }
    }

    /** Whether nothing is held. Where the present stretch began then makes no difference any more. */
    boolean rests() {
        return before == 0 && hop == 0 && fromBeginning == 0 && Silence.in(toEnd);
    }

    /** Where samples stand above all that is held. */
    private void rise(double[] x, int from, int to, double[] db) {
        for (int i = from; i < to; i++) {
            double a = Math.abs(x[i]);
            db[i] = a > before ? decibels(a) : beforeDb;
        }
    }

    private static double decibels(double magnitude) {
        return DB_PER_OCTAVE * Approximation.log2(magnitude);
    }

    private void next() {
        toEnd[at++] = hop;
        fromBeginning = Math.max(fromBeginning, hop);
        if (at == toEnd.length - 1) {
            for (int k = at - 2; k >= 0; k--) toEnd[k] = Math.max(toEnd[k], toEnd[k + 1]);
            at = 0;
            fromBeginning = 0;
        }
        double held = Math.max(fromBeginning, toEnd[at]);
        if (held != before) beforeDb = decibels(held);
        before = held;
        hop = 0;
        into = 0;
    }

    /** The bits of magnitudes order as the magnitudes do, and whole numbers compare faster; two chains wait less than one. */
    private static double highest(double[] x, int from, int to) {
        long even = 0, odd = 0;
        int i = from;
        for (; i < to - 1; i += 2) {
            even = Math.max(even, Double.doubleToRawLongBits(x[i]) & Long.MAX_VALUE);
            odd = Math.max(odd, Double.doubleToRawLongBits(x[i + 1]) & Long.MAX_VALUE);
        }
        if (i < to) even = Math.max(even, Double.doubleToRawLongBits(x[i]) & Long.MAX_VALUE);
        return Double.longBitsToDouble(Math.max(even, odd));
    }
}
