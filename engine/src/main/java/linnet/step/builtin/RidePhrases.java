package linnet.step.builtin;

import java.util.ArrayList;
import java.util.List;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Marks;

/** The phrases of a take as a ride moves them: what the marks tell, and what is parted by less than a breath is one. */
final class RidePhrases {
    /** A phrase this soft holds nothing. */
    static final double SILENT_LUFS = -100;
    /** A shorter pause without a breath is a rest within a line. */
    private static final double PAUSE_SECONDS = 0.3;

    /**
     * Samples {@code from … to - 1}.
     *
     * @param kept whether it is held as it is, because some of it is kept
     */
    record Phrase(long from, long to, boolean kept) {}

    private RidePhrases() {}

    static List<Phrase> of(Ear ear) {
        Marks marks = ear.marks();
        List<Mark> breaths = marks.of(Mark.Kind.BREATH);
        long pause = (long) (PAUSE_SECONDS * ear.sound().rate()), frames = ear.sound().frames();
        List<Phrase> phrases = new ArrayList<>();
        for (Mark m : marks.of(Mark.Kind.PHRASE)) {
            long from = Math.max(0, m.from()), to = Math.min(frames, m.to());
            if (to <= from) continue;
            Phrase last = phrases.isEmpty() ? null : phrases.get(phrases.size() - 1);
            boolean joins = last != null && from - last.to < pause && breaths.stream().noneMatch(b -> b.from() < from && b.to() > last.to);
            if (joins) phrases.set(phrases.size() - 1, new Phrase(last.from, Math.max(last.to, to), false));
            else if (last == null || from >= last.to) phrases.add(new Phrase(from, to, false));
            else if (to > last.to) phrases.add(new Phrase(last.to, to, false));
        }
        phrases.replaceAll(p -> new Phrase(p.from, p.to, marks.isKept(p.from, p.to)));
        return phrases;
    }
}
