package linnet.tidy;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.GainCurve;
import linnet.dsp.pitch.PitchTrack;
import linnet.dsp.repair.Span;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.tidy.Decision.What;

/** Lowers s, sh, p, t, k and the like where the lead has one too, up to where the vowel begins, so that one mouth speaks. */
final class Consonants {
    // What comes of them is measured in docs/decisions/0020-tidy.md; where each number came from was not written down when it was chosen.

    /** A consonant of the lead is the same one if it lies no farther away; and so does the stop that the thump of a p belongs to. */
    private static final double NEAR_SECONDS = 0.08;
    /** Into and out of what is lowered; and how long before its vowel that ends. */
    private static final double FADE_SECONDS = 0.008;
    /** How far from the end of a sibilant, either way, its vowel may begin. */
    private static final double HISS_SECONDS = 0.015;
    /** How long at most the breath between a burst and its vowel is lowered. */
    private static final double BREATH_SECONDS = 0.08;
    /** How long at most a burst is, back from the end of its stop: before that the mouth is closed. */
    private static final double BURST_SECONDS = 0.045;
    /** What is left of a shorter one lies in its vowel. */
    private static final double SHORTEST_SECONDS = 0.01;
    /** A vowel that begins so near to the beginning of a stop begins with it. */
    private static final double AT_ONCE_SECONDS = 0.01;
    /** No burst lasts so long into a vowel. */
    private static final double LASTS_SECONDS = 0.02;

    private final GainCurve.Builder curve = new GainCurve.Builder();

    Consonants(Ear ear, List<Phrases.Phrase> phrases, Timing timing, Lead lead, double db, List<Decision> decisions) {
        double rate = ear.sound().rate();
        List<long[]> spans = new ArrayList<>();
        List<Mark> own = ear.speech().all(), vowels = ear.speech().of(Mark.Kind.VOWEL),
                there = lead.marks().all().stream().filter(m -> Lead.HARD.contains(m.kind())).toList();
        for (Mark m : own) {
            int p = timing.phrase(m);
            if (!Lead.HARD.contains(m.kind()) || p < 0 || timing.match(p) == null || timing.match(p).refused().isPresent()) continue;
            boolean kept = ear.speech().isKept(m.from(), m.to());
            double from = timing.match(p).place(m.from()), to = timing.match(p).place(m.to());
            // Where the same word is sung the lead says it, however softly.
            boolean both = timing.match(p).agrees(m.from())
                    || there.stream().anyMatch(l -> l.from() < to + NEAR_SECONDS * rate && l.to() > from - NEAR_SECONDS * rate);
            if (kept || !both) {
                decisions.add(new Decision(What.CONSONANT, m.from(), m.to(), 0, false, kept ? "kept" : "the lead has none there"));
                continue;
            }
            // The thump of a p belongs to its stop.
            if (m.kind() == Mark.Kind.PLOSIVE
                    && own.stream().anyMatch(o -> o.kind() == Mark.Kind.STOP && o.meets((long) (m.from() - NEAR_SECONDS * rate), m.to()))) {
                continue;
            }
            if (m.kind() == Mark.Kind.STOP && opensIntoVowel(m, vowels, rate)) {
                decisions.add(new Decision(What.CONSONANT, m.from(), m.to(), 0, false, "its vowel begins with it, and nothing hard is heard before"));
                continue;
            }
            long[] span = span(m, vowels, ear.pitch(), rate);
            // What lies in its vowel is no consonant of its own.
            if (span[1] - span[0] < SHORTEST_SECONDS * rate) continue;
            long[] last = spans.isEmpty() ? null : spans.get(spans.size() - 1);
            if (last != null && span[0] <= last[1]) last[1] = Math.max(last[1], span[1]);
            else spans.add(span);
        }
        for (long[] s : spans) {
            int fade = (int) Math.min(FADE_SECONDS * rate, (s[1] - s[0]) / 3.0);
            new Span(s[0], s[1], fade).draw(curve, -db);
            decisions.add(new Decision(What.CONSONANT, s[0], s[1], -db, true, "lowered: the lead says it"));
        }
    }

    /** A soft p or an n opens into the vowel: what is marked as its burst lasts on as that does, and nothing of it may go. A burst is over in less. */
    private static boolean opensIntoVowel(Mark stop, List<Mark> vowels, double rate) {
        return vowels.stream()
                .anyMatch(v -> v.from() >= stop.from() - AT_ONCE_SECONDS * rate
                        && (v.from() <= stop.from() + AT_ONCE_SECONDS * rate || v.from() <= stop.to() - LASTS_SECONDS * rate) && v.from() < stop.to());
    }

    /** From just before its sound to the vowel; the breath after a burst belongs to it, and so does the end of a hiss. */
    private static long[] span(Mark m, List<Mark> vowels, PitchTrack pitch, double rate) {
        long fade = (long) (FADE_SECONDS * rate), hiss = (long) (HISS_SECONDS * rate);
        return switch (m.kind()) {
            case SIBILANT -> new long[] {Math.max(0, m.from() - fade), Math.max(m.to(), vowel(m.to() - hiss, m.to() + hiss + fade, vowels, pitch, fade))};
            // While the mouth is closed there is nothing to lower but the room; the burst itself is known to the millisecond.
            case STOP -> new long[] {Math.max(m.from(), m.to() - (long) (BURST_SECONDS * rate)),
                Math.max(m.to() + fade / 2, vowel(m.to(), m.to() + (long) (BREATH_SECONDS * rate), vowels, pitch, fade))};
            default -> new long[] {Math.max(0, m.from() - fade), vowel(m.from(), m.to(), vowels, pitch, fade)};
        };
    }

    /** Where a vowel begins between two samples, less a little: by its mark, or before that by its pitch. The later of both where there is none. */
    private static long vowel(long from, long to, List<Mark> vowels, PitchTrack pitch, long before) {
        long at = to;
        for (Mark v : vowels) if (v.from() >= from && v.from() - before < at) at = v.from() - before;
        for (int f = (int) ((from + pitch.hop() - 1) / pitch.hop()); (long) f * pitch.hop() < at; f++) {
            if (pitch.voiced(f) && pitch.voiced(f + 1)) at = (long) f * pitch.hop();
        }
        return at;
    }

    GainCurve curve() {
        return curve.build();
    }
}
