package linnet.step.builtin;

import static linnet.setting.Unit.DB;

import linnet.setting.Live;
import linnet.step.FixedValues;
import linnet.step.Memoryless;
import linnet.step.Prepared;
import linnet.step.Ramp;
import linnet.step.Setup;
import linnet.step.Step;

/** A plain change of level. */
final class Trim extends Step {
    private final Live level = live("level", DB).range(-60, 24).usual("0 dB").neutral("0 dB").doc("How much louder or quieter.");

    Trim() {
        super("trim", "Changes the level and nothing else.");
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        return Prepared.of(0, setup.channels(), v -> {
            Ramp gain = Ramp.ofDecibels(v, level);
            return (Memoryless) block -> {
                gain.move(block);
                for (int c = 0; c < setup.channels(); c++) gain.times(block, block.x(c));
            };
        }).linear();
    }
}
