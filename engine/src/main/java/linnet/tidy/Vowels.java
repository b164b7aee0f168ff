package linnet.tidy;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.align.Cepstra;
import linnet.dsp.pitch.PitchTrack;
import linnet.hear.Ear;
import linnet.hear.Mark;

/**
 * Where a take may become longer or shorter: in vowels that are held. They have a pitch and are about as loud as what is near, which m, n and
 * l mostly are not; where a vowel begins, and around consonants, nothing is stretched.
 */
final class Vowels {
    private static final double CLEAR_SECONDS = 0.015, BEGIN_SECONDS = 0.04, SHORTEST_SECONDS = 0.06;
    private static final double UNDER_DB = 9;
    /** In frames of 5 ms. */
    private static final int NEAR = 40;

    private final List<long[]> all = new ArrayList<>();

    Vowels(Ear ear, Cepstra cepstra, List<Phrases.Phrase> phrases) {
        PitchTrack pitch = ear.pitch();
        double rate = ear.sound().rate();
        long clear = (long) (CLEAR_SECONDS * rate), begin = (long) (BEGIN_SECONDS * rate), shortest = (long) (SHORTEST_SECONDS * rate);
        List<Mark> marks = ear.speech().all().stream()
                .filter(m -> m.kind() == Mark.Kind.VOWEL || m.kind() == Mark.Kind.CLICK || Lead.HARD.contains(m.kind()) || m.kept()).toList();
        int hop = cepstra.hop(), next = 0;
        for (Phrases.Phrase p : phrases) {
            long start = -1, busy = 0;
            for (int f = cepstra.frame(p.from()); f <= cepstra.frame(p.to()); f++) {
                long at = (long) f * hop;
                for (; next < marks.size() && marks.get(next).from() - clear <= at; next++) {
                    Mark m = marks.get(next);
                    busy = Math.max(busy, m.kind() == Mark.Kind.VOWEL ? m.from() + begin : m.to() + clear);
                }
                boolean open = at >= busy && pitch.voiced((int) (at / pitch.hop())) && cepstra.db(f) > most(cepstra, f) - UNDER_DB;
                if (open && start < 0) start = at;
                if (start >= 0 && (!open || f == cepstra.frame(p.to()))) {
                    if (at - start >= shortest) all.add(new long[] {start, at});
                    start = -1;
                }
            }
        }
    }

    private static double most(Cepstra cepstra, int f) {
        double most = -200;
        for (int i = Math.max(0, f - NEAR); i <= Math.min(cepstra.frames() - 1, f + NEAR); i++) most = Math.max(most, cepstra.db(i));
        return most;
    }

    /** What of them lies between two samples: pairs of the first sample and the one after the last. */
    List<long[]> between(long from, long to) {
        return all.stream().filter(v -> v[0] < to && v[1] > from).map(v -> new long[] {Math.max(from, v[0]), Math.min(to, v[1])}).toList();
    }
}
