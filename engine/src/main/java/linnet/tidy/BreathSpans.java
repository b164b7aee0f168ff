package linnet.tidy;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import linnet.dsp.pitch.PitchTrack;
import linnet.dsp.repair.Removal;
import linnet.dsp.repair.Span;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Sung;

/**
 * Where breaths are treated: each inside its own mark and, where bare room lies beside it, up to a fade into that. Words stay clear: where
 * a mark reaches over a consonant, the beginning of a vowel or 50 ms with a pitch, the longest stretch free of them is the breath.
 */
public final class BreathSpans {
    private static final Set<Mark.Kind> WORDS = EnumSet.of(Mark.Kind.SIBILANT, Mark.Kind.PLOSIVE, Mark.Kind.STOP, Mark.Kind.VOWEL);
    /** Frames of 10 ms with a pitch that are a vowel, and not an accident of a breath. */
    private static final int SUNG = 5;

    private static final double RISE_SECONDS = 0.04;

    private final List<Span> all = new ArrayList<>();
    private int kept, small;

    /**
     * @param fade samples in which a breath is faded where it is long enough
     * @param shortest samples that no fade is shorter than
     */
    public BreathSpans(Ear ear, int fade, int shortest) {
        Marks marks = ear.speech();
        List<Mark> breaths = marks.free(Mark.Kind.BREATH);
        kept = marks.of(Mark.Kind.BREATH).size() - breaths.size();
        long end = 0;
        for (Mark m : breaths) {
            long[] span = wordless(m, Math.max(end, m.from()), Math.min(m.to(), ear.sound().frames()), marks, ear.pitch());
            if (span[1] - span[0] < 3L * shortest) {
                small++;
                continue;
            }
            long before = m.from() - fade, after = m.to() + fade;
            long from = span[0] == m.from() && isFree(ear, m, before, m.from()) && isRoom(ear, before, m.from() - rise(ear)) ? before : span[0];
            long to = span[1] == m.to() && isFree(ear, m, m.to(), after) && isRoom(ear, m.to() + rise(ear), after) ? after : span[1];
            all.add(new Span(from, to, (int) Math.min(fade, (to - from) / 3)));
            end = to;
        }
    }

    /** Whether nothing is marked or kept in these samples, or as far again to either side, but this breath. */
    private static boolean isFree(Ear ear, Mark breath, long from, long to) {
        long beside = to - from;
        return from >= 0 && to <= ear.sound().frames() && ear.speech().all().stream()
                .noneMatch(m -> m != breath && (m.kept() || m.kind() != Mark.Kind.CLICK) && m.meets(from - beside, to + beside));
    }

    /** Whether bare room reaches in between these samples, in whatever order. */
    private static boolean isRoom(Ear ear, long a, long b) {
        return ear.room().value().stream().flatMap(List::stream).anyMatch(r -> r.from() <= Math.max(a, b) && r.to() >= Math.min(a, b));
    }

    /** Samples in which a breath rises out of bare room. */
    private static long rise(Ear ear) {
        return (long) (RISE_SECONDS * ear.sound().rate());
    }

    /** What takes breaths out of a take: the room that is heard in its pauses. */
    public static Removal removal(Ear ear) {
        List<Sung.Span> room = ear.room().value().orElse(List.of());
        return new Removal(ear.sound(), room.stream().map(s -> new long[] {s.from(), s.to()}).toArray(long[][]::new), ear.silenced());
    }

    /** Every breath of a take, kept or not, without what belongs to words: pairs of the first sample and the one after the last, in order of time. */
    public static List<long[]> heard(Ear ear) {
        Marks marks = ear.speech();
        List<long[]> heard = new ArrayList<>();
        for (Mark m : marks.of(Mark.Kind.BREATH)) {
            long[] span = wordless(m, Math.max(0, m.from()), Math.min(m.to(), ear.sound().frames()), marks, ear.pitch());
            if (span[1] > span[0]) heard.add(span);
        }
        return heard;
    }

    /** In order of time; none meets another. */
    public List<Span> all() {
        return all;
    }

    /** How many there are, and why others are left alone. */
    public String told(Ear ear) {
        if (all.isEmpty() && kept + small == 0) return "none: " + (ear.sung().known() ? "there is no breath in it" : ear.sung().reason());
        return all.size() + (kept > 0 ? ", " + kept + " kept" : "") + (small > 0 ? ", " + small + " too short to fade" : "");
    }

    /** Marks may disagree. Inside a breath the surer one counts; at its edge, where the word is, the consonant need only be half as sure. */
    private static boolean outweighs(Mark word, Mark breath) {
        boolean inside = word.from() > breath.from() && word.to() < breath.to();
        return word.confidence() >= (inside ? 1 : 0.5) * breath.confidence();
    }

    private static long[] wordless(Mark breath, long from, long to, Marks marks, PitchTrack pitch) {
        List<long[]> words = new ArrayList<>();
        for (Mark m : marks.all()) {
            if (WORDS.contains(m.kind()) && m.from() < to && m.to() >= from && outweighs(m, breath)) words.add(new long[] {m.from(), m.to()});
        }
        int hop = pitch.hop();
        for (int f = (int) (from / hop), run = 0; f <= to / hop; f++) {
            run = pitch.voiced(f) ? run + 1 : 0;
            if (run >= SUNG) words.add(new long[] {(long) (f + 1 - run) * hop, (long) (f + 1) * hop});
        }
        words.sort((a, b) -> Long.compare(a[0], b[0]));
        words.add(new long[] {to, to});
        long[] longest = {from, from};
        long begin = from;
        for (long[] w : words) {
            long until = Math.min(w[0], to);
            if (until - begin > longest[1] - longest[0]) longest = new long[] {begin, until};
            begin = Math.max(begin, w[1]);
        }
        return longest;
    }
}
