package linnet.weigh;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import linnet.dsp.Decibels;
import linnet.song.Song;

/**
 * Looks for the level at which nothing is missing in loudness: first as if loudness went with it, then as it did from the last trial to this. Where that leads
 * out of what lies between a level that is too low and one that is too high, as where a gate opens, half way between them. Of all trials the best counts, of
 * two as good the first.
 */
final class Trials {
    /** In LU: so near what is found must come, for it to be what was wanted. */
    static final double WANTED_NEAR = 0.2;
    /** In LU: nearer than this need not be. */
    private static final double NEAR = 0.05;
    /** Halves all levels that a fader has to a tenth of a dB. */
    private static final int MOST = 12;
    private static final double FLATTEST = 0.15, STEEPEST = 2;

    /**
     * One of them.
     *
     * @param miss in LU, below 0 where it is too loud; positive infinity where nothing is heard
     */
    record Trial(double level, double miss) {}

    private final List<Trial> made = new ArrayList<>();
    private Trial best, heard;
    private double low = Double.NEGATIVE_INFINITY, high = Double.POSITIVE_INFINITY;

    int count() {
        return made.size();
    }

    Trial best() {
        return best;
    }

    /** The level to try after one was, in tenths of a dB; empty where that is near enough, or no other is promising. */
    OptionalDouble after(double level, double miss) {
        Trial now = new Trial(level, miss);
        made.add(now);
        if (best == null || Math.abs(miss) < Math.abs(best.miss)) best = now;
        if (miss > 0) low = Math.max(low, level);
        else high = Math.min(high, level);
        if (Math.abs(miss) < NEAR || made.size() == MOST) return OptionalDouble.empty();
        double slope = heard == null ? 1 : (heard.miss - miss) / (level - heard.level);
        double next = step(level + miss / Math.max(FLATTEST, Math.min(STEEPEST, slope)));
        if (Double.isFinite(miss)) heard = now;
        boolean between = Double.isFinite(low) && Double.isFinite(high) && low < high;
        if (between && !(low < next && next < high)) next = step((low + high) / 2);
        double to = next;
        return made.stream().anyMatch(t -> t.level == to) ? OptionalDouble.empty() : OptionalDouble.of(to);
    }

    private static double step(double level) {
        return Decibels.tenths(Math.max(Song.Fader.SOFTEST, Math.min(Song.Fader.LOUDEST, level)));
    }
}
