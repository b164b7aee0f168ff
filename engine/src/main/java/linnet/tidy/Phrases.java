package linnet.tidy;

import java.util.ArrayList;
import java.util.List;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Marks;

/** The phrases of a take as they are moved, in level or in time: what the marks tell, parted where somebody breathes in one. */
public final class Phrases {
    /** A phrase this soft holds nothing. */
    public static final double SILENT_LUFS = -100;
    /** A shorter pause without a breath leaves no room for two that move apart in time. */
    static final double PAUSE_SECONDS = 0.3;
    /** A shorter phrase is a syllable or two, and goes with what is as near and parted by no breath: a stop closes the mouth in a line, too. */
    private static final double SYLLABLE_SECONDS = 0.5;
    /** What is shorter is the beginning or the end of a breath. */
    private static final double LEAST_SECONDS = 0.05;

    /**
     * Samples {@code from … to - 1}.
     *
     * @param kept whether it is held as it is, because some of it is kept
     */
    public record Phrase(long from, long to, boolean kept) {}

    private Phrases() {}

    /** As they are brought to the level of another voice, each by itself however short the pause; in order of time, none meets another. */
    static List<Phrase> of(Ear ear) {
        return of(ear, 0, 0);
    }

    /** As they are evened among themselves: those as well, but the syllables of a line go together, or nothing of how it swells would be left. */
    public static List<Phrase> lines(Ear ear) {
        return of(ear, 0, SYLLABLE_SECONDS);
    }

    /** As they are moved in time, where what is parted by less than a breath is one; in order of time, none meets another. */
    static List<Phrase> inTime(Ear ear) {
        return of(ear, PAUSE_SECONDS, 0);
    }

    private static List<Phrase> of(Ear ear, double pauseSeconds, double syllableSeconds) {
        Marks marks = ear.speech();
        List<long[]> breaths = BreathSpans.heard(ear);
        double rate = ear.sound().rate();
        long pause = (long) (pauseSeconds * rate), syllable = (long) (syllableSeconds * rate), least = (long) (LEAST_SECONDS * rate), end = 0, lastPiece = 0;
        List<Phrase> phrases = new ArrayList<>();
        for (Mark m : marks.of(Mark.Kind.PHRASE)) {
            for (long[] p : between(breaths, Math.max(end, m.from()), Math.min(ear.sound().frames(), m.to()))) {
                Phrase last = phrases.isEmpty() ? null : phrases.get(phrases.size() - 1);
                boolean near = last != null && (p[0] - last.to < pause
                        || p[0] - last.to < syllable && Math.min(p[1] - p[0], lastPiece) < syllable);
                boolean joins = near && breaths.stream().noneMatch(b -> b[0] < p[0] && b[1] > last.to);
                if (joins) phrases.set(phrases.size() - 1, new Phrase(last.from, p[1], false));
                else if (p[1] - p[0] >= least) phrases.add(new Phrase(p[0], p[1], false));
                else continue;
                lastPiece = p[1] - p[0];
            }
            end = Math.max(end, m.to());
        }
        phrases.replaceAll(p -> new Phrase(p.from, p.to, marks.isKept(p.from, p.to)));
        return phrases;
    }

    /** What is left of a stretch where nobody breathes; a breath within a line parts it. */
    private static List<long[]> between(List<long[]> breaths, long from, long to) {
        List<long[]> left = new ArrayList<>();
        long begin = from;
        for (long[] b : breaths) {
            if (b[1] <= begin || b[0] >= to) continue;
            if (b[0] > begin) left.add(new long[] {begin, b[0]});
            begin = b[1];
        }
        if (begin < to) left.add(new long[] {begin, to});
        return left;
    }
}
