package linnet.revision;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Function;
import linnet.song.Place;
import linnet.song.Timeline;
import linnet.text.Listed;
import linnet.yaml.Tree;

/**
 * Which settings and places move where, bar by bar, and over which ramps. Compared so, a change is told by what is heard, be it written in one move or in
 * three.
 */
final class Moves {
    static final String MOVES = "moves";
    private static final String RAMP = "ramp", USUAL_RAMP = "60 ms";

    /** One stretch of a move, with what the text says that is done there, and how long it takes to come and go. */
    private record Leg(Bars.Stretch where, String by, String ramp) {}

    private final Bars bars;
    private final Set<String> levels;
    /** By what moves, in one spelling. */
    private final Map<String, List<Leg>> legs = new LinkedHashMap<>();

    /** @param levels what is compared as levels: only its ramps are compared here */
    Moves(Tree song, Timeline time, Set<String> levels) {
        this.levels = levels;
        bars = new Bars(time);
        if (!(song instanceof Tree.Table top && top.entries().containsKey(MOVES) && top.entries().get(MOVES).value() instanceof Tree.Table moves)) return;
        for (Tree.Entry move : moves.entries().values()) {
            List<Bars.Stretch> where = Place.named(time, move.key().text()).stream().map(r -> bars.of(r.from(), r.to())).toList();
            if (!(move.value() instanceof Tree.Table table)) continue;
            String ramp = table.entries().containsKey(RAMP) && table.entries().get(RAMP).value() instanceof Tree.Leaf leaf ? words(leaf.word().text())
                    : USUAL_RAMP;
            for (Tree.Entry e : table.entries().values()) {
                String what = words(e.key().text());
                if (what.equals(RAMP) || !(e.value() instanceof Tree.Leaf leaf)) continue;
                String by = words(leaf.word().text());
                where.forEach(w -> legs.computeIfAbsent(what, k -> new ArrayList<>()).add(new Leg(w, by, ramp)));
            }
        }
    }

    private static String words(String text) {
        return text.strip().replaceAll("\\s+", " ");
    }

    /** What moves otherwise than it did; then what moves over another ramp, and what does so alike in one. */
    List<Change> since(Moves before) {
        TreeSet<Double> corners = new TreeSet<>();
        corners(corners);
        before.corners(corners);
        Set<String> all = new LinkedHashSet<>(legs.keySet());
        all.addAll(before.legs.keySet());
        List<Change> changes = new ArrayList<>();
        Map<Change, List<String>> ramps = new LinkedHashMap<>();
        for (String what : all) {
            if (!levels.contains(what)) {
                bars.where(corners, at -> Wording.moved(what, before.at(what, at, Leg::by), at(what, at, Leg::by)))
                        .forEach((how, where) -> how.ifPresent(h -> changes.add(new Change(where, what, h))));
            }
            bars.where(corners, at -> ramp(before.at(what, at, Leg::ramp), at(what, at, Leg::ramp)))
                    .forEach((how, where) -> how.ifPresent(h -> ramps.computeIfAbsent(new Change(where, "", h), c -> new ArrayList<>()).add(what)));
        }
        ramps.forEach((change, what) -> changes.add(new Change(change.where(), RAMP + " of " + Listed.of(what), change.how())));
        return changes;
    }

    /** A move that comes or goes has its ramp with it: that is no other. */
    private static Optional<String> ramp(List<String> was, List<String> now) {
        List<String> gone = without(was, now), come = without(now, was);
        return gone.isEmpty() || come.isEmpty() ? Optional.empty() : Optional.of(Wording.of(RAMP, String.join(", ", gone), String.join(", ", come)));
    }

    private static List<String> without(List<String> ramps, List<String> others) {
        return ramps.stream().distinct().filter(r -> others.stream().noneMatch(o -> Wording.isSame(o, r))).toList();
    }

    private void corners(Set<Double> into) {
        bars.corners(into);
        legs.values().forEach(list -> list.forEach(l -> l.where.corners(into)));
    }

    /** What the text says of it there. */
    private List<String> at(String what, double bars, Function<Leg, String> says) {
        return legs.getOrDefault(what, List.of()).stream().filter(l -> l.where.holds(bars)).map(says).toList();
    }
}
