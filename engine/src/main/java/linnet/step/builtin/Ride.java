package linnet.step.builtin;

import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.MS;
import static linnet.setting.Unit.PERCENT;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import linnet.dsp.dynamics.Levelling;
import linnet.dsp.loudness.Weighted;
import linnet.hear.Ear;
import linnet.setting.Fixed;
import linnet.setting.Live;
import linnet.setting.Value;
import linnet.setting.Values;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;
import linnet.tidy.Phrases;
import linnet.tidy.RideCurve;

/** Evens the phrases before any compressor has to; usual values are common practice. */
final class Ride extends Step {
    private final Live amount = live("amount", PERCENT).range(0, 100).usual("60 %").neutral("0 %")
            .doc("How much of the way a phrase goes to the loudness of the phrases around it.");
    private final Fixed most = fixed("most", DB).range(0, 12).usual("4 dB").neutral("0 dB")
            .doc("How far a phrase is moved at most, up or down, beside its section.");
    private final Fixed sections = fixed("sections", PERCENT).range(0, 100).usual("0 %").neutral("0 %")
            .doc("How much of what a chorus stands over its verse is taken from it too, so that the compressors behind it take as much from both; "
                    + "give it back after them, in a song with a move of the part's level. A verse that rises brings its room along.");
    private final Fixed highest = fixed("sections-most", DB).range(0, 24).usual("10 dB")
            .doc("How far `sections` raises a section at most, as its room and noise rise as far: half of what a verse 20 dB under its chorus lacks. "
                    + "Where that binds it is told; the rest of the difference stays.");
    private final Fixed ramp = fixed("ramp", MS).range(20, 80).usual("40 ms")
            .doc("Time of a move, in the pause beside a phrase; shorter where the pause is short, but never steeper than 6 dB in 20 ms.");

    Ride() {
        super("ride", "Moves each phrase towards the loudness of its section, so that compressors need not; syllables of less than half a second go with "
                + "their line, breaths and room never rise, and a chorus stays as far over its verse as it was, if each has three lines and 12 s or more, "
                + "but for what `sections` takes.");
    }

    @Override
    public boolean mends() {
        return true;
    }

    /** What comes of {@link #sections} is told where it is less than was asked for. */
    @Override
    public boolean mayFindOdd(Values values, double rate) {
        return values.get(sections).filter(v -> v instanceof Value.Amount a && a.value() > 0).isPresent();
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        return Prepared.hearing(0, setup.channels(), (v, ear) -> ridden(values, v, ear, setup));
    }

    private Kernel ridden(FixedValues values, LiveValues v, Ear ear, Setup setup) {
        List<Phrases.Phrase> phrases = Phrases.lines(ear);
        if (phrases.isEmpty()) {
            v.found("phrases", "none: " + (ear.sung().known() ? "no phrase is marked" : ear.sung().reason()));
            return Repair.nothing(v, setup.channels());
        }
        Levelling levelling = levelling(values, v, ear, phrases);
        double[] moves = new double[phrases.size()];
        for (int i = 0; i < moves.length; i++) moves[i] = levelling.move(i);
        tell(v, ear, phrases, levelling);
        if (values.get(sections) > 0) tellSections(v, ear, phrases, levelling);
        return Repair.gain(v, setup.channels(), new RideCurve(ear, phrases, moves, setup.frames(values.get(ramp))).curve());
    }

    private Levelling levelling(FixedValues values, LiveValues v, Ear ear, List<Phrases.Phrase> phrases) {
        Weighted weighted = Weighted.of(ear.sound());
        int n = phrases.size();
        double[] from = new double[n], to = new double[n], loudness = new double[n], share = new double[n];
        boolean[] held = new boolean[n];
        double rate = ear.sound().rate();
        for (int i = 0; i < n; i++) {
            Phrases.Phrase p = phrases.get(i);
            from[i] = p.from() / rate;
            to[i] = p.to() / rate;
            loudness[i] = Math.max(Phrases.SILENT_LUFS, weighted.loudness(p.from(), p.to()));
            share[i] = v.atTake(amount, p.from()) / 100;
            held[i] = p.kept() || loudness[i] <= Phrases.SILENT_LUFS;
        }
        return new Levelling(new Levelling.PhraseLevels(from, to, loudness, held), share, values.get(most), values.get(sections) / 100,
                values.get(highest));
    }

    private static void tell(LiveValues v, Ear ear, List<Phrases.Phrase> phrases, Levelling levelling) {
        double low = 0, high = 0;
        int limited = 0, kept = 0;
        StringBuilder list = new StringBuilder();
        for (int i = 0; i < phrases.size(); i++) {
            low = Math.min(low, levelling.move(i));
            high = Math.max(high, levelling.move(i));
            if (levelling.limited(i)) limited++;
            if (phrases.get(i).kept()) kept++;
            list.append(i == 0 ? "" : ", ")
                    .append(String.format(Locale.ROOT, "%.1f s %+.1f", phrases.get(i).from() / ear.sound().rate(), levelling.move(i) + 0.0))
                    .append(levelling.limited(i) ? " (limit)" : phrases.get(i).kept() ? " (kept)" : "");
        }
        v.found("phrases", phrases.size() + " in " + levelling.sections() + (levelling.sections() == 1 ? " section" : " sections") + ", moved by "
                + DB.format(low, 1) + " to "
                + DB.format(high, 1) + (limited > 0 ? ", " + limited + " at the limit" : "") + (kept > 0 ? ", " + kept + " kept" : ""));
        v.found("moves in dB", list.toString());
    }

    private void tellSections(LiveValues v, Ear ear, List<Phrases.Phrase> phrases, Levelling levelling) {
        double rate = ear.sound().rate();
        List<String> moved = new ArrayList<>(), held = new ArrayList<>();
        double asked = 0;
        for (int i = 0, s = -1; i < phrases.size(); i++) {
            if (levelling.section(i) == s) continue;
            s = levelling.section(i);
            double at = phrases.get(i).from() / rate;
            if (levelling.brought(s) != 0) {
                moved.add(String.format(Locale.ROOT, "%.1f s %+.1f%s", at, levelling.brought(s), levelling.held(s) ? " (limit)" : ""));
            }
            if (!levelling.held(s)) continue;
            held.add(String.format(Locale.ROOT, "%.1f s", at));
            asked = Math.max(asked, levelling.asked(s));
        }
        if (!moved.isEmpty()) v.found("of which sections in dB", String.join(", ", moved));
        if (!held.isEmpty()) {
            v.odd(highest.name(), "holds the " + (held.size() == 1 ? "section at " : "sections at ") + String.join(", ", held) + ", which would rise by "
                    + (held.size() == 1 ? "" : "up to ") + DB.format(asked, 1) + " with all that is heard of the room; where that may be, write '"
                    + highest.name() + ": " + DB.format(Math.min(highest.max(), Math.ceil(asked))) + "'");
        }
        if (!levelling.sectionable()) {
            double seconds = (phrases.get(phrases.size() - 1).to() - phrases.get(0).from()) / rate;
            v.odd(sections.name(), String.format(Locale.ROOT, "does nothing here: a section has three lines and 12 s or more, and there are not two of them in "
                    + "%d %s of %.1f s; raise softer lines with a 'trim' before it whose level moves, as in { 0 s: 6 dB, 8 s: 6 dB, 9 s: 0 dB }",
                    phrases.size(), phrases.size() == 1 ? "line" : "lines", seconds));
        }
    }
}
