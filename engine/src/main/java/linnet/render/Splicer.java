package linnet.render;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Function;
import java.util.function.IntFunction;
import linnet.dsp.GainCurve;
import linnet.dsp.Sound;
import linnet.dsp.Stretches;
import linnet.hear.Ear;
import linnet.hear.Joint;
import linnet.hear.JointFinder;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Memory;
import linnet.hear.Notes;
import linnet.hear.Stitched;
import linnet.hear.Told;
import linnet.plan.SongPlan;
import linnet.plan.Work;

/**
 * Puts together what a song has in pieces: hears the takes at their borders, and joins them where it is not heard. What was heard of a take
 * once is kept for all that is made of it. For several threads at once.
 */
final class Splicer {
    /**
     * What was put together.
     *
     * @param joints by border, without those that only fade from or to silence where the text has them
     * @param muted how many marks were silenced, by what the text wants
     */
    record Spliced(Sound sound, Map<Work.Border, Joint> joints, Map<Work.Muted, Integer> muted, Stitching stitching) {}

    /** What becomes of what is known of a part when it is tidied. */
    interface Tidying {
        Told told(Work work, Told before);
    }

    private static final String JOINTS = "joints";
    /** Seconds over which a piece comes out of silence where the text has it. */
    private static final double EDGE = 0.005;
    /** Seconds that must be left of what a join goes on with: its fade lies in them. */
    private static final double LEAST = 0.03;
    private static final Work.Piece SILENCE = new Work.Piece(Work.Source.Silence.SILENCE, 0);

    private final SongPlan plan;
    private final List<SongRenderer.Take> takes;
    private final IntFunction<Shelf.Recollection> remembered;
    private final Function<Work.Source.Edited, Shelf.Recollection> joined;
    private final Function<Work.Source.Made, Sound> made;
    private final Tidying tidied;
    private final Map<Work.Source.Edited, Spliced> spliced = new ConcurrentHashMap<>();
    /** Of sources as they lie by themselves: with their clicks, and without. */
    private final Map<Work.Source, Marks> clicked = new ConcurrentHashMap<>(), spoken = new ConcurrentHashMap<>();

    /**
     * @param remembered what was heard of each take before
     * @param joined what was heard before of a source that is put together
     * @param made the sound of a work that is done
     * @param tidied where what was told of a part lies once it is tidied
     */
    Splicer(SongPlan plan, List<SongRenderer.Take> takes, IntFunction<Shelf.Recollection> remembered, Function<Work.Source.Edited, Shelf.Recollection> joined,
            Function<Work.Source.Made, Sound> made, Tidying tidied) {
        this.plan = plan;
        this.takes = takes;
        this.remembered = remembered;
        this.joined = joined;
        this.made = made;
        this.tidied = tidied;
    }

    static GainCurve curve(Work.Course course) {
        GainCurve.Builder level = new GainCurve.Builder();
        course.points().forEach(p -> level.point(p.at(), p.value()));
        return level.build();
    }

    Spliced splice(Work.Source.Edited edited) {
        // Made outside the map, as the pieces of one can be the print of another.
        return spliced.containsKey(edited) ? spliced.get(edited) : kept(edited, make(edited));
    }

    private Spliced kept(Work.Source.Edited edited, Spliced now) {
        Spliced first = spliced.putIfAbsent(edited, now);
        return first == null ? now : first;
    }

    private Spliced make(Work.Source.Edited edited) {
        try (Shelf.Recollection before = joined.apply(edited)) {
            return make(edited, before.memory());
        } catch (IOException e) {
            // It is heard again the next time.
            return make(edited, Memory.NONE);
        }
    }

    private Spliced make(Work.Source.Edited edited, Memory memory) {
        List<Work.Piece> of = new ArrayList<>(edited.pieces());
        int channels = of.stream().mapToInt(p -> channels(p.of())).max().orElse(1);
        JointFinder finder = new JointFinder(plan.rate(), channels);
        List<Joined.Piece> pieces = new ArrayList<>();
        List<Joint> joints = new ArrayList<>();
        Map<Work.Border, Joint> heard = new LinkedHashMap<>();
        pieces.add(placed(of.get(0), 0));
        List<Work.Border> borders = edited.borders();
        List<Joint> known = memory.recall(JOINTS).flatMap(Joint.FORM::read).filter(all -> all.size() == borders.size()).orElse(List.of());
        for (int i = 0; i < borders.size(); i++) {
            Work.Border border = borders.get(i);
            long left = behind(of.get(i + 1), border.at());
            // What has come to its end by then, as a take has that is cut to its end, is silence.
            if (left < LEAST * plan.rate()) of.set(i + 1, SILENCE);
            long reach = Math.min(border.reach(), (long) Math.max(0, left - LEAST * plan.rate()));
            Joint joint;
            Work.Piece before = of.get(i), after = of.get(i + 1);
            if (isSilent(before) && isSilent(after) || (isSilent(before) || isSilent(after)) && reach == 0) {
                joint = Joint.inSilence(border.at(), border.fade() > 0 ? border.fade() : (int) Math.round(EDGE * plan.rate()));
            } else {
                long earliest = i == 0 ? 0 : joints.get(i - 1).at() + joints.get(i - 1).fade() + (long) Math.ceil(LEAST * plan.rate());
                joint = known.isEmpty() ? finder.find(side(before, pieces.get(i)), side(after, placed(after, 0)), border.at(), earliest, reach, border.fade())
                        : known.get(i);
                heard.put(border, joint);
            }
            joints.add(joint);
            pieces.add(placed(after, joint.shift()));
        }
        if (known.isEmpty() && !heard.isEmpty()) memory.keep(JOINTS, Joint.FORM.write(joints));
        Stitching stitching = new Stitching(of, pieces, joints, List.of());
        List<GainCurve> levels = new ArrayList<>(List.of(curve(edited.level())));
        List<long[]> silenced = silenced(edited.level());
        Map<Work.Muted, Integer> muted = new LinkedHashMap<>();
        if (!edited.muted().isEmpty()) {
            List<long[]> spans = muted(edited.muted(), stitching.whole(false), muted);
            levels.add(mute(spans));
            silenced.addAll(spans);
        }
        return new Spliced(new Joined(plan.rate(), channels, pieces, joints, levels), heard, muted, stitching.without(silenced));
    }

    /** From and to which sample a level is silence. */
    private static List<long[]> silenced(Work.Course level) {
        List<long[]> spans = new ArrayList<>();
        long from = Long.MIN_VALUE;
        boolean silent = level.points().get(0).value() <= GainCurve.SILENT;
        for (Work.Point p : level.points()) {
            boolean next = p.value() <= GainCurve.SILENT;
            if (silent && !next) spans.add(new long[] {from, p.at()});
            if (!silent && next) from = p.at();
            silent = next;
        }
        if (silent) spans.add(new long[] {from, Long.MAX_VALUE});
        return spans;
    }

    /** Marks that are wanted silent, in order, none beginning before the last has ended, each with its fade; what is kept is left. */
    private static List<long[]> muted(List<Work.Muted> wanted, Marks marks, Map<Work.Muted, Integer> counts) {
        NavigableMap<Long, long[]> found = new TreeMap<>();
        for (Work.Muted w : wanted) {
            List<Mark> meant = Arrays.stream(Mark.Kind.values()).filter(k -> k.word().equals(w.kind())).flatMap(k -> marks.free(k).stream())
                    .filter(m -> m.meets(w.from(), w.to())).toList();
            counts.put(w, meant.size());
            for (Mark m : meant) found.merge(Math.max(m.from(), w.from()), new long[] {Math.min(m.to(), w.to()), w.fade()}, (a, b) -> a[0] > b[0] ? a : b);
        }
        List<long[]> spans = new ArrayList<>();
        long last = Long.MIN_VALUE;
        for (Map.Entry<Long, long[]> f : found.entrySet()) {
            long from = Math.max(last, f.getKey()), to = f.getValue()[0];
            if (from >= to) continue;
            spans.add(new long[] {from, to, Math.min(f.getValue()[1], (to - from) / 2)});
            last = to;
        }
        return spans;
    }

    /** Silence in these spans, the fades inside them. */
    private static GainCurve mute(List<long[]> spans) {
        GainCurve.Builder level = new GainCurve.Builder();
        for (long[] s : spans) {
            fade(level, s[0], s[2], false);
            fade(level, s[1] - s[2], s[2], true);
        }
        return level.build();
    }

    private static void fade(GainCurve.Builder level, long from, long length, boolean in) {
        GainCurve.fade(in, (share, db) -> level.point(from + Math.round(length * share), db));
    }

    /** Samples that a piece has behind one of the song; without end where it is silence, which has none. */
    private long behind(Work.Piece piece, long at) {
        Joined.Piece placed = placed(piece, 0);
        return placed.sound() == null ? Long.MAX_VALUE : placed.at() + placed.sound().frames() - at;
    }

    private static boolean isSilent(Work.Piece piece) {
        return piece.of() instanceof Work.Source.Silence;
    }

    private int channels(Work.Source of) {
        if (of instanceof Work.Source.Silence) return 1;
        return sound(of).channels();
    }

    private Sound sound(Work.Source of) {
        if (of instanceof Work.Source.Take t) return takes.get(t.take()).sound();
        if (of instanceof Work.Source.Made m) return made.apply(m);
        return null;
    }

    private Joined.Piece placed(Work.Piece piece, long shift) {
        Sound sound = sound(piece.of());
        return new Joined.Piece(piece.into() == 0 || sound == null ? sound : new Louder(sound, piece.into()), start(piece.of()) + piece.later() + shift);
    }

    private static long start(Work.Source of) {
        return of instanceof Work.Source.Take t ? t.at() : 0;
    }

    private JointFinder.Side side(Work.Piece piece, Joined.Piece placed) {
        if (placed.sound() == null) return JointFinder.Side.SILENT;
        return new JointFinder.Side(placed.sound(), placed.at(), marks(piece.of(), false).moved(placed.at() - start(piece.of())));
    }

    /** In the time of the song, as it lies there by itself. */
    private Marks marks(Work.Source of, boolean clicks) {
        Map<Work.Source, Marks> known = clicks ? clicked : spoken;
        if (of instanceof Work.Source.Take t) {
            return known.computeIfAbsent(new Work.Source.Take(t.take(), 0, false), w -> heard(t.take(), clicks)).moved(t.at());
        }
        if (of instanceof Work.Source.Edited e) return splice(e).stitching.marks(clicks);
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
            return splice(of).stitching.silence();
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

    private static Marks heard(Ear ear, boolean clicks) {
        return clicks ? ear.marks() : ear.speech();
    }

    /** What is told of a source, in the time of the song: of a sum nothing is. */
    Told told(Work.Source of) {
        if (of instanceof Work.Source.Take t) return takes.get(t.take()).told().moved(t.at());
        if (of instanceof Work.Source.Edited e) {
            Work.Piece first = e.pieces().get(0);
            return e.isMovedAlone() ? told(first.of()).moved(first.later()) : splice(e).stitching.told();
        }
        if (!(of instanceof Work.Source.Made m)) return Told.nothing();
        Work work = plan.works().get(m.work());
        if (!isOfOne(work)) return Told.nothing();
        Told told = told(work.input().get(0).source()).transposed(s -> Transposition.cents(work.chain(), work.chain().nodes().size() - 1, s));
        return work.tidying().isPresent() ? tidied.told(work, told) : told;
    }

    /** What is known of the pieces, as they were put together. */
    private final class Stitching {
        private final List<Work.Piece> of;
        private final List<Joined.Piece> placed;
        private final List<Joint> joints;
        private final List<long[]> silenced;

        Stitching(List<Work.Piece> of, List<Joined.Piece> placed, List<Joint> joints, List<long[]> silenced) {
            this.of = of;
            this.placed = placed;
            this.joints = joints;
            this.silenced = silenced;
        }

        private long by(int piece) {
            return placed.get(piece).at() - start(of.get(piece).of());
        }

        private <T> Stitched.Stretch<T> stretch(int piece, T known) {
            long from = piece == 0 ? Long.MIN_VALUE : joints.get(piece - 1).at(), to = piece == joints.size() ? Long.MAX_VALUE : joints.get(piece).at();
            return new Stitched.Stretch<>(known, from, to);
        }

        /** The same with nothing left in these spans. */
        Stitching without(List<long[]> spans) {
            return new Stitching(of, placed, joints, spans.stream().sorted(Comparator.comparingLong(s -> s[0])).toList());
        }

        /** Where nothing was put, and what was taken away. */
        Stretches silence() {
            List<long[]> all = new ArrayList<>(silenced);
            for (int i = 0; i < of.size(); i++) {
                if (!isSilent(of.get(i))) continue;
                Stitched.Stretch<Work.Piece> nothing = stretch(i, of.get(i));
                all.add(new long[] {nothing.from(), nothing.to()});
            }
            return Stretches.of(all, s -> s[0], s -> s[1]);
        }

        /** Of all that is put together, before anything in it is silenced. */
        Marks whole(boolean clicks) {
            List<Stitched.Stretch<Marks>> all = new ArrayList<>();
            for (int i = 0; i < of.size(); i++) all.add(stretch(i, Splicer.this.marks(of.get(i).of(), clicks).moved(by(i))));
            return Stitched.marks(all);
        }

        /** What is marked in what is left: heard where it was cut from, as nothing that was taken away elsewhere changes it. */
        Marks marks(boolean clicks) {
            Marks whole = whole(clicks);
            List<Stitched.Stretch<Marks>> left = new ArrayList<>();
            long from = Long.MIN_VALUE;
            for (long[] s : silenced) {
                if (s[0] > from) left.add(new Stitched.Stretch<>(whole, from, s[0]));
                from = Math.max(from, s[1]);
            }
            left.add(new Stitched.Stretch<>(whole, from, Long.MAX_VALUE));
            return Stitched.marks(left);
        }

        /** Something was told of one of them: then the others are heard, so that the list is whole. */
        Told told() {
            List<Told> told = of.stream().map(p -> Splicer.this.told(p.of())).toList();
            Optional<Marks> marks = told.stream().anyMatch(t -> t.marks().isPresent()) ? Optional.of(marks(true)) : Optional.empty();
            if (told.stream().noneMatch(t -> t.notes().isPresent())) return new Told(marks, true, false, Optional.empty());
            List<Stitched.Stretch<Notes>> notes = new ArrayList<>();
            for (int i = 0; i < of.size(); i++) {
                int piece = i;
                Notes own = isSilent(of.get(i)) ? new Notes(List.of())
                        : told.get(i).notes().orElseGet(() -> new Ear(sound(of.get(piece).of())).notes().moved(start(of.get(piece).of())));
                notes.add(stretch(i, own.moved(by(i))));
            }
            return new Told(marks, true, false, Optional.of(Stitched.notes(notes)));
        }
    }
}
