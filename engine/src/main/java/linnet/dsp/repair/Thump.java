package linnet.dsp.repair;

import java.util.List;
import linnet.dsp.Decibels;
import linnet.dsp.Sound;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.ZeroPhase;

/**
 * A thump of breath on a microphone, taken out: what lies below a corner is subtracted while the thump lasts. The band is cut out with
 * zero phase, so that what is left fits the sound before and after, and nothing above the corner is turned. Where a voice sounds in the
 * thump, the corner stands below its pitch, and the chest of the voice stays.
 *
 * <p>The method, a high-pass over about twice the length of the thump with its edges blended, and the figures are common practice.
 */
public final class Thump {
    private static final int ORDER = 6;
    /** Periods of the corner that the filter runs in: by then it has died away by 100 dB and more. */
    private static final double RUN_IN = 14;

    /**
     * @param from where the thump begins
     * @param to the sample after its end
     * @param voiced where a voice begins to sound in it; {@code to} or later where none does before the end
     * @param hz the corner, below which half or less is left
     * @param voicedHz the corner from {@code voiced} on, no higher
     * @param db how far it is lowered
     */
    public record Cut(long from, long to, long voiced, double hz, double voicedHz, double db) {}

    private Thump() {}

    /**
     * The sound without the thump, from {@code blend} samples before it to as many after it.
     *
     * @param first sample that may be touched, no later than {@code cut.from}
     * @param end of the samples that may be touched, no earlier than {@code cut.to}
     */
    public static Patch remove(Sound sound, Cut cut, int blend, long first, long end) {
        long from = Math.max(first, cut.from - blend), to = Math.min(end, cut.to + blend);
        int n = (int) (to - from), around = (int) (RUN_IN / cut.voicedHz * sound.rate());
        double[][] x = read(sound, from - around, n + 2 * around), patch = new double[sound.channels()][n];
        double share = 1 - Decibels.gain(-cut.db);
        for (int c = 0; c < x.length; c++) {
            double[] low = low(x[c], sound.rate(), cut.hz), chestless = cut.voicedHz < cut.hz ? low(x[c], sound.rate(), cut.voicedHz) : low;
            for (int i = 0; i < n; i++) {
                // At its ends the stretch may be cut short by what is kept: the blend is then inside the thump.
                double whole = rise(i + 0.5, blend) * rise(n - i - 0.5, blend), unvoiced = rise(cut.voiced - from - i - 0.5, blend);
                int at = around + i;
                patch[c][i] = x[c][at] - share * whole * (chestless[at] + unvoiced * (low[at] - chestless[at]));
            }
        }
        return new Patch(from, patch);
    }

    private static double[] low(double[] x, double rate, double hz) {
        List<Biquad> sections = Butterworth.lowPass(rate, hz, ORDER);
        double[] low = x.clone();
        ZeroPhase.process(sections, low);
        return low;
    }

    /** From 0 to 1 as the distance from an edge goes from 0 to {@code length}: half a cosine. */
    private static double rise(double distance, int length) {
        if (distance <= 0) return 0;
        return distance >= length ? 1 : 0.5 - 0.5 * StrictMath.cos(Math.PI * distance / length);
    }

    /** Beyond the ends of the sound there is silence. */
    private static double[][] read(Sound sound, long from, int n) {
        double[][] x = new double[sound.channels()][n];
        long begin = Math.max(0, from), end = Math.min(sound.frames(), from + n);
        double[][] there = new double[sound.channels()][(int) Math.max(0, end - begin)];
        if (there[0].length == 0) return x;
        sound.read(begin, there, there[0].length);
        for (int c = 0; c < x.length; c++) System.arraycopy(there[c], 0, x[c], (int) (begin - from), there[c].length);
        return x;
    }
}
