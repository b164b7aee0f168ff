package linnet.render;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Function;
import linnet.dsp.GainCurve;
import linnet.dsp.Sound;
import linnet.hear.Joint;
import linnet.hear.JointFinder;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Memory;
import linnet.plan.SongPlan;
import linnet.plan.Work;

/**
 * Puts together what a song has in pieces: hears the takes at their borders, and joins them where it is not heard. For several threads at
 * once.
 */
final class Splicer {
    /**
     * What was put together.
     *
     * @param joints by border, without those that only fade from or to silence where the text has them
     * @param muted how many marks were silenced, by what the text wants
     */
    record Spliced(Sound sound, Map<Work.Border, Joint> joints, Map<Work.Muted, Integer> muted, Stitching stitching) {}

    private static final String JOINTS = "joints";
    /** Seconds over which a piece comes out of silence where the text has it. */
    private static final double EDGE = 0.005;
    /** Seconds that must be left of what a join goes on with: its fade lies in them. */
    private static final double LEAST = 0.03;
    private static final Work.Piece SILENCE = new Work.Piece(Work.Source.Silence.SILENCE, 0);

    private final SongPlan plan;
    private final Function<Work.Source.Edited, Shelf.Recollection> joined;
    private final Sources sources;
    private final Map<Work.Source.Edited, Spliced> spliced = new ConcurrentHashMap<>();

    /**
     * @param joined what was heard before of a source that is put together
     * @param sources what the pieces are of
     */
    Splicer(SongPlan plan, Function<Work.Source.Edited, Shelf.Recollection> joined, Sources sources) {
        this.plan = plan;
        this.joined = joined;
        this.sources = sources;
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
            if (Stitching.isSilent(before) && Stitching.isSilent(after) || (Stitching.isSilent(before) || Stitching.isSilent(after)) && reach == 0) {
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
        Stitching stitching = new Stitching(sources, of, pieces, joints);
        List<GainCurve> levels = new ArrayList<>(List.of(curve(edited.level())));
        List<Stitching.Silenced> silenced = silenced(edited.level());
        Map<Work.Muted, Integer> muted = new LinkedHashMap<>();
        if (!edited.muted().isEmpty()) {
            List<Stitching.Silenced> spans = muted(edited.muted(), stitching.whole(false), muted);
            levels.add(mute(spans));
            silenced.addAll(spans);
        }
        return new Spliced(new Joined(plan.rate(), channels, pieces, joints, levels), heard, muted, stitching.without(silenced));
    }

    /** From and to which sample a level is silence. */
    private static List<Stitching.Silenced> silenced(Work.Course level) {
        List<Stitching.Silenced> spans = new ArrayList<>();
        long from = Long.MIN_VALUE;
        boolean silent = level.points().get(0).value() <= GainCurve.SILENT;
        for (Work.Point p : level.points()) {
            boolean next = p.value() <= GainCurve.SILENT;
            if (silent && !next) spans.add(new Stitching.Silenced(from, p.at(), 0));
            if (!silent && next) from = p.at();
            silent = next;
        }
        if (silent) spans.add(new Stitching.Silenced(from, Long.MAX_VALUE, 0));
        return spans;
    }

    /** Marks that are wanted silent, in order, none beginning before the last has ended, each with its fade; what is kept is left. */
    private static List<Stitching.Silenced> muted(List<Work.Muted> wanted, Marks marks, Map<Work.Muted, Integer> counts) {
        NavigableMap<Long, Stitching.Silenced> found = new TreeMap<>();
        for (Work.Muted w : wanted) {
            List<Mark> meant = Arrays.stream(Mark.Kind.values()).filter(k -> k.word().equals(w.kind())).flatMap(k -> marks.free(k).stream())
                    .filter(m -> m.meets(w.from(), w.to())).toList();
            counts.put(w, meant.size());
            for (Mark m : meant) {
                long from = Math.max(m.from(), w.from());
                found.merge(from, new Stitching.Silenced(from, Math.min(m.to(), w.to()), w.fade()), (a, b) -> a.to() > b.to() ? a : b);
            }
        }
        List<Stitching.Silenced> spans = new ArrayList<>();
        long last = Long.MIN_VALUE;
        for (Stitching.Silenced f : found.values()) {
            long from = Math.max(last, f.from()), to = f.to();
            if (from >= to) continue;
            spans.add(new Stitching.Silenced(from, to, Math.min(f.fade(), (to - from) / 2)));
            last = to;
        }
        return spans;
    }

    /** Silence in these spans, the fades inside them. */
    private static GainCurve mute(List<Stitching.Silenced> spans) {
        GainCurve.Builder level = new GainCurve.Builder();
        for (Stitching.Silenced s : spans) {
            fade(level, s.from(), s.fade(), false);
            fade(level, s.to() - s.fade(), s.fade(), true);
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

    private int channels(Work.Source of) {
        if (of instanceof Work.Source.Silence) return 1;
        return sources.sound(of).channels();
    }

    private Joined.Piece placed(Work.Piece piece, long shift) {
        Sound sound = sources.sound(piece.of());
        long at = Sources.start(piece.of()) + piece.later() + shift;
        return new Joined.Piece(piece.into() == 0 || sound == null ? sound : new Louder(sound, piece.into()), at);
    }

    private JointFinder.Side side(Work.Piece piece, Joined.Piece placed) {
        if (placed.sound() == null) return JointFinder.Side.SILENT;
        return new JointFinder.Side(placed.sound(), placed.at(), sources.marks(piece.of(), false).moved(placed.at() - Sources.start(piece.of())));
    }
}
