package linnet.dsp.pitch;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.ZeroPhase;

/**
 * How alike the cycles of a voice are whose pitch is known to lie near: a voice behind closed lips is too soft and too dull for a pitch tracker,
 * but each of its cycles is like the one before, and those of a thump are not. The normalised cross-correlation of two stretches of one and a
 * half periods each, a period apart, in the band of the first five harmonics.
 *
 * <p>Source of the correlation: D. Talkin, "A robust algorithm for pitch tracking (RAPT)", in Speech Coding and Synthesis, Elsevier, 1995
 * (from memory).
 */
public final class Cycles {
    /** The band, as shares of the pitch; it leaves out what a thump has below. */
    private static final double LOWEST = 0.8, HIGHEST = 5;
    /** By how much the pitch may differ, and the length of what is compared, in periods. */
    private static final double NEAR = 1.3, LENGTH = 1.5;
    /** Periods in which the filters come to rest. */
    private static final double RUN_IN = 14;
    private static final int ORDER = 2;

    private final double[] x;
    private final long begin;
    private final int shortest, longest, length;

    /**
     * @param from first sample that is asked for
     * @param to the sample after the last
     * @param hz the pitch that is near
     */
    public Cycles(Sound sound, long from, long to, double hz) {
        double rate = sound.rate();
        int around = (int) (RUN_IN * rate / hz), n = (int) (to - from) + 2 * around;
        begin = from - around;
        double[][] all = new double[sound.channels()][n];
        new Excerpt(sound, begin, n).read(0, all, n);
        x = all[0];
        for (int c = 1; c < all.length; c++) for (int i = 0; i < n; i++) x[i] += all[c][i];
        List<Biquad> band = new ArrayList<>(Butterworth.highPass(rate, LOWEST * hz, ORDER));
        band.addAll(Butterworth.lowPass(rate, Math.min(HIGHEST * hz, Biquad.HIGHEST * rate), ORDER));
        ZeroPhase.process(band, x);
        shortest = (int) (rate / (NEAR * hz));
        longest = (int) (rate * NEAR / hz);
        length = (int) (LENGTH * rate / hz);
    }

    /** From -1 to 1, around a sample; 0 in silence. */
    public double alike(long at) {
        double most = -1;
        for (int lag = shortest; lag <= longest; lag++) {
            int first = (int) (at - begin) - (length + lag) / 2;
            double both = 0, one = 0, other = 0;
            for (int i = first; i < first + length; i++) {
                both += x[i] * x[i + lag];
                one += x[i] * x[i];
                other += x[i + lag] * x[i + lag];
            }
            if (one * other > 0) most = Math.max(most, both / Math.sqrt(one * other));
            else return 0;
        }
        return most;
    }
}
