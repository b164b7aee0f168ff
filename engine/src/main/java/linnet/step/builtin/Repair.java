package linnet.step.builtin;

import linnet.dsp.Cell;
import linnet.dsp.GainCurve;
import linnet.dsp.Tape;
import linnet.dsp.repair.Patches;
import linnet.step.Block;
import linnet.step.Kernel;
import linnet.step.LiveValues;

/** A repair that was worked out before the first sample: a gain over the time of the take, or samples put in the place of others. */
final class Repair implements Kernel {
    private static final GainCurve UNITY = new GainCurve.Builder().build();
    private static final Patches NONE = new Patches(Tape.IN_MEMORY, 1);

    private final LiveValues values;
    private final int channels;
    private final GainCurve gain, told;
    private final Patches patches;
    private final double[] gains = new double[Cell.LENGTH];
    private double reductionDb;

    private Repair(LiveValues values, int channels, GainCurve gain, Patches patches, GainCurve told) {
        this.values = values;
        this.channels = channels;
        this.gain = gain;
        this.patches = patches;
        this.told = told;
    }

    static Kernel nothing(LiveValues values, int channels) {
        return gain(values, channels, UNITY);
    }

    static Kernel gain(LiveValues values, int channels, GainCurve gain) {
        return new Repair(values, channels, gain, NONE, gain);
    }

    /**
     * Both.
     *
     * @param told the gain that a report shows for all of it
     */
    static Kernel of(LiveValues values, int channels, GainCurve gain, Patches patches, GainCurve told) {
        return new Repair(values, channels, gain, patches, told);
    }

    @Override
    public void process(Block block) {
        long at = values.takeFrame(block);
        gain.process(at, block.x(), channels, block.length(), gains);
        patches.over(at, block.x(), block.length());
        reductionDb = Math.max(0, -told.db(at + block.length() - 1));
    }

    /** Where samples are put in the place of others, it may be in the place of silence. */
    @Override
    public boolean rests() {
        return patches.count() == 0;
    }

    @Override
    public void rest(Block block) {
        reductionDb = Math.max(0, -told.db(values.takeFrame(block) + block.length() - 1));
    }

    @Override
    public double reductionDb() {
        return reductionDb;
    }
}
