package linnet.render;

import java.util.function.DoubleUnaryOperator;
import linnet.dsp.Lag;
import linnet.dsp.Sound;
import linnet.plan.Feed;
import linnet.plan.Level;
import linnet.setting.Live;
import linnet.setting.Settings;
import linnet.setting.Value;
import linnet.setting.Values;
import linnet.step.Block;
import linnet.step.LiveValues;
import linnet.step.Ramp;
import linnet.step.Routing;

/** A feed at work: takes blocks from where they come from, delays them and sets their level. */
final class Supply {
    /** Where the samples of the present chunk stand. */
    private final double[][] from;
    private final int channels;
    /** The sound to fill {@link #from} with, where it comes from an earlier stage; else null. */
    private final Sound earlier;
    private final Lag[] lags;
    private final Ramp gain;

    /**
     * @param offset samples by which the signal is later than the take where it is added
     */
    Supply(Feed feed, double[][] from, int channels, Sound earlier, double rate, double tempo, long offset) {
        this.from = from;
        this.channels = channels;
        this.earlier = earlier;
        this.lags = new Lag[channels];
        for (int c = 0; c < channels; c++) lags[c] = new Lag(feed.delay());
        this.gain = gain(feed.level(), rate, tempo, offset);
    }

    private static Ramp gain(Level level, double rate, double tempo, long offset) {
        if (level instanceof Level.Branch b) return ramp(Routing.LEVEL, b.db(), db -> StrictMath.pow(10, db / 20), rate, tempo, offset);
        if (level instanceof Level.Wet w) return ramp(Routing.MIX, w.percent(), p -> p / 100, rate, tempo, offset);
        if (level instanceof Level.Dry d) return ramp(Routing.MIX, d.percent(), p -> 1 - p / 100, rate, tempo, offset);
        return null;
    }

    private static Ramp ramp(Live setting, Value value, DoubleUnaryOperator toGain, double rate, double tempo, long offset) {
        Values values = new Values(new Settings());
        values.put(setting, value);
        return new Ramp(new LiveValues(values, tempo, rate, offset, (what, found) -> {}), setting, toGain);
    }

    /** Fetches the samples {@code at … at + n - 1} if they come from an earlier stage; past its end there is silence. */
    void fetch(long at, int n) {
        if (earlier != null) new linnet.dsp.Excerpt(earlier, at, n).read(0, from, n);
    }

    /**
     * Puts a piece of the chunk into a block; a mono signal stands in both channels of a stereo block at its own level.
     *
     * @param within where the piece begins in the chunk
     */
    void fill(Block block, int within, int wanted) {
        int n = block.length();
        for (int c = 0; c < channels; c++) {
            System.arraycopy(from[c], within, block.x(c), 0, n);
            lags[c].process(block.x(c), n);
        }
        if (gain != null) {
            gain.move(block);
            for (int c = 0; c < channels; c++) gain.times(block, block.x(c));
        }
        if (wanted > channels) System.arraycopy(block.x(0), 0, block.x(1), 0, n);
    }
}
