package linnet.step.builtin;

import static linnet.setting.Unit.PERCENT;

import linnet.setting.Live;
import linnet.step.FixedValues;
import linnet.step.Memoryless;
import linnet.step.Prepared;
import linnet.step.Ramp;
import linnet.step.Setup;
import linnet.step.Step;

/** Scales what differs between left and right: M = (L+R)/2, S = (L-R)/2, L = M + wS, R = M - wS. */
final class Width extends Step {
    private final Live amount = live("amount", PERCENT).range(0, 200).usual("100 %").neutral("100 %")
            .doc("How wide: 0 % is mono, 100 % leaves it as it is, more is wider. A mono signal stays mono.");

    Width() {
        super("width", "Makes a stereo signal narrower or wider.");
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        if (setup.channels() == 1) return Prepared.of(0, 1, v -> (Memoryless) block -> {}).linear();
        return Prepared.of(0, 2, v -> {
            Ramp width = new Ramp(v, amount, percent -> percent / 100);
            return (Memoryless) block -> {
                width.move(block);
                double[] l = block.x(0);
                double[] r = block.x(1);
                for (int i = 0; i < block.length(); i++) {
                    // Written as a change, so that 100 % is bit-exact.
                    double change = (width.at(block, i) - 1) * ((l[i] - r[i]) / 2);
                    l[i] += change;
                    r[i] -= change;
                }
            };
        }).linear();
    }
}
