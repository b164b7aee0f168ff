package linnet.render;

import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import linnet.dsp.Decibels;
import linnet.dsp.Lag;
import linnet.dsp.Sound;
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
    /** Where the samples come from: the post that makes them, or a sound that is there whole. */
    sealed interface Source {
        record Made(Post by) implements Source {}

        record There(Sound sound) implements Source {}
    }

    private final Source source;
    private final int channels;
    /** Null where a post makes the samples. */
    private final Ahead ahead;
    private final Lag[] lags;
    private final Ramp gain;

    /**
     * @param delay samples by which it is held back to be in time with the others
     * @param gain null for unity
     */
    Supply(Source source, int channels, int delay, Ramp gain) {
        this.source = source;
        this.channels = channels;
        this.gain = gain;
        ahead = source instanceof Source.There there ? new Ahead(there.sound()) : null;
        lags = new Lag[channels];
        for (int c = 0; c < channels; c++) lags[c] = new Lag(delay);
    }

    /** Channels of the source. */
    int channels() {
        return channels;
    }

    /** Whether it takes samples as they are, where so many channels are wanted. */
    boolean isPlain(int wanted) {
        return gain == null && lags[0].delay() == 0 && wanted <= channels;
    }

    /** The post that makes what it takes; none where that is there whole. */
    Optional<Post> maker() {
        return source instanceof Source.Made made ? Optional.of(made.by()) : Optional.empty();
    }

    /**
     * The gain of a level; null for unity.
     *
     * @param offset samples by which the signal is later than the take where it is added
     */
    static Ramp gain(Level level, double rate, long offset) {
        if (level instanceof Level.Branch b) return ramp(Routing.LEVEL, b.db(), Decibels::gain, rate, offset);
        if (level instanceof Level.Wet w) return ramp(Routing.MIX, w.percent(), p -> p / 100, rate, offset);
        if (level instanceof Level.Dry d) return ramp(Routing.MIX, d.percent(), p -> 1 - p / 100, rate, offset);
        return null;
    }

    private static Ramp ramp(Live setting, Value value, DoubleUnaryOperator toGain, double rate, long offset) {
        return new Ramp(values(setting, value, rate, offset), setting, toGain);
    }

    private static LiveValues values(Live setting, Value value, double rate, long offset) {
        Values values = new Values(new Settings());
        values.put(setting, value);
        // Levels and shares are no note values and want no tempo.
        return new LiveValues(values, 0, rate, offset, (what, found) -> {});
    }

    /** The gain of a level at a sample of the take. */
    static double gainAt(Level level, double rate, long takeFrame) {
        if (level instanceof Level.Branch b) return Decibels.gain(values(Routing.LEVEL, b.db(), rate, 0).atTake(Routing.LEVEL, takeFrame));
        if (level instanceof Level.Wet w) return values(Routing.MIX, w.percent(), rate, 0).atTake(Routing.MIX, takeFrame) / 100;
        if (level instanceof Level.Dry d) return 1 - values(Routing.MIX, d.percent(), rate, 0).atTake(Routing.MIX, takeFrame) / 100;
        return 1;
    }

    /**
     * Fills a block with the samples of its time; past the end of a sound there is silence. A mono signal stands in both
     * channels of a stereo block at its own level.
     *
     * @param chunk which chunk the block lies in
     * @param within where in it the block begins
     */
    void fill(Block block, long chunk, int within, int wanted) {
        int n = block.length();
        if (ahead == null) copy(block, chunk, within);
        else read(block);
        for (int c = 0; c < channels; c++) lags[c].process(block.x(c), n);
        if (gain != null) amplify(block);
        if (wanted > channels) System.arraycopy(block.x(0), 0, block.x(1), 0, n);
    }

    // Methods of their own: one for all would be compiled again each time something else meets it, six times for a lead.

    private void copy(Block block, long chunk, int within) {
        Post by = ((Source.Made) source).by();
        double[][] from = by.out(chunk);
        int at = by.at(within);
        for (int c = 0; c < channels; c++) System.arraycopy(from[c], at, block.x(c), 0, block.length());
    }

    private void read(Block block) {
        int begin = ahead.place(block.start());
        for (int c = 0; c < channels; c++) unsigned(ahead.held(c), begin, block.x(c), block.length());
    }

    private void amplify(Block block) {
        gain.move(block);
        for (int c = 0; c < channels; c++) gain.times(block, block.x(c));
    }

    /** A zero has no sign from here on: a take whose polarity was turned is silent in its pauses too. */
    private static void unsigned(double[] x, int from, double[] into, int n) {
        for (int i = 0; i < n; i++) into[i] = x[from + i] + 0.0;
    }
}
