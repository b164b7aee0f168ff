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
 * nothing that could buzz. How far apart joins lie bounds by how much the voice is longer or shorter anywhere.
 */
public final class Periods {
    /** Lags are as many periods as fit in so many seconds: fewer joins are better than short ones. */
    private static final double LONGEST_S = 0.009, WINDOW_S = 0.004, STEP_S = 0.005, CROSS_S = 0.007;
    private static final double RANGE = 0.08, ALIKE = 0.8;
    private static final int COARSE = 4;

    private final Sound sound;
    private final PitchTrack pitch;
    private final double sparse;
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
    public record SelfJoin(long at, int lag, int width, double alike) {}

    /** @param most share by which the voice may be longer or shorter: 0.1 leaves ten lags from a join to the next */
    public Periods(Sound sound, PitchTrack pitch, double most) {
        this.sound = sound;
        sparse = 1 / most;
        this.pitch = pitch;
        read = new double[sound.channels()][0];
    }

    /** A stretch of voice with room for one join, and the best there is. */
    private record Cell(long from, long to, double period, SelfJoin best) {}

    /**
     * Finds where a voice can be joined so that it is longer or shorter by about so many samples, within half a period; by less where it is
     * too short or not like itself.
     *
     * @param voiced pairs of the first sample and the one after the last of stretches with a pitch, in order of time
     * @return in order of time
     */
    public List<SelfJoin> joins(List<long[]> voiced, long samples) {
        List<Cell> cells = new ArrayList<>();
        for (long[] v : voiced) cells(v[0], v[1], Math.abs(samples), cells);
        cells.sort(Comparator.comparingDouble(c -> -c.best.alike));
        long left = Math.abs(samples);
        List<SelfJoin> found = new ArrayList<>();
        for (Cell c : cells) {
            if (left < c.period / 2) continue;
            SelfJoin join = c.best;
            // The last needs fewer periods.
            if (join.lag > left + c.period / 2) join = best(c.from, c.to, Math.max(1, Math.round(left / c.period)) * c.period, c.period);
            if (join == null || join.alike < ALIKE) continue;
            found.add(join);
            left -= join.lag;
        }
        found.sort(Comparator.comparingLong(SelfJoin::at));
        return found;
    }

    /** Parts a voice into cells, each just as long as a join of the longest lag wants it to be. */
    private void cells(long from, long to, long most, List<Cell> cells) {
        double period = period(from, to), periods = Math.floor(Math.min(LONGEST_S * sound.rate() / period, Math.max(1, most / period + 0.5)));
        double lag = Math.max(1, periods) * period;
        if (to - from < sparse * lag) lag = Math.floor((to - from) / (sparse * period)) * period;
        if (!(lag > 0) || most < period / 2) return;
        int count = (int) ((to - from) / (sparse * lag));
        for (int k = 0; k < count; k++) {
            long begin = from + (to - from) * k / count, end = from + (to - from) * (k + 1) / count;
            double own = period(begin, end);
            SelfJoin best = best(begin, end, Math.max(1, Math.floor(1.02 * lag / own)) * own, own);
            if (best != null && best.alike >= ALIKE) cells.add(new Cell(begin, end, own, best));
        }
    }

    /** Mean of what has a pitch; not a number where nothing has. */
    private double period(long from, long to) {
        double sum = 0;
        int count = 0;
        for (int f = (int) (from / pitch.hop()); (long) f * pitch.hop() < to; f++) {
            if (!pitch.voiced(f)) continue;
            sum += sound.rate() / pitch.hz()[f];
            count++;
        }
        return sum / count;
    }

    private SelfJoin best(long from, long to, double lag, double period) {
        SelfJoin best = null;
        long step = (long) (STEP_S * sound.rate()), cross = (long) Math.max(period, CROSS_S * sound.rate()) / 2 + 1;
        for (long t = from + cross; t + lag + cross <= to; t += step) {
            if (!pitch.voiced((int) (t / pitch.hop()))) continue;
            SelfJoin j = join(t, lag, period);
            if (best == null || j.alike > best.alike) best = j;
        }
        return best;
    }

    /** The lag at which what is around a place is most like what is around the place a lag on. */
    private SelfJoin join(long t, double lag, double period) {
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
        return new SelfJoin(t, best, (int) Math.max(period, CROSS_S * sound.rate()), most);
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
