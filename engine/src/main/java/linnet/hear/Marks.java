package linnet.hear;

import java.util.Comparator;
import java.util.List;
import java.util.function.LongUnaryOperator;
import linnet.dsp.Stretches;

/** The marks of a take, in order of time: found by ear, or read from the list that a person corrected. Every step uses the same. */
public record Marks(List<Mark> all) {
    public Marks {
        all = all.stream().sorted(Comparator.comparingLong(Mark::from).thenComparing(Mark::kind)).toList();
    }

    /** Those of a kind, in order of time. */
    public List<Mark> of(Mark.Kind kind) {
        return all.stream().filter(m -> m.kind() == kind).toList();
    }

    /** Those of a kind that a step may treat: not kept, and clear of every stretch that is. */
    public List<Mark> free(Mark.Kind kind) {
        Stretches still = Stretches.of(kept(), Mark::from, Mark::to);
        return of(kind).stream().filter(m -> !m.kept() && !still.meets(m.from(), m.to())).toList();
    }

    /** What no repair may touch, in order of time. */
    public List<Mark> kept() {
        return all.stream().filter(Marks::isKept).toList();
    }

    private static boolean isKept(Mark m) {
        return m.kept() || m.kind() == Mark.Kind.KEEP;
    }

    /** Whether any of these samples belongs to what no repair may touch. */
    public boolean isKept(long from, long to) {
        return all.stream().anyMatch(m -> isKept(m) && m.meets(from, to));
    }

    /** The same marks where there are {@code ratio} samples for each one now, as after a change of rate. */
    public Marks scaled(double ratio) {
        return placed(at -> Math.round(at * ratio));
    }

    /** The same marks so many samples later. */
    public Marks moved(long by) {
        return placed(at -> at + by);
    }

    private Marks placed(LongUnaryOperator place) {
        return new Marks(all.stream()
                .map(m -> new Mark(m.kind(), place.applyAsLong(m.from()), place.applyAsLong(m.to()), m.confidence(), m.kept(), m.word()))
                .toList());
    }
}
