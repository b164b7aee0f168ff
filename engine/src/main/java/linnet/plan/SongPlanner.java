package linnet.plan;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import linnet.chain.Chain;
import linnet.chain.Link;
import linnet.song.Place;
import linnet.song.Song;
import linnet.text.ProblemsException;

/** Turns a song into a plan: each part, group and return into a work, and each print into a sum of them. */
public final class SongPlanner {
    /** Print names for sums beside parts, groups and returns. */
    private static final String MIX = "mix", VOCALS = "vocals", INSTRUMENTAL = "instrumental";

    /** A work and what stands behind it on its way into a sum. */
    private record Strip(Work work, Song.Fader fader, List<Song.Send> sends) {}

    private final Song song;
    private final double rate;
    private final List<Integer> channelsOfTakes;
    private final List<Work> works = new ArrayList<>();
    private final Map<String, Strip> strips = new LinkedHashMap<>();

    private SongPlanner(Song song, double rate, List<Integer> channelsOfTakes) {
        this.song = song;
        this.rate = rate;
        this.channelsOfTakes = channelsOfTakes;
    }

    /** The takes that a plan of this song counts: those of its parts in their order, then the instrumental. */
    public static List<Song.Part> takes(Song song) {
        List<Song.Part> all = new ArrayList<>(song.parts());
        song.instrumental().ifPresent(all::add);
        return all;
    }

    /**
     * Plans a song.
     *
     * @param channelsOfTakes of each of {@link #takes}
     * @throws ProblemsException if one of its chains cannot be used at this rate
     */
    public static SongPlan plan(Song song, double rate, List<Integer> channelsOfTakes) throws ProblemsException {
        return new SongPlanner(song, rate, channelsOfTakes).plan();
    }

    private SongPlan plan() throws ProblemsException {
        Map<String, Song.Group> groupOf = new HashMap<>();
        for (Song.Group g : song.groups()) g.parts().forEach(p -> groupOf.put(p.text(), g));
        List<Song.Part> takes = takes(song);
        for (int t = 0; t < takes.size(); t++) part(takes.get(t), t, groupOf.get(takes.get(t).name().text()));
        for (Song.Group g : song.groups()) {
            List<Work.Tap> members = new ArrayList<>();
            for (var name : g.parts()) members.add(tap(strips.get(name.text())));
            work(g.name().text(), members, g.chain(), g.fader(), g.sends());
        }
        for (Song.Return r : song.returns()) {
            List<Work.Tap> fed = new ArrayList<>();
            for (Strip s : List.copyOf(strips.values())) s.sends.stream().filter(x -> x.to().text().equals(r.name().text())).forEach(x -> fed.add(tap(s, x)));
            work(r.name().text(), fed, r.chain(), r.fader(), List.of());
        }
        Set<String> grouped = groupOf.keySet();
        List<Work.Tap> all = new ArrayList<>(), voices = new ArrayList<>();
        for (Map.Entry<String, Strip> s : strips.entrySet()) {
            if (grouped.contains(s.getKey())) continue;
            all.add(tap(s.getValue()));
            if (!s.getKey().equals(INSTRUMENTAL)) voices.add(tap(s.getValue()));
        }
        Work mix = add(MIX, all, 2, song.mix());
        List<SongPlan.SongPrint> prints = new ArrayList<>();
        for (Song.Wanted w : song.prints()) {
            String name = w.name().text();
            List<Work.Tap> sum = name.equals(MIX) ? List.of(new Work.Tap(new Work.Source.Made(mix.id()), Work.Course.of(0), 0))
                    : name.equals(VOCALS) ? voices : List.of(tap(strips.get(name)));
            prints.add(new SongPlan.SongPrint(name, sum, 2));
        }
        long least = Math.round(song.time().sections().stream().mapToDouble(s -> song.time().start(s.to())).max().orElse(0) * rate);
        return new SongPlan(rate, least, works, prints);
    }

    private void part(Song.Part part, int take, Song.Group group) throws ProblemsException {
        Work.Source source = new Work.Source.Take(take, Math.round(part.at() * rate), part.flipped());
        List<Link> links = new ArrayList<>(part.chain().links());
        if (group != null) links.addAll(group.each().links());
        Chain chain = new Chain(part.chain().title(), part.chain().about(), part.chain().tempo(), links);
        Work work = add(part.name().text(), List.of(new Work.Tap(source, Work.Course.of(part.into()), 0)), channelsOfTakes.get(take), chain);
        strips.put(part.name().text(), new Strip(work, part.fader(), part.sends()));
    }

    /** A sum, mono where nothing in it is off the centre. */
    private void work(String name, List<Work.Tap> input, Chain chain, Song.Fader fader, List<Song.Send> sends) throws ProblemsException {
        boolean stereo = input.stream().anyMatch(t -> t.pan() != 0 || channels(t) == 2);
        strips.put(name, new Strip(add(name, input, stereo ? 2 : 1, chain), fader, sends));
    }

    private int channels(Work.Tap tap) {
        return works.get(((Work.Source.Made) tap.source()).work()).chain().output().channels();
    }

    private Work add(String name, List<Work.Tap> input, int channels, Chain chain) throws ProblemsException {
        Plan plan = Planner.plan(chain, rate, channels, OptionalDouble.of(song.time().bpm(0)));
        Work work = new Work(works.size(), name, input, channels, plan);
        works.add(work);
        return work;
    }

    /** At its own level and place. */
    private Work.Tap tap(Strip strip) {
        return new Work.Tap(new Work.Source.Made(strip.work.id()), course(strip.fader.level(), moves(strip.work.name(), null)), strip.fader.pan());
    }

    /** As much of it as is sent. */
    private Work.Tap tap(Strip strip, Song.Send send) {
        List<Song.Move> moves = moves(strip.work.name(), send.to().text());
        double db = send.level();
        if (!send.beforeLevel()) {
            moves.addAll(moves(strip.work.name(), null));
            db += strip.fader.level();
        }
        return new Work.Tap(new Work.Source.Made(strip.work.id()), course(db, moves), strip.fader.pan());
    }

    private List<Song.Move> moves(String what, String to) {
        List<Song.Move> found = new ArrayList<>();
        for (Song.Move m : song.moves()) {
            if (m.what().text().equals(what) && (to == null ? m.to() == null : m.to() != null && m.to().text().equals(to))) found.add(m);
        }
        return found;
    }

    /** The base with all moves added up: each comes in before its stretch begins, and has gone a ramp after it ends. */
    private Work.Course course(double db, List<Song.Move> moves) {
        if (moves.isEmpty()) return Work.Course.of(db);
        Set<Double> corners = new HashSet<>();
        for (Song.Move m : moves) {
            for (Place.Range r : m.where()) {
                corners.add(r.from() - m.ramp());
                corners.add(r.from());
                corners.add(r.to());
                corners.add(r.to() + m.ramp());
            }
        }
        Map<Long, Double> points = new TreeMap<>();
        for (double t : corners) {
            double sum = db;
            for (Song.Move m : moves) sum += share(m, t) * m.db();
            points.put(Math.round(t * rate), sum);
        }
        return new Work.Course(points.entrySet().stream().map(e -> new Work.Point(e.getKey(), e.getValue())).toList());
    }

    /** How much of a move is there at a second. */
    private static double share(Song.Move move, double t) {
        double most = 0;
        for (Place.Range r : move.where()) {
            double in = move.ramp() == 0 ? (t >= r.from() ? 1 : 0) : (t - (r.from() - move.ramp())) / move.ramp();
            double out = move.ramp() == 0 ? (t < r.to() ? 1 : 0) : (r.to() + move.ramp() - t) / move.ramp();
            most = Math.max(most, Math.max(0, Math.min(1, Math.min(in, out))));
        }
        return most;
    }
}
