package linnet.step.builtin;

import static linnet.setting.Unit.PAN;

import linnet.setting.Live;
import linnet.step.FixedValues;
import linnet.step.Memoryless;
import linnet.step.Prepared;
import linnet.step.Ramp;
import linnet.step.Setup;
import linnet.step.Step;

/**
 * Places a voice between left and right by constant power: L = cos(pi t / 2), R = sin(pi t / 2), t from 0 (left) to 1
 * (right), so the centre is 3.01 dB down on each side. A stereo signal is turned as a whole: the side that is moved away
 * from is lowered by the same law, relative to its centre, and nothing crosses over.
 */
final class Pan extends Step {
    private final Live to = live("to", PAN).range(-100, 100).usual("centre").doc("The place: from 100 % left over centre to 100 % right.");

    Pan() {
        super("pan", "Places the voice between left and right, at constant power.");
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        double scale = setup.channels() == 1 ? 1 : Math.sqrt(2);
        return Prepared.of(0, 2, v -> {
            Ramp left = new Ramp(v, to, place -> Math.min(1, scale * StrictMath.cos(angle(place))));
            Ramp right = new Ramp(v, to, place -> Math.min(1, scale * StrictMath.sin(angle(place))));
            return (Memoryless) block -> {
                if (setup.channels() == 1) System.arraycopy(block.x(0), 0, block.x(1), 0, block.length());
                left.move(block);
                right.move(block);
                left.times(block, block.x(0));
                right.times(block, block.x(1));
            };
        }).linear();
    }

    private static double angle(double place) {
        return (place + 100) / 200 * Math.PI / 2;
    }
}
