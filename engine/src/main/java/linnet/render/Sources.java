package linnet.render;

import java.io.IOException;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Function;
import java.util.function.IntFunction;
import linnet.dsp.Sound;
import linnet.dsp.Stretches;
import linnet.hear.Ear;
import linnet.hear.Marks;
import linnet.hear.Memory;
import linnet.hear.Notes;
import linnet.hear.Told;
import linnet.plan.SongPlan;
import linnet.plan.Work;

/**
 * What is known of all that can go into a work: takes, what is put together from pieces, and what came of other works. What was told of it goes before what is
 * heard in it, and what was heard of a take once is kept for all that is made of it. For several threads at once.
 */
final class Sources {
    /** What becomes of what is known of a part when it is tidied. */
    interface Tidying {
        Told told(Work work, Told before);
    }

    private final SongPlan plan;
    private final List<SongRenderer.Take> takes;
    private final IntFunction<Shelf.Recollection> remembered;
    private final Function<Work.Source.Edited, Splicer.Spliced> splice;
    private final Function<Work.Source.Made, Sound> made;
    private final Tidying tidied;
    /** Of sources as they lie by themselves: with their clicks, and without. */
    private final Map<Work.Source, Marks> clicked = new ConcurrentHashMap<>(), spoken = new ConcurrentHashMap<>();

    /**
     * @param remembered what was heard of each take before
     * @param splice puts together what is in pieces
     * @param made the sound of a work that is done
     * @param tidied where what was told of a part lies once it is tidied
     */
    Sources(SongPlan plan, List<SongRenderer.Take> takes, IntFunction<Shelf.Recollection> remembered, Function<Work.Source.Edited, Splicer.Spliced> splice,
            Function<Work.Source.Made, Sound> made, Tidying tidied) {
        this.plan = plan;
        this.takes = takes;
        this.remembered = remembered;
        this.splice = splice;
        this.made = made;
        this.tidied = tidied;
    }

    /** The sound of a take or of a work that is done; null of anything else. */
    Sound sound(Work.Source of) {
        if (of instanceof Work.Source.Take t) return takes.get(t.take()).sound();
        if (of instanceof Work.Source.Made m) return made.apply(m);
        return null;
    }

    /** Where it begins in the song. */
    static long start(Work.Source of) {
        return of instanceof Work.Source.Take t ? t.at() : 0;
    }

    /** What is marked in a source, in the time of the song, as it lies there by itself. */
    Marks marks(Work.Source of, boolean clicks) {
        Map<Work.Source, Marks> known = clicks ? clicked : spoken;
        if (of instanceof Work.Source.Take t) {
            return known.computeIfAbsent(new Work.Source.Take(t.take(), 0, false), w -> heard(t.take(), clicks)).moved(t.at());
        }
        if (of instanceof Work.Source.Edited e) return splice.apply(e).stitching().marks(clicks);
        if (!(of instanceof Work.Source.Made m)) return new Marks(List.of());
        Work work = plan.works().get(m.work());
        Optional<Marks> tidy = clicks || work.tidying().isEmpty() ? Optional.empty() : told(m).marks();
        if (tidy.isPresent()) return tidy.get();
        if (isOfOne(work) && work.tidying().isEmpty()) return marks(work.input().get(0).source(), clicks);
        return known.computeIfAbsent(m, w -> heard(new Ear(made.apply(m)), clicks));
    }

    /** Whether it comes of one source and leaves what is sung where it lies in that: most steps do. */
    private static boolean isOfOne(Work work) {
        return work.input().size() == 1 && work.chain().nodes().stream().flatMap(n -> n.work().stream()).allMatch(w -> w.use().step().keepsTime());
    }

    /**
     * An ear on the sum of these.
     *
     * @param told of it
     */
    Ear ear(List<Work.Tap> input, Sound sum, Told told, Memory memory) {
        return input.size() == 1 && input.get(0).source() instanceof Work.Source.Edited e ? new Ear(sum, told, memory, new EditedCut(e))
                : new Ear(sum, told, memory);
    }

    /** What is edited, as it is heard in what it was put together from. */
    private final class EditedCut implements Ear.Cut {
        private final Work.Source.Edited of;

        EditedCut(Work.Source.Edited of) {
            this.of = of;
        }

        @Override
        public Marks speech() {
            return marks(of, false);
        }

        @Override
        public Stretches silenced() {
            return splice.apply(of).stitching().silence();
        }
    }

    private Marks heard(int take, boolean clicks) {
        SongRenderer.Take of = takes.get(take);
        if (of.told().marks().isPresent()) return of.told().marks().get();
        try (Shelf.Recollection before = remembered.apply(take)) {
            return heard(new Ear(of.sound(), of.told(), before.memory()), clicks);
        } catch (IOException e) {
            // It is heard again the next time.
            return heard(new Ear(of.sound(), of.told()), clicks);
        }
    }

    /**
     * An ear on a take as it lies by itself, which knows what was heard of that before. What it hears anew is not kept there: who keeps lets go of all that was
     * not asked for.
     */
    Ear ear(int take) {
        return new Ear(takes.get(take).sound(), takes.get(take).told(), remembered.apply(take).memory());
    }

    /** The notes that are heard in a take or a work, in the time of the song. */
    Notes notes(Work.Source of) {
        return new Ear(sound(of)).notes().moved(start(of));
    }

    private static Marks heard(Ear ear, boolean clicks) {
        return clicks ? ear.marks() : ear.speech();
    }

    /** What is told of a source, in the time of the song: of a sum nothing is. */
    Told told(Work.Source of) {
        if (of instanceof Work.Source.Take t) return takes.get(t.take()).told().moved(t.at());
        if (of instanceof Work.Source.Edited e) {
            Work.Piece first = e.pieces().get(0);
            return e.isMovedAlone() ? told(first.of()).moved(first.later()) : splice.apply(e).stitching().told();
        }
        if (!(of instanceof Work.Source.Made m)) return Told.nothing();
        Work work = plan.works().get(m.work());
        if (!isOfOne(work)) return Told.nothing();
        Told told = told(work.input().get(0).source()).transposed(s -> Transposition.cents(work.chain(), work.chain().nodes().size() - 1, s));
        return work.tidying().isPresent() ? tidied.told(work, told) : told;
    }
}
