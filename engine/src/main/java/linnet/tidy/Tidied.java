package linnet.tidy;

import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import linnet.dsp.Sound;
import linnet.dsp.Stretches;
import linnet.dsp.align.Pieces;
import linnet.dsp.repair.Mended;
import linnet.dsp.repair.Patch;
import linnet.dsp.repair.Removal;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Memory;
import linnet.hear.Note;
import linnet.hear.Notes;
import linnet.hear.Told;

/**
 * A part tidied against its lead. Everything is decided when it is made, phrase by phrase, and told; the sound is then read as any other. What
 * nothing was decided for has its own bits, moved by whole samples at most.
 */
public final class Tidied {
    private static final String TREATMENT = "treatment";

    private final Ear ear;
    private final Treatment treatment;
    private final Pieces pieces;
    private final Sound sound;

    /** Decides. */
    public Tidied(Ear ear, Lead lead, Aims aims, Stretches except) {
        this(ear, () -> lead, aims, except, Memory.NONE);
    }

    /**
     * Recalls what was decided, or decides.
     *
     * @param ear on the part, in the time of the song
     * @param lead at the same rate and in the same time; heard only where something is decided
     * @param except places whose phrases are left alone, with the breath before them
     * @param memory what was decided before, for this very part, lead and what is wanted
     */
    public Tidied(Ear ear, Supplier<Lead> lead, Aims aims, Stretches except, Memory memory) {
        this.ear = ear;
        Removal removal = BreathSpans.removal(ear);
        Optional<Treatment> known = memory.recall(TREATMENT).flatMap(Treatment.FORM::read).filter(t -> t.fits(ear.sound().frames(), removal));
        treatment = known.orElseGet(() -> Treatment.decided(ear, removal, lead.get(), aims, except));
        if (known.isEmpty()) memory.keep(TREATMENT, Treatment.FORM.write(treatment));
        List<Patch> patches = treatment.removed().stream().map(s -> removal.of(s).orElseThrow().patch()).toList();
        Sound mended = patches.isEmpty() && treatment.gains().isEmpty() ? ear.sound() : new Mended(ear.sound(), patches, treatment.gains());
        pieces = treatment.pieces(mended, removal);
        sound = pieces.count() == 1 ? mended : pieces;
    }

    /** What was decided before, if it was. */
    public static Optional<List<Decision>> decisions(Memory memory) {
        return memory.recall(TREATMENT).flatMap(Treatment.FORM::read).map(Treatment::decisions);
    }

    /** What came of it. */
    public Sound sound() {
        return sound;
    }

    /** What was done and what was left alone, in order of time. */
    public List<Decision> decisions() {
        return treatment.decisions();
    }

    /** Where a sample of the part lies in what came of it. */
    public long place(long sample) {
        return pieces.place(sample);
    }

    /** The marks of the part, told or found, as they lie in what came of it; breaths that are gone are not among them. */
    public Marks marks() {
        return marks(ear.speech());
    }

    /** What was told of the notes of the part, as they lie in what came of it. */
    public Told notes(Told before) {
        return new Told(Optional.empty(), before.notes().map(notes -> new Notes(notes.all().stream()
                .map(n -> new Note(place(n.from()), place(n.to()), n.pitch(), n.vibratoHz(), n.vibratoCents(), n.scoopCents(), n.fallCents(), n.confidence(),
                        n.target())).toList())));
    }

    private Marks marks(Marks before) {
        return new Marks(before.all().stream()
                .filter(m -> m.kind() != Mark.Kind.BREATH || treatment.breathless().stream().noneMatch(s -> m.meets(s.from(), s.to())))
                .map(m -> new Mark(m.kind(), pieces.place(m.from()), pieces.place(m.to()), m.confidence(), m.kept(), m.word()))
                .toList());
    }
}
