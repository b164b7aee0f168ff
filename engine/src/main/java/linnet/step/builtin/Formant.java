package linnet.step.builtin;

import static linnet.setting.Unit.CENTS;

import linnet.setting.Live;
import linnet.step.FixedValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/** Moves the formants of all that is sung and leaves the pitch. */
final class Formant extends Step {
    private final Live by = live("by", CENTS).range(-1200, 1200).usual("0 cents").neutral("0 cents")
            .doc("How far up (a smaller singer) or down (a larger one); 100 to 200 cents change the singer, more is an effect.");

    Formant() {
        super("formant", "Moves the sound of throat and mouth and keeps the pitch; breaths and consonants without pitch stay as they are.");
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        return Prepared.hearing(0, setup.channels(), (v, ear) -> new Resung(v, ear, s -> 1, Shift.ratio(v, by))).readingOn();
    }
}
