package linnet.step.builtin;

import static linnet.setting.Unit.CENTS;
import static linnet.setting.Unit.HZ;
import static linnet.setting.Unit.MS;
import static linnet.setting.Unit.PERCENT;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import linnet.dsp.pitch.Correction;
import linnet.dsp.pitch.Held;
import linnet.hear.Ear;
import linnet.hear.Note;
import linnet.hear.SungPitches;
import linnet.hear.Tuning;
import linnet.hear.Wanted;
import linnet.setting.ConcertPitch;
import linnet.setting.Fixed;
import linnet.setting.Key;
import linnet.setting.NoteName;
import linnet.setting.Text;
import linnet.setting.Values;
import linnet.step.FixedValues;
import linnet.step.LiveValues;
import linnet.step.Memoryless;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;

/**
 * Moves sung notes towards the notes of a key. What is moved is the middle of each note, with its vibrato, scoop and fall on it; what has no
 * pitch passes to the bit. Usual values are common practice for a natural lead.
 */
final class Tune extends Step {
    private final Text<Key> key = text("key", Key.FORM).otherwise("the nearest semitone")
            .doc("The key; in a song that of the song, where it has one and no scale is given. Targets in the take's list of notes go before it.");
    private final Text<Integer> scale = text("scale", NoteName.FORM).list(12).otherwise("as the key says")
            .doc("The notes that may be sung, in any octave, instead of a key.");
    private final Fixed reference = fixed("reference", HZ).range(ConcertPitch.LOWEST, ConcertPitch.HIGHEST)
            .usual(HZ.format(ConcertPitch.USUAL)).doc("The pitch of the A above middle C.");
    private final Fixed amount = fixed("amount", PERCENT).range(0, 100).usual("60 %").neutral("0 %")
            .doc("How much of a note's error is taken away; 40 to 80 % sounds natural in a lead.");
    private final Fixed speed = fixed("speed", MS).range(0, 400).usual("80 ms")
            .doc("How long after its beginning a note is where it should be; 40 to 150 ms sounds natural, 10 ms and less is heard as an effect.");
    private final Fixed ignore = fixed("ignore", CENTS).range(0, 50).usual("10 cents").doc("Notes that are off by no more than this are left alone.");
    private final Fixed vibrato = fixed("vibrato", PERCENT).range(0, 100).usual("100 %").neutral("100 %").doc("How much of the vibrato is kept.");

    Tune() {
        super("tune", "Moves sung notes towards the notes of the song, and keeps vibrato, scoops, falls and glides. Without key or scale, towards the nearest "
                + "semitone.");
        settings().atMostOne(key, scale);
    }

    @Override
    public boolean mends() {
        return true;
    }

    @Override
    public boolean mayFindOdd(Values values, double rate) {
        return true;
    }

    @Override
    public Prepared prepare(FixedValues values, Setup setup) {
        Tuning tuning = new Tuning(values.get(reference), allowed(values));
        double part = values.get(amount) / 100, swing = 1 - values.get(vibrato) / 100, left = values.get(ignore), time = setup.frames(values.get(speed));
        return Prepared.hearing(0, setup.channels(), (v, ear) -> {
            if (part == 0 && swing == 0) return (Memoryless) block -> {};
            List<Wanted> wanted = tuning.wanted(ear.arrivingNotes(), setup.rate());
            List<Correction.Pull> pulls = pulls(wanted, ear, part, swing, left);
            tell(wanted, pulls, v);
            Misfit.octave(wanted, setup.rate(), values.get(reference)).ifPresent(why -> v.odd("target", why));
            // What somebody said of a note counts more than the key.
            SungPitches sung = new SungPitches(wanted.stream().map(Wanted::note).filter(n -> n.target().isEmpty()).toList(), setup.rate(),
                    values.get(reference));
            Misfit.reference(sung, values.get(reference)).ifPresent(why -> v.odd(reference.name(), why));
            if (values.given(key)) Misfit.key(sung, values.get(key).get(0).words(), allowed(values)).ifPresent(why -> v.odd(key.name(), why));
            if (values.given(scale)) Misfit.key(sung, "the scale", allowed(values)).ifPresent(why -> v.odd(scale.name(), why));
            return new Resung(v, ear, new Correction(ear.arrivingPitch(), time, pulls), s -> 1);
        }).readingOn();
    }

    private int allowed(FixedValues values) {
        if (values.given(key)) return values.get(key).get(0).notes();
        if (!values.given(scale)) return Tuning.CHROMATIC;
        int notes = 0;
        for (int note : values.get(scale)) notes |= 1 << note;
        return notes;
    }

    /** How far each note is moved, in their order: {@code part} of its error and {@code swing} of its vibrato are taken away. */
    static List<Correction.Pull> pulls(List<Wanted> wanted, Ear ear, double part, double swing, double ignored) {
        List<Correction.Pull> pulls = new ArrayList<>();
        for (Wanted w : wanted) pulls.add(pull(w, ear, part, swing, ignored));
        carry(wanted, pulls);
        return pulls;
    }

    private static Correction.Pull pull(Wanted w, Ear ear, double part, double swing, double ignored) {
        Note n = w.note();
        Held held = Held.between(ear.arrivingPitch(), ear.sound().rate(), n.from(), n.to());
        if (w.pitch().isEmpty()) return new Correction.Pull(held, n.from(), n.to(), 0, 0, 0);
        double cents = Math.abs(w.cents()) > ignored ? part * w.cents() : 0;
        return new Correction.Pull(held, n.from(), n.to(), cents, drifts(held, ignored) ? part : 0, swing);
    }

    /** Others take along what is sung into or out of them: a run of such notes leads from the one before it to the one after it in even steps. */
    private static void carry(List<Wanted> wanted, List<Correction.Pull> pulls) {
        for (int k = 0; k < pulls.size(); k++) {
            if (wanted.get(k).why() != Wanted.Why.CARRIED) continue;
            int first = k;
            while (k + 1 < pulls.size() && wanted.get(k + 1).why() == Wanted.Why.CARRIED && isSungInto(pulls, k)) k++;
            boolean out = isSungInto(pulls, first - 1), into = isSungInto(pulls, k);
            if (!out && !into) continue;
            double from = pulls.get(out ? first - 1 : k + 1).cents(), to = pulls.get(into ? k + 1 : first - 1).cents();
            for (int i = first; i <= k; i++) {
                Correction.Pull p = pulls.get(i);
                pulls.set(i, new Correction.Pull(p.held(), p.from(), p.to(), from + (to - from) * (i - first + 1) / (k - first + 2), 0, 0));
            }
        }
    }

    /** Whether the next note begins where this one ends. */
    private static boolean isSungInto(List<Correction.Pull> pulls, int k) {
        return k >= 0 && k + 1 < pulls.size() && pulls.get(k).to() == pulls.get(k + 1).from();
    }

    private static boolean drifts(Held held, double ignored) {
        for (int f = held.first(); f < held.last(); f++) if (Math.abs(held.driftCents(f)) > ignored) return true;
        return false;
    }

    private static void tell(List<Wanted> wanted, List<Correction.Pull> pulls, LiveValues values) {
        if (wanted.isEmpty()) {
            values.found("heard", "no notes, because nobody sings in it");
            return;
        }
        StringBuilder text = new StringBuilder(wanted.size() == 1 ? "1 note" : wanted.size() + " notes");
        List<Integer> decided = IntStream.range(0, pulls.size()).filter(k -> wanted.get(k).pitch().isPresent() && pulls.get(k).cents() != 0).boxed().toList();
        double most = decided.stream().mapToDouble(k -> Math.abs(pulls.get(k).cents())).max().orElse(0);
        int n = decided.size();
        text.append(n == 0 ? ", none moved" : ", " + n + " moved by up to " + CENTS.format(most, 0));
        say(text, wanted, Wanted.Why.UNSURE, "the pitch is not sure");
        say(text, wanted, Wanted.Why.BETWEEN, "they lie between two notes");
        say(text, wanted, Wanted.Why.FAR, "no note of the scale is near");
        long carried = wanted.stream().filter(w -> w.why() == Wanted.Why.CARRIED).count();
        if (carried > 0) text.append(", ").append(carried).append(" with their neighbours");
        long told = wanted.stream().filter(w -> w.why() == Wanted.Why.TOLD).count();
        if (told > 0) text.append("; ").append(told).append(" as the list of notes says");
        values.found("heard", text.toString());
    }

    private static void say(StringBuilder text, List<Wanted> wanted, Wanted.Why why, String because) {
        long n = wanted.stream().filter(w -> w.why() == why).count();
        if (n > 0) text.append(", ").append(n).append(" left alone because ").append(because);
    }
}
