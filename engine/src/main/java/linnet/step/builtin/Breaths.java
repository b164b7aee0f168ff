package linnet.step.builtin;

import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.MS;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import linnet.dsp.Approximation;
import linnet.dsp.Decibels;
import linnet.dsp.Sound;
import linnet.dsp.repair.GainCurve;
import linnet.dsp.repair.Patch;
import linnet.dsp.repair.RoomTone;
import linnet.hear.Ear;
import linnet.hear.Sung;
import linnet.setting.Choice;
import linnet.setting.Fixed;
import linnet.setting.Live;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/** Lowers breaths or takes them out. Usual values are common practice: 6 to 12 dB for a lead; out of doubles and harmonies, where breaths add up. */
final class Breaths extends Step {
    private static final double BESIDE_SECONDS = 0.1;
    /** -120 dBFS, as samples. */
    private static final double SILENCE = 1e-6;

    /** Whether breaths give way to the room. */
    private enum Removal { NO, YES }

    private final Live lower = live("lower", DB).range(0, 24).usual("9 dB").neutral("0 dB").doc("How much quieter a breath is made.");
    private final Choice<Removal> remove = settings().choice("remove", Removal.NO)
            .doc("Whether the breath is taken out instead, and the room of the take, made anew from its pauses, is heard in its place.");
    private final Fixed fade = fixed("fade", MS).range(10, 100).usual("20 ms")
            .doc("Time in which it fades at either end of a breath: in the bare room beside it, where there is some, else inside the breath, and never in a word. Shorter where a breath is short, but never below 10 ms.");

    Breaths() {
        super("breaths", "Lowers the breaths that the marks of the take tell of, or puts the room in their place; words and what is kept stay untouched.");
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        return Prepared.hearing(0, setup.channels(), (v, ear) -> {
            BreathSpans spans = new BreathSpans(ear, setup.frames(values.get(fade)), setup.frames(fade.min()));
            if (spans.all().isEmpty()) {
                v.found("breaths", spans.told(ear));
                return Repair.nothing(v, setup.channels());
            }
            return values.get(remove) == Removal.NO ? lowered(v, setup, ear, spans) : removed(v, setup, ear, spans);
        });
    }

    private Kernel lowered(LiveValues v, Setup setup, Ear ear, BreathSpans spans) {
        GainCurve.Builder curve = new GainCurve.Builder();
        for (BreathSpans.Span s : spans.all()) s.draw(curve, -v.atTake(lower, s.from()));
        v.found("breaths", spans.told(ear) + ", lowered" + (v.moves(lower) ? "" : " by " + DB.format(v.first(lower), 1)));
        return Repair.gain(v, setup.channels(), curve.build());
    }

    private Kernel removed(LiveValues v, Setup setup, Ear ear, BreathSpans spans) {
        Optional<RoomTone> room = ear.room().value().flatMap(r -> RoomTone.of(ear.sound(), pairs(r)));
        GainCurve.Builder curve = new GainCurve.Builder(), told = new GainCurve.Builder();
        List<Patch> patches = new ArrayList<>();
        for (BreathSpans.Span s : spans.all()) {
            boolean emptied = isEmptied(ear.sound(), s);
            if (!emptied && room.isEmpty()) {
                s.draw(curve, -v.atTake(lower, s.from()));
                s.draw(told, -v.atTake(lower, s.from()));
                continue;
            }
            double[][] breath = read(ear.sound(), s.from(), s.to());
            double[][] fill = emptied ? new double[setup.channels()][s.length()] : room.get().fill(s.from(), s.length());
            s.draw(told, Math.max(-Approximation.MOST_DB, Math.min(0, Decibels.ofPower(power(fill) / power(breath)))));
            s.cross(breath, fill);
            patches.add(new Patch(s.from(), breath));
        }
        v.found("breaths", spans.told(ear) + (patches.isEmpty() ? ", lowered" : ", removed"));
        if (patches.size() < spans.all().size()) {
            v.found("room", "not heard: " + (ear.room().known() ? "no pause is long enough" : ear.room().reason()) + "; "
                    + (patches.isEmpty() ? "the breaths" : spans.all().size() - patches.size() + " of the breaths") + " are lowered instead");
        }
        return Repair.of(v, setup.channels(), curve.build(), patches, told.build());
    }

    /** Whether the pauses beside it were emptied: no room is silent to the bit for 10 ms. Then its place is silence too. */
    private static boolean isEmptied(Sound sound, BreathSpans.Span s) {
        long beside = (long) (BESIDE_SECONDS * sound.rate()), silent = beside / 10;
        return isSilent(read(sound, Math.max(0, s.from() - beside), s.from()), silent) || isSilent(read(sound, s.to(), Math.min(sound.frames(), s.to() + beside)), silent);
    }

    private static boolean isSilent(double[][] x, long least) {
        int run = 0;
        for (int i = 0; i < x[0].length && run < least; i++) {
            boolean silent = true;
            for (double[] channel : x) silent &= Math.abs(channel[i]) <= SILENCE;
            run = silent ? run + 1 : 0;
        }
        return run >= least;
    }

    private static double[][] read(Sound sound, long from, long to) {
        double[][] x = new double[sound.channels()][(int) (to - from)];
        sound.read(from, x, x[0].length);
        return x;
    }

    private static double power(double[][] x) {
        double sum = 1e-30;
        for (double[] channel : x) for (double v : channel) sum += v * v;
        return sum;
    }

    private static long[][] pairs(List<Sung.Span> spans) {
        return spans.stream().map(s -> new long[] {s.from(), s.to()}).toArray(long[][]::new);
    }
}
