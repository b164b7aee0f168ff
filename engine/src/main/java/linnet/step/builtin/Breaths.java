package linnet.step.builtin;

import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.MS;

import java.util.Optional;
import linnet.dsp.GainCurve;
import linnet.dsp.repair.Patches;
import linnet.dsp.repair.Removal;
import linnet.dsp.repair.Span;
import linnet.hear.Ear;
import linnet.setting.Choice;
import linnet.setting.Fixed;
import linnet.setting.Live;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;
import linnet.tidy.BreathSpans;

/** Lowers breaths or takes them out. Usual values are common practice: 6 to 12 dB for a lead; out of doubles and harmonies, where breaths add up. */
final class Breaths extends Step {
    /** Whether breaths give way to the room. */
    private enum Remove { NO, YES }

    private final Live lower = live("lower", DB).range(0, 24).usual("9 dB").neutral("0 dB").doc("How much quieter a breath is made.");
    private final Choice<Remove> remove = settings().choice("remove", Remove.NO)
            .doc("Whether the breath is taken out instead, and the room of the take, made anew from its pauses, is heard in its place.");
    private final Fixed fade = fixed("fade", MS).range(10, 100).usual("20 ms")
            .doc("Time in which it fades at either end of a breath: in the bare room beside it, where there is some, else inside the breath, and never in a "
                    + "word. Shorter where a breath is short, but never below 10 ms.");

    Breaths() {
        super("breaths", "Lowers the breaths that the marks of the take tell of, or puts the room in their place; words and what is kept stay untouched.");
    }

    @Override
    public boolean mends() {
        return true;
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        return Prepared.hearing(0, setup.channels(), (v, ear) -> {
            BreathSpans spans = new BreathSpans(ear, setup.frames(values.get(fade)), setup.frames(fade.min()));
            if (spans.all().isEmpty()) {
                v.found("breaths", spans.told(ear));
                return Repair.nothing(v, setup.channels());
            }
            return values.get(remove) == Remove.NO ? lowered(v, setup, ear, spans) : removed(v, setup, ear, spans);
        });
    }

    private Kernel lowered(LiveValues v, Setup setup, Ear ear, BreathSpans spans) {
        GainCurve.Builder curve = new GainCurve.Builder();
        for (Span s : spans.all()) s.draw(curve, -v.atTake(lower, s.from()));
        v.found("breaths", spans.told(ear) + ", lowered" + (v.moves(lower) ? "" : " by " + DB.format(v.first(lower), 1)));
        return Repair.gain(v, setup.channels(), curve.build());
    }

    private Kernel removed(LiveValues v, Setup setup, Ear ear, BreathSpans spans) {
        Removal removal = BreathSpans.removal(ear);
        GainCurve.Builder curve = new GainCurve.Builder(), told = new GainCurve.Builder();
        Patches patches = new Patches(ear.tapes(), setup.rate());
        for (Span s : spans.all()) {
            Optional<Removal.Removed> removed = removal.of(s);
            removed.map(Removal.Removed::patch).ifPresent(patches::add);
            double db = removed.map(Removal.Removed::db).orElse(-v.atTake(lower, s.from()));
            s.draw(told, db);
            if (removed.isEmpty()) s.draw(curve, db);
        }
        v.found("breaths", spans.told(ear) + (patches.count() == 0 ? ", lowered" : ", removed"));
        if (patches.count() < spans.all().size()) {
            v.found("room", "not heard: " + (ear.room().known() ? "no pause is long enough" : ear.room().reason()) + "; "
                    + (patches.count() == 0 ? "the breaths" : spans.all().size() - patches.count() + " of the breaths") + " are lowered instead");
        }
        return Repair.of(v, setup.channels(), curve.build(), patches.finished(), told.build());
    }
}
