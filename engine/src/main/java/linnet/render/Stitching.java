package linnet.render;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import linnet.dsp.Stretches;
import linnet.hear.Joint;
import linnet.hear.Marks;
import linnet.hear.Notes;
import linnet.hear.Stitched;
import linnet.hear.Told;
import linnet.plan.Work;

/** What is known of pieces, as they were put together ({@link Splicer}). */
final class Stitching {
    /**
     * Where nothing is left, from a sample up to before another.
     *
     * @param fade samples at its beginning, and as many at its end, in which it goes to silence; 0 where it is in the level
     */
    record Silenced(long from, long to, long fade) {}

    private final Sources sources;
    private final List<Work.Piece> of;
    private final List<Joined.Piece> placed;
    private final List<Joint> joints;
    private final List<Silenced> silenced;

    Stitching(Sources sources, List<Work.Piece> of, List<Joined.Piece> placed, List<Joint> joints) {
        this(sources, of, placed, joints, List.of());
    }

    private Stitching(Sources sources, List<Work.Piece> of, List<Joined.Piece> placed, List<Joint> joints, List<Silenced> silenced) {
        this.sources = sources;
        this.of = of;
        this.placed = placed;
        this.joints = joints;
        this.silenced = silenced;
    }

    private long by(int piece) {
        return placed.get(piece).at() - Sources.start(of.get(piece).of());
    }

    private <T> Stitched.Stretch<T> stretch(int piece, T known) {
        long from = piece == 0 ? Long.MIN_VALUE : joints.get(piece - 1).at(), to = piece == joints.size() ? Long.MAX_VALUE : joints.get(piece).at();
        return new Stitched.Stretch<>(known, from, to);
    }

    /** The same with nothing left in these spans. */
    Stitching without(List<Silenced> spans) {
        return new Stitching(sources, of, placed, joints, spans.stream().sorted(Comparator.comparingLong(Silenced::from)).toList());
    }

    /** Where nothing was put, and what was taken away. */
    Stretches silence() {
        List<Silenced> all = new ArrayList<>(silenced);
        for (int i = 0; i < of.size(); i++) {
            if (!isSilent(of.get(i))) continue;
            Stitched.Stretch<Work.Piece> nothing = stretch(i, of.get(i));
            all.add(new Silenced(nothing.from(), nothing.to(), 0));
        }
        return Stretches.of(all, Silenced::from, Silenced::to);
    }

    /** Of all that is put together, before anything in it is silenced. */
    Marks whole(boolean clicks) {
        List<Stitched.Stretch<Marks>> all = new ArrayList<>();
        for (int i = 0; i < of.size(); i++) all.add(stretch(i, sources.marks(of.get(i).of(), clicks).moved(by(i))));
        return Stitched.marks(all);
    }

    /** What is marked in what is left: heard where it was cut from, as nothing that was taken away elsewhere changes it. */
    Marks marks(boolean clicks) {
        Marks whole = whole(clicks);
        List<Stitched.Stretch<Marks>> left = new ArrayList<>();
        long from = Long.MIN_VALUE;
        for (Silenced s : silenced) {
            if (s.from() > from) left.add(new Stitched.Stretch<>(whole, from, s.from()));
            from = Math.max(from, s.to());
        }
        left.add(new Stitched.Stretch<>(whole, from, Long.MAX_VALUE));
        return Stitched.marks(left);
    }

    /** Something was told of one of them: then the others are heard, so that the list is whole. */
    Told told() {
        List<Told> told = of.stream().map(p -> sources.told(p.of())).toList();
        Optional<Marks> marks = told.stream().anyMatch(t -> t.marks().isPresent()) ? Optional.of(marks(true)) : Optional.empty();
        if (told.stream().noneMatch(t -> t.notes().isPresent())) return new Told(marks, true, false, Optional.empty());
        List<Stitched.Stretch<Notes>> notes = new ArrayList<>();
        for (int i = 0; i < of.size(); i++) {
            Work.Piece piece = of.get(i);
            Notes own = isSilent(piece) ? new Notes(List.of()) : told.get(i).notes().orElseGet(() -> sources.notes(piece.of()));
            notes.add(stretch(i, own.moved(by(i))));
        }
        return new Told(marks, true, false, Optional.of(Stitched.notes(notes)));
    }

    static boolean isSilent(Work.Piece piece) {
        return piece.of() instanceof Work.Source.Silence;
    }
}
