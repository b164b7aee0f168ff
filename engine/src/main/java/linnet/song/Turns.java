package linnet.song;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import linnet.chain.Chain;
import linnet.chain.Reach;
import linnet.setting.Live;
import linnet.setting.Value;
import linnet.text.Problems;

/** All moves of settings of a song, and the chains in which they move: what each setting is at every corner of its way. */
final class Turns {
    static final String ONE_VALUE =
            "another move of this setting sounds at the same time, and one of them goes to a value; say both as differences, such as '+2 dB'";
    /** Corners nearer than this are one. */
    private static final double SAME_SECONDS = 1e-6;
    /** This near to the whole way it is there: a ramp takes 5 ms or more. */
    private static final double THERE = 1 - 1e-3;

    /** One stretch of a turn. */
    private record Leg(Turn turn, List<Shift.Corner> course) {}

    private final List<Turn> turns;
    private final Problems problems;

    Turns(List<Turn> turns, Problems problems) {
        this.turns = turns;
        this.problems = problems;
    }

    /** The chains with everything in them that moves. */
    Map<String, Chain> in(Map<String, Chain> chains) {
        Map<String, Chain> moved = new LinkedHashMap<>(chains);
        List<Turn> left = new ArrayList<>(turns);
        while (!left.isEmpty()) {
            Turn first = left.get(0);
            List<Turn> same = left.stream().filter(first::isOfSame).toList();
            left.removeIf(first::isOfSame);
            List<Leg> legs = legs(same);
            if (clear(legs)) {
                moved.compute(first.owner(), (name, chain) -> new Reach(chain, problems).with(first.what(), curve(first.what(), legs), first.said().at()));
            }
        }
        return moved;
    }

    private static List<Leg> legs(List<Turn> same) {
        List<Turn> of = new ArrayList<>();
        List<Shift> shifts = new ArrayList<>();
        for (Turn t : same) {
            for (Shift s : t.shifts()) {
                of.add(t);
                shifts.add(s);
            }
        }
        List<List<Shift.Corner>> courses = Shift.courses(shifts);
        List<Leg> legs = new ArrayList<>();
        for (int i = 0; i < courses.size(); i++) legs.add(new Leg(of.get(i), courses.get(i)));
        return legs;
    }

    /** Differences add up, but nothing can be at two values at once. */
    private boolean clear(List<Leg> legs) {
        boolean clear = true;
        for (int i = 0; i < legs.size(); i++) {
            for (int k = 0; k < i; k++) {
                Leg one = legs.get(k), other = legs.get(i);
                if (!(one.turn.to() || other.turn.to()) || !Shift.meet(one.course, other.course)) continue;
                problems.report(other.turn.said().at(), ONE_VALUE);
                clear = false;
            }
        }
        return clear;
    }

    private Value.Curve curve(Reach.Found what, List<Leg> legs) {
        List<Value.Point> points = new ArrayList<>();
        double last = Double.NEGATIVE_INFINITY;
        for (double t : legs.stream().flatMap(l -> l.course.stream()).mapToDouble(Shift.Corner::seconds).filter(Double::isFinite).sorted().toArray()) {
            if (t - last < SAME_SECONDS) continue;
            points.add(at(what, legs, t));
            last = t;
        }
        return new Value.Curve(points);
    }

    private Value.Point at(Reach.Found what, List<Leg> legs, double t) {
        double by = 0;
        Turn last = null;
        for (Leg l : legs) {
            double share = Shift.at(l.course, t);
            if (l.turn.to() && share > THERE) return new Value.Point(t, l.turn.value(), Optional.of(l.turn.said().at()));
            if (l.turn.to() || share == 0) continue;
            by += share;
            last = l.turn;
        }
        if (by == 0) return new Value.Point(t, what.base());
        if (!(what.base() instanceof Value.Amount base)) return new Value.Point(t, new Value.Shifted(what.base(), by));
        Live setting = what.setting();
        double value = base.value() + by;
        if (!setting.inRange(value)) {
            problems.report(last.said().at(), setting.name() + " would be " + setting.unit().format(value) + " there: outside " + setting.rangeText());
        }
        return new Value.Point(t, new Value.Amount(Math.max(setting.min(), Math.min(setting.max(), value))));
    }
}
