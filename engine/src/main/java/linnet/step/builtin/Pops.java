package linnet.step.builtin;

import static linnet.setting.Reference.LOWEST_NOTE;
import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.HZ;
import static linnet.setting.Unit.MS;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import linnet.dsp.GainCurve;
import linnet.dsp.pitch.Cycles;
import linnet.dsp.pitch.PitchTrack;
import linnet.dsp.repair.Patch;
import linnet.dsp.repair.Patches;
import linnet.dsp.repair.Thump;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.setting.Fixed;
import linnet.setting.Live;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/** Takes the thump out of p and b; usual values are common practice. */
final class Pops extends Step {
    /** The corner beside a voice, as a share of its pitch: the pitch itself then loses half a decibel. */
    private static final double BELOW_PITCH = 0.8;
    private static final double LOWEST_CORNER = 40;
    /** How long after a thump a vowel still belongs to the same syllable, and how many frames of 10 ms with a pitch make one. */
    private static final double SYLLABLE_SECONDS = 0.15;
    private static final int SUNG = 3;
    private static final double SAME_NOTE = 1.3;
    /** How alike the cycles of a voice are at least: those of thumps are by 0.3 to 0.8. */
    private static final double VOICE = 0.85;

    private final Live lower = live("lower", DB).range(0, 40).usual("20 dB").neutral("0 dB")
            .doc("How far what lies below the corner is lowered while a thump lasts.");
    private final Live below = live("below", HZ).range(60, 250).relative(LOWEST_NOTE).usual("150 Hz")
            .doc("The corner. From where a voice begins to sound in the thump it stands below the pitch of that voice, so that its chest stays.");
    private final Fixed blend = fixed("blend", MS).range(5, 60).usual("20 ms").doc("Time before and after a thump in which the filter comes and goes.");

    Pops() {
        super("pops", "Filters the thumps of p and b that the marks of the take tell of, each over its own length; the noise of the lips stays.");
    }

    /** Samples of a thump; thumps whose blends would meet are one. */
    private record Event(long from, long to) {}

    @Override
    public boolean mends() {
        return true;
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        int edge = setup.frames(values.get(blend));
        return Prepared.hearing(0, setup.channels(), (v, ear) -> mended(v, ear, setup.channels(), edge));
    }

    private Kernel mended(LiveValues v, Ear ear, int channels, int edge) {
        Marks marks = ear.speech();
        List<Event> events = events(ear, marks, edge);
        int kept = marks.of(Mark.Kind.PLOSIVE).size() - marks.free(Mark.Kind.PLOSIVE).size(), chests = 0;
        Patches patches = new Patches(ear.tapes(), ear.sound().rate());
        GainCurve.Builder told = new GainCurve.Builder();
        for (Event e : events) {
            Thump.Cut cut = cut(v, ear, e, edge);
            if (cut.voicedHz() < cut.hz()) chests++;
            Patch p = Thump.remove(ear.sound(), cut, edge, free(marks, e.from, e.from - edge, true),
                    Math.min(ear.sound().frames(), free(marks, e.to, e.to + edge, false)));
            patches.add(p);
            told.point(p.from(), 0).point(Math.min(p.from() + edge, p.to()), -cut.db()).point(Math.max(p.from() + edge, p.to() - edge), -cut.db())
                    .point(p.to(), 0);
        }
        v.found("pops", events.isEmpty() && kept == 0 ? "none" + (ear.sung().known() ? "" : ": " + ear.sung().reason())
                : events.size() + (kept > 0 ? ", " + kept + " kept" : "")
                        + (chests > 0 ? ", " + chests + " beside a voice so low that the corner stands below its pitch" : ""));
        return Repair.of(v, channels, new GainCurve.Builder().build(), patches.finished(), told.build());
    }

    private static List<Event> events(Ear ear, Marks marks, int edge) {
        List<Event> events = new ArrayList<>();
        for (Mark m : marks.free(Mark.Kind.PLOSIVE)) {
            long from = Math.max(0, m.from()), to = Math.min(m.to(), ear.sound().frames());
            if (to <= from) continue;
            Event last = events.isEmpty() ? null : events.get(events.size() - 1);
            if (last != null && from - last.to <= 2L * edge && !marks.isKept(last.to, from)) {
                events.set(events.size() - 1, new Event(last.from, Math.max(last.to, to)));
            }
            else events.add(new Event(from, to));
        }
        return events;
    }

    /** From a sample as far towards another as nothing is kept. */
    private static long free(Marks marks, long from, long towards, boolean back) {
        long end = towards;
        for (Mark m : marks.all()) {
            if (!m.kept() && m.kind() != Mark.Kind.KEEP) continue;
            if (back && m.from() < from && m.to() > end) end = Math.min(from, m.to());
            if (!back && m.to() > from && m.from() < end) end = Math.max(from, m.from());
        }
        return back ? Math.max(0, end) : end;
    }

    private Thump.Cut cut(LiveValues v, Ear ear, Event e, int edge) {
        double hz = v.atTake(below, e.from), db = v.atTake(lower, e.from);
        PitchTrack pitch = ear.pitch();
        int hop = pitch.hop(), first = (int) (e.from / hop), last = (int) ((e.to + SYLLABLE_SECONDS * ear.sound().rate()) / hop);
        // The pitch of the vowel that follows; in the thump itself the tracker may take the thump for one, so what it hears there must be as alike from cycle
        // to cycle as a voice.
        double[] heard = IntStream.rangeClosed((int) (e.to / hop), last).filter(pitch::voiced).mapToDouble(f -> pitch.hz()[f]).sorted().toArray();
        if (heard.length < SUNG) {
            heard = IntStream.rangeClosed(first, last)
                    .filter(f -> pitch.voiced(f) && new Cycles(ear.sound(), e.from, (long) (last + 1) * hop, pitch.hz()[f])
                            .alike((long) f * hop + hop / 2) >= VOICE)
                    .mapToDouble(f -> pitch.hz()[f]).sorted().toArray();
        }
        if (heard.length < SUNG) return new Thump.Cut(e.from, e.to, Long.MAX_VALUE, hz, hz, db);
        double note = heard[heard.length / 2];
        int begins = last;
        for (int f = last; f >= first && (!pitch.voiced(f) || near(pitch.hz()[f], note)); f--) if (pitch.voiced(f)) begins = f;
        // Behind lips that are still closed the voice is too dull to be tracked.
        Cycles cycles = new Cycles(ear.sound(), e.from, (long) (last + 1) * hop, note);
        for (int f = begins, missed = 0; f > first && missed <= 1; ) {
            missed = cycles.alike((long) (--f * hop) + hop / 2) < VOICE ? missed + 1 : 0;
            if (missed == 0) begins = f;
        }
        long voiced = (long) begins * hop;
        if (voiced >= e.to + edge) return new Thump.Cut(e.from, e.to, voiced, hz, hz, db);
        return new Thump.Cut(e.from, e.to, voiced, hz, Math.max(Math.min(LOWEST_CORNER, hz), Math.min(hz, BELOW_PITCH * note)), db);
    }

    private static boolean near(double hz, double note) {
        return hz < note * SAME_NOTE && hz > note / SAME_NOTE;
    }
}
