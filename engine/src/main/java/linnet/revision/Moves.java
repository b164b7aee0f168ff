package linnet.revision;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import linnet.song.Place;
import linnet.song.Timeline;
import linnet.yaml.Tree;

/** Which settings and places move where, bar by bar. Compared so, a change is told by what is heard, be it written in one move or in three. */
final class Moves {
    static final String MOVES = "moves", RAMP = "ramp";

    /** One stretch of a move, with what the text says that is done there. */
    private record Leg(Bars.Stretch where, String by) {}

    private final Bars bars;
    /** By what moves, in one spelling. */
    private final Map<String, List<Leg>> legs = new LinkedHashMap<>();

    /** @param levels what is compared as levels */
    Moves(Tree song, Timeline time, Set<String> levels) {
        bars = new Bars(time);
        if (!(song instanceof Tree.Table top && top.entries().containsKey(MOVES) && top.entries().get(MOVES).value() instanceof Tree.Table moves)) return;
        for (Tree.Entry move : moves.entries().values()) {
            List<Bars.Stretch> where = Place.named(time, move.key().text()).stream().map(r -> bars.of(r.from(), r.to())).toList();
            // The text may be another by now than when it was read as a song.
            if (!(move.value() instanceof Tree.Table table)) continue;
            for (Tree.Entry e : table.entries().values()) {
                String what = words(e.key().text());
                if (what.equals(RAMP) || levels.contains(what) || !(e.value() instanceof Tree.Leaf leaf)) continue;
                String by = words(leaf.word().text());
                where.forEach(w -> legs.computeIfAbsent(what, k -> new ArrayList<>()).add(new Leg(w, by)));
            }
        }
    }

    private static String words(String text) {
        return text.strip().replaceAll("\\s+", " ");
    }

    /** What moves otherwise than it did. */
    List<Change> since(Moves before) {
        TreeSet<Double> corners = new TreeSet<>();
        corners(corners);
        before.corners(corners);
        Set<String> all = new LinkedHashSet<>(legs.keySet());
        all.addAll(before.legs.keySet());
        List<Change> changes = new ArrayList<>();
        for (String what : all) {
            Map<Optional<String>, String> found = bars.where(corners, at -> Wording.moved(what, before.at(what, at), at(what, at)));
            found.forEach((how, where) -> how.ifPresent(h -> changes.add(new Change(where, what, h))));
        }
        return changes;
    }

    private void corners(Set<Double> into) {
        bars.corners(into);
        legs.values().forEach(list -> list.forEach(l -> l.where.corners(into)));
    }

    /** What is done there. */
    private List<String> at(String what, double bars) {
        return legs.getOrDefault(what, List.of()).stream().filter(l -> l.where.holds(bars)).map(Leg::by).toList();
    }
}
