package linnet.revision;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import linnet.song.Song;
import linnet.text.Listed;

/**
 * How loud each part, group, return and send of a song is, bar by bar: its own level and the moves over it. Compared so, a change is told
 * by what is heard, be it written as a level, in one move or in three.
 */
final class BarLevels {
    /** Less is rounding. */
    private static final double SAME_DB = 1e-6;

    /** Whose level: a strip's own, or that of a send of it. */
    private record Fader(String what, Song.Fading of) {
        String words() {
            return of instanceof Song.Fading.Send s ? what + " to " + s.to().text() : what;
        }

        boolean isMovedBy(Song.Move move) {
            return move.isOf(what, of);
        }
    }

    private final Song song;
    private final Bars bars;
    private final Map<Fader, Double> base = new LinkedHashMap<>();

    BarLevels(Song song) {
        this.song = song;
        bars = new Bars(song.time());
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
        base.put(new Fader(name, Song.Fading.Own.LEVEL), fader.level());
        sends.forEach(s -> base.put(new Fader(name, new Song.Fading.Send(s.to())), s.level()));
    }

    /** Names of what the two can be compared in: there in both, and known in both, or measured in both with no move to a value. */
    Set<String> comparedWith(BarLevels before) {
        Set<String> names = new TreeSet<>(), now = measured(song), then = measured(before.song);
        for (Fader f : base.keySet()) {
            boolean measured = now.contains(f.words());
            if (before.base.containsKey(f) && measured == then.contains(f.words()) && !(measured && (goesToValue(f) || before.goesToValue(f)))) {
                names.add(f.words());
            }
        }
        return names;
    }

    private boolean goesToValue(Fader f) {
        return song.moves().stream().anyMatch(m -> m.to() && f.isMovedBy(m));
    }

    /** What is louder or less loud than it was; what differs alike in the same places is told at once. */
    List<Change> since(BarLevels before) {
        Map<Change, List<String>> alike = new LinkedHashMap<>();
        Set<String> compared = comparedWith(before);
        TreeSet<Double> corners = new TreeSet<>();
        corners(corners);
        before.corners(corners);
        for (Fader f : base.keySet()) {
            if (!compared.contains(f.words())) continue;
            bars.where(corners, at -> Math.round((db(f, at) - before.db(f, at)) / SAME_DB)).forEach((steps, where) -> {
                if (steps != 0) alike.computeIfAbsent(new Change(where, "", Wording.level(steps * SAME_DB)), c -> new ArrayList<>()).add(f.words());
            });
        }
        Balanced balanced = new Balanced(before.song, song);
        List<Change> changes = new ArrayList<>();
        List<String> told = new ArrayList<>();
        alike.forEach((change, names) -> {
            boolean everywhere = change.where().isEmpty();
            if (everywhere) told.addAll(names);
            changes.add(new Change(change.where(), Listed.of(names),
                    change.how() + (everywhere ? balanced.along(names.stream().filter(n -> !measured(song).contains(n)).toList()) : "")));
        });
        changes.addAll(balanced.besides(told));
        return changes;
    }

    private void corners(Set<Double> into) {
        bars.corners(into);
        for (Song.Move m : song.moves()) for (Song.Stretch r : m.where()) bars.of(r.from(), r.to()).corners(into);
    }

    /** In dB, at a place counted in bars. */
    private double db(Fader f, double at) {
        double db = base.get(f);
        for (Song.Move m : song.moves()) {
            if (!f.isMovedBy(m)) continue;
            for (Song.Stretch r : m.where()) if (bars.of(r.from(), r.to()).holds(at)) db += m.by(base.get(f));
        }
        return db;
    }
}
