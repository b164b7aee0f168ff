package linnet.revision;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.song.Timeline;

/**
 * How loud each part, group, return and send of a song is, bar by bar: its own level and the moves over it. Compared so, a change is told
 * by what is heard, be it written as a level, in one move or in three.
 */
final class Levels {
    /** Less is rounding. */
    private static final double SAME_DB = 1e-6, SAME_BARS = 1e-6;

    /** Whose level: a strip's own, or that of a send of it. */
    private record Fader(String what, Song.Fading of) {
        String words() {
            return of instanceof Song.Fading.Send s ? what + " to " + s.to().text() : what;
        }

        boolean isMovedBy(Song.Move move) {
            return move.isOf(what, of);
        }
    }

    private record Stretch(double from, double to) {}

    private final Song song;
    private final Map<Fader, Double> base = new LinkedHashMap<>();

    Levels(Song song) {
        this.song = song;
        Stream.concat(song.parts().stream(), song.instrumental().stream()).forEach(p -> strip(p.name().text(), p.fader(), p.sends()));
        song.groups().forEach(g -> strip(g.name().text(), g.fader(), g.sends()));
        song.returns().forEach(r -> strip(r.name().text(), r.fader(), List.of()));
        // Of a level that is measured only the moves over it are known; what it is wished to be the text tells.
        measured(song).forEach(name -> base.keySet().stream().filter(f -> f.words().equals(name)).forEach(f -> base.put(f, 0.0)));
    }

    /** What has a level only once it is heard: the text tells it. */
    static Set<String> measured(Song song) {
        Set<String> names = new TreeSet<>();
        song.wishes().wet().forEach(w -> names.add(w.from().text() + " to " + w.to().text()));
        song.wishes().balance().forEach(b -> names.add(b.what().text()));
        return names;
    }

    private void strip(String name, Song.Fader fader, List<Song.Send> sends) {
        base.put(new Fader(name, new Song.Fading.Level()), fader.level());
        sends.forEach(s -> base.put(new Fader(name, new Song.Fading.Send(s.to())), s.level()));
    }

    /** Names of what the two can be compared in: there in both, and known in both, or measured in both with no move to a value. */
    Set<String> comparedWith(Levels before) {
        Set<String> names = new TreeSet<>(), now = measured(song), then = measured(before.song);
        for (Fader f : base.keySet()) {
            boolean measured = now.contains(f.words());
            if (before.base.containsKey(f) && measured == then.contains(f.words()) && !(measured && (goesToValue(f) || before.goesToValue(f)))) names.add(f.words());
        }
        return names;
    }

    private boolean goesToValue(Fader f) {
        return song.moves().stream().anyMatch(m -> m.to() && f.isMovedBy(m));
    }

    /** What is louder or less loud than it was; what differs alike in the same places is told at once. */
    List<Change> since(Levels before) {
        Map<Change, List<String>> alike = new LinkedHashMap<>();
        Set<String> compared = comparedWith(before);
        TreeSet<Double> corners = new TreeSet<>();
        corners(corners);
        before.corners(corners);
        for (Fader f : base.keySet()) {
            if (!compared.contains(f.words())) continue;
            // Stretches by how much they differ, in order of time; neighbours that differ alike are one.
            Map<Long, List<Stretch>> found = new LinkedHashMap<>();
            Double from = null;
            for (double to : corners) {
                if (from != null && to - from > SAME_BARS) add(found, Math.round((db(f, (from + to) / 2) - before.db(f, (from + to) / 2)) / SAME_DB), new Stretch(from, to));
                from = to;
            }
            boolean throughout = found.size() == 1;
            found.remove(0L);
            found.forEach((steps, where) -> alike.computeIfAbsent(new Change(throughout ? "" : String.join(", ", where.stream().map(this::words).toList()), "", Wording.level(steps * SAME_DB)), c -> new ArrayList<>()).add(f.words()));
        }
        return alike.entrySet().stream().map(e -> new Change(e.getKey().where(), Wording.list(e.getValue()), e.getKey().how())).toList();
    }

    private void add(Map<Long, List<Stretch>> found, long steps, Stretch next) {
        List<Stretch> list = found.computeIfAbsent(steps, s -> new ArrayList<>());
        Stretch last = list.isEmpty() ? null : list.get(list.size() - 1);
        boolean joins = last != null && Math.abs(last.to - next.from) < SAME_BARS;
        // A section keeps its name beside a neighbour that differs alike.
        if (joins && !(isSection(last) && startsSection(next))) list.set(list.size() - 1, new Stretch(last.from, next.to));
        else list.add(next);
    }

    private boolean startsSection(Stretch s) {
        return song.time().sections().stream().anyMatch(x -> x.from() == s.from);
    }

    private boolean isSection(Stretch s) {
        return song.time().sections().stream().anyMatch(x -> x.from() == s.from && x.to() == s.to);
    }

    private void corners(Set<Double> into) {
        Timeline time = song.time();
        for (Timeline.Section s : time.sections()) {
            into.add((double) s.from());
            into.add((double) s.to());
        }
        for (Song.Move m : song.moves()) {
            for (Song.Stretch r : m.where()) {
                into.add(bars(r.from()));
                into.add(bars(r.to()));
            }
        }
    }

    /** In dB, at a place counted in bars. */
    private double db(Fader f, double bars) {
        double db = base.get(f);
        for (Song.Move m : song.moves()) {
            if (!f.isMovedBy(m)) continue;
            for (Song.Stretch r : m.where()) if (bars(r.from()) <= bars && bars < bars(r.to())) db += m.by(base.get(f));
        }
        return db;
    }

    /** Bars before that time, with the part of the one that sounds, to which another tempo makes no difference. */
    private double bars(double seconds) {
        int bar = song.time().bar(seconds);
        double bars = bar + (song.time().beat(seconds) - 1) / song.time().metre(bar).beats();
        return Math.rint(bars / SAME_BARS) * SAME_BARS;
    }

    private String words(Stretch s) {
        return song.time().sections().stream().filter(x -> x.from() == s.from && x.to() == s.to).map(Timeline.Section::name).findFirst().orElseGet(() -> place(s.from) + " to " + place(s.to));
    }

    private String place(double bars) {
        int bar = (int) Math.floor(bars + SAME_BARS);
        double beat = 1 + (bars - bar) * song.time().metre(bar).beats();
        return "bar " + bar + (beat < 1.01 ? "" : " beat " + Unit.PLAIN.format(beat, 2));
    }
}
