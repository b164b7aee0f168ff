package linnet.dsp.pitch;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;

/**
 * Makes a voice longer or shorter by whole periods and leaves its pitch alone: at a few places it is joined to itself some periods
 * earlier or later, where it is most like itself there (synchronised overlap and add: S. Roucos, A. Wilgus, ICASSP 1985, from memory; with the period
 * known, as E. Moulines, F. Charpentier, Speech Communication 9, 1990). Between the joins every sample stays what it was, so there is
 * nothing that could buzz. Around a join of a lag the voice is at most a tenth longer or shorter: no other lies within ten lags.
 */
public final class Periods {
    /** Lags are as many periods as fit in so many seconds: fewer joins are better than short ones. */
    private static final double LONGEST_S = 0.009, WINDOW_S = 0.004, STEP_S = 0.005, CROSS_S = 0.007;
    private static final double RANGE = 0.08, ALIKE = 0.8;
    /** Samples of the voice for each sample that it gets longer or shorter. */
    public static final int SPARSE = 10;
    private static final int COARSE = 4;

    private final Sound sound;
    private final PitchTrack pitch;
    private final double[][] read;
    private double[] x = new double[0];
    private long start;

    /**
     * A place where the sound is joined to itself.
     *
     * @param at the sample that is like the one {@code lag} samples after it
     * @param width samples of a crossfade that suits it
     * @param alike correlation of the two places
     */
    public record Join(long at, int lag, int width, double alike) {}

    public Periods(Sound sound, PitchTrack pitch) {
        this.sound = sound;
        this.pitch = pitch;
        read = new double[sound.channels()][0];
    }

    /**
     * Finds where a voice can be joined so that it is longer or shorter by about so many samples, within half a period; by less where it is
     * too short or not like itself anywhere.
     *
     * @param voiced pairs of the first sample and the one after the last of stretches with a pitch, in order of time
     * @return in order of time
     */
    public List<Join> joins(List<long[]> voiced, long samples) {
        long left = Math.abs(samples);
        List<Join> found = new ArrayList<>();
        while (true) {
            Join best = null;
            for (long[] v : voiced) {
                Join j = best(v[0], v[1], left, found);
                if (j != null && (best == null || j.alike > best.alike)) best = j;
            }
            if (best == null) break;
            found.add(best);
            left -= best.lag;
        }
        found.sort(Comparator.comparingLong(Join::at));
        return found;
    }

    private Join best(long from, long to, long left, List<Join> taken) {
        double rate = sound.rate();
        long room = to - from;
        for (Join j : taken) if (j.at >= from && j.at < to) room -= (long) SPARSE * j.lag;
        Join best = null;
        long step = (long) (STEP_S * rate);
        for (long t = from + step; t < to; t += step) {
            int frame = (int) (t / pitch.hop());
            if (!pitch.voiced(frame)) continue;
            double period = rate / pitch.hz()[frame];
            long most = Math.min(Math.round(left / period), (long) (LONGEST_S * rate / period));
            int count = (int) Math.max(1, Math.min(most, room / (SPARSE * period)));
            double lag = count * period;
            if (left < 0.5 * lag || room < SPARSE * lag || t + 2 * lag > to || t - lag < from || isNear(t, lag, taken)) continue;
            Join j = join(t, lag, period);
            if (j.alike >= ALIKE && (best == null || j.alike > best.alike)) best = j;
        }
        return best;
    }

    private static boolean isNear(long t, double lag, List<Join> taken) {
        for (Join j : taken) if (Math.abs(j.at - t) < SPARSE * Math.max(j.lag, lag)) return true;
        return false;
    }

    /** The lag at which what is around a place is most like what is around the place a lag on. */
    private Join join(long t, double lag, double period) {
        int side = (int) Math.max(period, WINDOW_S * sound.rate()), range = (int) Math.max(2, RANGE * lag);
        hear(t - side - range, t + (long) lag + side + range + 1);
        int centre = (int) (t - start), at = (int) Math.round(lag), best = at;
        double most = -1;
        for (int d = at - range; d <= at + range; d += COARSE) {
            double alike = alike(centre, d, side, COARSE);
            if (alike > most) {
                most = alike;
                best = d;
            }
        }
        int near = best;
        most = -1;
        for (int d = near - COARSE + 1; d < near + COARSE; d++) {
            double alike = alike(centre, d, side, 1);
            if (alike > most) {
                most = alike;
                best = d;
            }
        }
        return new Join(t, best, (int) Math.max(period, CROSS_S * sound.rate()), most);
    }

    private double alike(int centre, int lag, int side, int step) {
        double both = 0, one = 1e-30, other = 1e-30;
        for (int i = centre - side; i < centre + side; i += step) {
            double a = x[i], b = x[i + lag];
            both += a * b;
            one += a * a;
            other += b * b;
        }
        return both / Math.sqrt(one * other) * Math.sqrt(Math.min(one, other) / Math.max(one, other));
    }

    /** Has a stretch at hand; what lies outside the sound is silent. */
    private void hear(long from, long to) {
        if (from >= start && to <= start + x.length) return;
        int n = (int) Math.max(to - from, sound.rate() / 2);
        for (int c = 0; c < read.length; c++) if (read[c].length < n) read[c] = new double[n];
        new Excerpt(sound, from, n).read(0, read, n);
        x = new double[n];
        for (double[] channel : read) for (int i = 0; i < n; i++) x[i] += channel[i] / read.length;
        start = from;
    }
}
