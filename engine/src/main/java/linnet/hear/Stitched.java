package linnet.hear;

import java.util.ArrayList;
import java.util.List;

/** What is known of a sound that is put together from stretches of others, each already in the time of the whole. */
public final class Stitched {
    /** From which sample to which a sound is used. */
    public record Stretch<T>(T of, long from, long to) {}

    private Stitched() {}

    /** What goes on over a border as the same kind is one mark. */
    public static Marks marks(List<Stretch<Marks>> stretches) {
        List<Mark> all = new ArrayList<>();
        for (Stretch<Marks> s : stretches) {
            for (Mark m : s.of.all()) {
                boolean point = m.from() == m.to();
                long from = Math.max(m.from(), s.from), to = Math.min(m.to(), s.to);
                if (point ? m.from() < s.from || m.from() >= s.to : from >= to) continue;
                Mark part = new Mark(m.kind(), from, to, m.confidence(), m.kept(), m.word());
                int before = point ? -1 : before(all, part, s.from);
                if (before < 0) all.add(part);
                else all.set(before,
                        new Mark(m.kind(), all.get(before).from(), to, Math.min(m.confidence(), all.get(before).confidence()),
                                m.kept() || all.get(before).kept(), all.get(before).word()));
            }
        }
        return new Marks(all);
    }

    private static int before(List<Mark> all, Mark part, long border) {
        if (part.from() != border) return -1;
        for (int i = all.size() - 1; i >= 0; i--) if (all.get(i).kind() == part.kind() && all.get(i).to() == border) return i;
        return -1;
    }

    /** A note that is cut is as long as what is left of it. */
    public static Notes notes(List<Stretch<Notes>> stretches) {
        List<Note> all = new ArrayList<>();
        for (Stretch<Notes> s : stretches) {
            for (Note n : s.of.all()) {
                long from = Math.max(n.from(), s.from), to = Math.min(n.to(), s.to);
                if (from < to) all.add(n.between(from, to));
            }
        }
        return new Notes(all);
    }
}
