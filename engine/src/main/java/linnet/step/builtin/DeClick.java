package linnet.step.builtin;

import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.MS;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import linnet.dsp.GainCurve;
import linnet.dsp.pitch.PitchTrack;
import linnet.dsp.repair.ClickFinder;
import linnet.dsp.repair.ClickRepair;
import linnet.dsp.repair.Patch;
import linnet.dsp.repair.Patches;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Sung;
import linnet.setting.Fixed;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/**
 * Mends clicks of the mouth. Usual values are common practice. Clicks among consonants cannot always be told from their bursts, and are then
 * not in the marks found; one marked by hand is mended.
 */
final class DeClick extends Step {
    private static final double FADE_SECONDS = 0.002;
    /** In frames: how far from a click a pitch is still that of the voice under it. */
    private static final int NEAR = 3;

    private final Fixed longest = fixed("longest", MS).range(0, 10).usual("5 ms").neutral("0 ms")
            .doc("The longest click that is mended in its place; at 0 ms none is.");
    private final Fixed threshold = fixed("threshold", DB).range(0, 30).usual("3 dB")
            .doc("How far a marked click must stand out of what is around it, measured on the error of linear prediction; a higher value leaves faint ones. "
                    + "A mark set on the burst of a t or k softens it.");
    private final Fixed smacks = fixed("smacks", DB).range(0, 40).usual("12 dB").neutral("0 dB")
            .doc("How far longer ones, such as a smack of the lips, are lowered where nobody sings; inside a word they are left.");

    DeClick() {
        super("declick", "Mends the clicks of the mouth that the marks of the take tell of, over the few samples that each spoils; all others pass to "
                + "the bit.");
    }

    @Override
    public boolean mends() {
        return true;
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        return Prepared.hearing(0, setup.channels(), (v, ear) -> mended(values, setup, ear, v));
    }

    private Kernel mended(FixedValues values, Setup setup, Ear ear, LiveValues told) {
        double rate = ear.sound().rate(), lower = values.get(smacks);
        List<Mark> marks = ear.marks().free(Mark.Kind.CLICK);
        List<Patch> patches = new ArrayList<>();
        List<ClickFinder.Click> tooLong = new ArrayList<>();
        if (values.get(longest) > 0 || lower > 0) {
            ClickRepair repair = new ClickRepair(ear.sound(), values.get(longest) / 1000, values.get(threshold));
            for (Mark m : marks) {
                ClickRepair.Outcome mended = repair.mend(m.from(), m.to(), hz(ear.pitch(), m));
                patches.addAll(mended.patches());
                tooLong.addAll(mended.tooLong());
            }
        }
        List<Patch> apart = apart(patches);
        GainCurve.Builder gain = new GainCurve.Builder();
        long fade = Math.round(FADE_SECONDS * rate), last = -1;
        int lowered = 0, left = 0;
        tooLong.sort(Comparator.comparingLong(ClickFinder.Click::from));
        for (ClickFinder.Click c : tooLong) {
            if (lower == 0 || sings(ear, c.from(), c.to())) {
                left++;
                continue;
            }
            if (c.from() - fade <= last) continue;
            last = c.to() + fade;
            gain.point(c.from() - fade, 0).point(c.from(), -lower).point(c.to(), -lower).point(last, 0);
            lowered++;
        }
        told.found("clicks", marks.isEmpty() ? "none" : told(marks.size(), apart.size(), lowered, left, lower));
        GainCurve lowering = gain.build();
        return Repair.of(told, setup.channels(), lowering, Patches.of(apart, ear.tapes(), rate), lowering);
    }

    private static String told(int marks, int mended, int lowered, int left, double lower) {
        StringBuilder text = new StringBuilder(marks + " marked, " + mended + " mended");
        if (lowered > 0) text.append(", ").append(lowered).append(" lowered by ").append(DB.format(lower, 1));
        if (left > 0) text.append(", ").append(left).append(" left as too long");
        return text.toString();
    }

    private static double hz(PitchTrack pitch, Mark mark) {
        int f = (int) ((mark.from() + mark.to()) / 2 / pitch.hop());
        for (int off = 0; off <= NEAR; off++) {
            if (pitch.voiced(f - off)) return pitch.hz()[f - off];
            if (pitch.voiced(f + off)) return pitch.hz()[f + off];
        }
        return 0;
    }

    private static boolean sings(Ear ear, long from, long to) {
        Sung sung = ear.sung().value().orElse(null);
        int hop = ear.pitch().hop();
        for (long f = from / hop - 1; f <= to / hop + 1; f++) if (ear.pitch().voiced((int) f) || sung != null && sung.frame((int) f)) return true;
        return false;
    }

    /** In order of time; of two that meet, as marks side by side may give, the first. */
    private static List<Patch> apart(List<Patch> patches) {
        List<Patch> apart = new ArrayList<>();
        patches.sort(Comparator.comparingLong(Patch::from));
        for (Patch p : patches) if (apart.isEmpty() || apart.get(apart.size() - 1).to() <= p.from()) apart.add(p);
        return apart;
    }
}
