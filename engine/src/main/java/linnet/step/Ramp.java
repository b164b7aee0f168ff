package linnet.step;

import java.util.function.DoubleUnaryOperator;
import linnet.dsp.Cell;
import linnet.dsp.Decibels;
import linnet.setting.Live;

/** A gain that follows a live setting in straight lines from cell border to cell border, so that no move clicks. */
public final class Ramp {
    private final LiveValues values;
    private final Live setting;
    private final DoubleUnaryOperator toGain;
    private final boolean moves;
    private double from;
    private double slope;

    /** @param toGain the factor for a value of the setting */
    public Ramp(LiveValues values, Live setting, DoubleUnaryOperator toGain) {
        this.values = values;
        this.setting = setting;
        this.toGain = toGain;
        this.moves = values.moves(setting);
        this.from = toGain.applyAsDouble(values.first(setting));
    }

    public static Ramp ofDecibels(LiveValues values, Live setting) {
        return new Ramp(values, setting, Decibels::gain);
    }

    /** Takes the gain of this block's cell. */
    public void move(Block block) {
        if (!moves) return;
        from = toGain.applyAsDouble(values.at(setting, block));
        slope = (toGain.applyAsDouble(values.next(setting, block)) - from) / Cell.LENGTH;
    }

    /** The gain at sample {@code i} of the block. */
    public double at(Block block, int i) {
        return from + slope * (block.start() - block.cellStart() + i);
    }

    /** True if it stands at that gain all through this block's cell. */
    public boolean standsAt(double gain) {
        return slope == 0 && from == gain;
    }

    /** Writes the gain at each sample of the block. */
    public void write(Block block, double[] gain) {
        int base = (int) (block.start() - block.cellStart());
        for (int i = 0; i < block.length(); i++) gain[i] = from + slope * (base + i);
    }

    /** Multiplies the block's samples by the gain. */
    public void times(Block block, double[] x) {
        int n = block.length();
        if (slope == 0) {
            if (from != 1) for (int i = 0; i < n; i++) x[i] *= from;
        } else {
            // Counted from the border and not summed up, so that the cut into blocks leaves no trace.
            int base = (int) (block.start() - block.cellStart());
            for (int i = 0; i < n; i++) x[i] *= from + slope * (base + i);
        }
    }
}
