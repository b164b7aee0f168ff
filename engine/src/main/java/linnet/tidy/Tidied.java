package linnet.tidy;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import linnet.dsp.Sound;
import linnet.dsp.Stretches;
import linnet.dsp.align.Pieces;
import linnet.dsp.repair.GainCurve;
import linnet.dsp.repair.Mended;
import linnet.dsp.repair.Patch;
import linnet.dsp.repair.Removal;
import linnet.dsp.repair.Span;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Note;
import linnet.hear.Notes;
import linnet.hear.Told;
import linnet.tidy.Decision.What;

/**
 * A part tidied against its lead. Everything is decided when it is made, phrase by phrase, and told; the sound is then read as any other. What
 * nothing was decided for has its own bits, moved by whole samples at most.
 */
public final class Tidied {
    /** Fades of a breath, in seconds, and the shortest. */
    private static final double BREATH_FADE = 0.02, SHORTEST_FADE = 0.01;

    private final Ear ear;
    private final double rate;
    private final List<Phrases.Phrase> phrases;
    private final boolean[] free;
    private final List<Decision> decisions = new ArrayList<>();
    private final List<Patch> patches = new ArrayList<>();
    private final List<Span> breathless = new ArrayList<>();
    private final List<GainCurve> gains = new ArrayList<>();
    private final Pieces pieces;
    private final Sound sound;

    /**
     * Decides.
     *
     * @param ear on the part, in the time of the song
     * @param lead at the same rate and in the same time
     * @param except places whose phrases are left alone, with the breath before them
     */
    public Tidied(Ear ear, Lead lead, Aims aims, Stretches except) {
        this.ear = ear;
        rate = ear.sound().rate();
        phrases = Phrases.of(ear);
        free = new boolean[phrases.size()];
        for (int p = 0; p < free.length; p++) free[p] = !phrases.get(p).kept() && !except.meets(phrases.get(p).from(), phrases.get(p).to());
        Removal removal = BreathSpans.removal(ear);
        if (aims.breaths()) chooseBreaths(removal);
        boolean follows = aims.timing().isPresent() || aims.ends() || aims.consonants().isPresent() || aims.level() instanceof Aims.Level.Lead;
        Timing timing = new Timing(ear, phrases, free, follows ? Lead.cepstra(ear, phrases) : null, lead, aims, breathless, removal.room(), decisions);
        long[] overs = new long[free.length];
        Arrays.fill(overs, -1);
        if (aims.ends()) new Ends(ear, phrases, timing, removal, breathless, decisions).fade(patches, overs);
        removeBreaths(removal);
        if (aims.consonants().isPresent()) gains.add(new Consonants(ear, phrases, timing, lead, aims.consonants().getAsDouble(), decisions).curve());
        if (!(aims.level() instanceof Aims.Level.Left)) gains.add(new Evening(ear, phrases, free, timing, overs, lead, aims.level(), decisions).curve());
        patches.sort(Comparator.comparingLong(Patch::from));
        decisions.sort(Comparator.comparingLong(Decision::from).thenComparing(Decision::what));
        Sound mended = patches.isEmpty() && gains.isEmpty() ? ear.sound() : new Mended(ear.sound(), patches, gains);
        pieces = timing.pieces(mended);
        sound = pieces.count() == 1 ? mended : pieces;
    }

    /** What came of it. */
    public Sound sound() {
        return sound;
    }

    /** What was done and what was left alone, in order of time. */
    public List<Decision> decisions() {
        return decisions;
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
                .map(n -> new Note(place(n.from()), place(n.to()), n.pitch(), n.vibratoHz(), n.vibratoCents(), n.scoopCents(), n.fallCents(), n.confidence(), n.target())).toList())));
    }

    private Marks marks(Marks before) {
        return new Marks(before.all().stream()
                .filter(m -> m.kind() != Mark.Kind.BREATH || breathless.stream().noneMatch(s -> m.meets(s.from(), s.to())))
                .map(m -> new Mark(m.kind(), pieces.place(m.from()), pieces.place(m.to()), m.confidence(), m.kept(), m.word()))
                .toList());
    }

    /** The phrase that a breath is taken for. */
    private int phraseAfter(long at) {
        int p = 0;
        while (p < phrases.size() && phrases.get(p).to() <= at) p++;
        return p;
    }

    private void chooseBreaths(Removal removal) {
        for (Span s : new BreathSpans(ear, (int) (BREATH_FADE * rate), (int) (SHORTEST_FADE * rate)).all()) {
            int p = phraseAfter(s.from());
            if (p < phrases.size() && !free[p]) {
                decisions.add(new Decision(What.BREATH, s.from(), s.to(), 0, false, "its phrase is left alone"));
            } else if (removal.of(s).isEmpty()) {
                decisions.add(new Decision(What.BREATH, s.from(), s.to(), 0, false, "no room is heard that could stand in its place"));
            } else {
                breathless.add(s);
            }
        }
    }

    /** Those that no end was faded over. */
    private void removeBreaths(Removal removal) {
        for (Span s : breathless) {
            if (patches.stream().anyMatch(p -> p.from() < s.to() && s.from() < p.to())) {
                decisions.add(new Decision(What.BREATH, s.from(), s.to(), 0, true, "removed with the end before it"));
                continue;
            }
            Removal.Removed removed = removal.of(s).orElseThrow();
            patches.add(removed.patch());
            decisions.add(new Decision(What.BREATH, s.from(), s.to(), removed.db(), true, "removed"));
        }
    }
}
