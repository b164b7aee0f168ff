package linnet.step.builtin;

import static linnet.setting.Unit.CENTS;

import linnet.dsp.pitch.Bend;
import linnet.setting.Choice;
import linnet.setting.Live;
import linnet.step.FixedValues;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/** Moves the pitch of all that is sung by the same distance. */
final class Shift extends Step {
    /** What becomes of the sound of the throat and mouth. */
    enum Formants {
        KEEP,
        MOVE
    }

    private final Live by = live("by", CENTS).range(-1200, 1200).usual("0 cents").neutral("0 cents")
            .doc("How far up or down, in cents or semitones, such as 3 semitones; 100 cents are one. Beyond about 700 cents it sounds like an effect.");
    private final Choice<Formants> formants = choice("formants", Formants.KEEP)
            .doc("keep leaves the vowels and the size of the singer as they are; move takes them along, as a tape at another speed would.");

    Shift() {
        super("shift", "Moves the pitch of the voice and keeps its time; breaths and consonants without pitch stay as they are.");
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        return Prepared.hearing(0, setup.channels(), (v, ear) -> {
            Bend bend = ratio(v, by);
            return new Resung(v, ear, bend, v.get(formants) == Formants.MOVE ? bend : s -> 1);
        }).readingOn();
    }

    @Override
    public boolean transposes() {
        return true;
    }

    @Override
    public double transposition(LiveValues values, long takeFrame) {
        return values.atTake(by, takeFrame);
    }

    /** What a distance in cents is as a ratio over time; exactly 1 where it is nothing. */
    static Bend ratio(LiveValues values, Live cents) {
        if (!values.moves(cents)) {
            double ratio = ratio(values.first(cents));
            return s -> ratio;
        }
        return s -> ratio(values.atTake(cents, s));
    }

    private static double ratio(double cents) {
        return cents == 0 ? 1 : StrictMath.pow(2, cents / 1200);
    }
}
