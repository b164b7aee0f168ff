package linnet.song;

import java.util.ArrayList;
import java.util.List;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.ToDoubleFunction;
import java.util.stream.Stream;

/**
 * A difference that holds in a stretch of a song.
 *
 * @param from second from which it holds in full
 * @param to second to which it does
 * @param in seconds it takes to come, before the stretch
 * @param out seconds it takes to go, after it; infinity where it stays
 * @param by how much, in the unit of what moves
 */
public record Shift(double from, double to, double in, double out, double by) {
    /** Less is rounding. */
    static final double SAME_SECONDS = 1e-6;

    /** At that second so much of it; straight lines between. */
    public record Corner(double seconds, double by) {}

    /**
     * What some shifts of one thing come to; their sum is what moves it. Each goes after it has ended, in the time of its own ramp; but where
     * another begins right there, it goes while that comes, so that between two alike nothing rises. Such a ramp is no longer than the shift
     * before it.
     *
     * @return four corners for each, the last at infinity where a shift stays
     */
    public static List<List<Corner>> courses(List<Shift> all) {
        List<List<Corner>> courses = new ArrayList<>();
        NavigableMap<Double, List<Shift>> begins = by(Shift::from, all), ends = by(Shift::to, all);
        for (Shift s : all) {
            double in = s.comes(ends), end = s.to, out = s.out;
            Optional<Shift> next = about(s.to, begins).filter(s::leadsTo).findFirst();
            if (next.isPresent()) {
                out = next.get().comes(ends);
                end -= out;
            }
            courses.add(List.of(new Corner(s.from - in, 0), new Corner(s.from, s.by), new Corner(end, s.by), new Corner(end + out, 0)));
        }
        return courses;
    }

    private boolean leadsTo(Shift next) {
        return Math.abs(next.from - to) < SAME_SECONDS;
    }

    /** Each by a second of its own, those of one in their order. */
    private static NavigableMap<Double, List<Shift>> by(ToDoubleFunction<Shift> second, List<Shift> all) {
        NavigableMap<Double, List<Shift>> by = new TreeMap<>();
        for (Shift s : all) by.computeIfAbsent(second.applyAsDouble(s), x -> new ArrayList<>()).add(s);
        return by;
    }

    /** Those near a second, and few others. */
    private static Stream<Shift> about(double seconds, NavigableMap<Double, List<Shift>> by) {
        return by.subMap(seconds - 2 * SAME_SECONDS, true, seconds + 2 * SAME_SECONDS, true).values().stream().flatMap(List::stream);
    }

    private double comes(NavigableMap<Double, List<Shift>> ends) {
        return about(from, ends).filter(before -> before.leadsTo(this)).mapToDouble(before -> before.to - before.from).reduce(in, Math::min);
    }

    /** Whether one is there while the other is, but for going while that comes. */
    static boolean meet(List<Corner> one, List<Corner> other) {
        double from = Math.max(one.get(0).seconds, other.get(0).seconds), to = Math.min(one.get(3).seconds, other.get(3).seconds);
        return to - from > SAME_SECONDS && !handsOver(one, other, from, to) && !handsOver(other, one, from, to);
    }

    private static boolean handsOver(List<Corner> before, List<Corner> next, double from, double to) {
        return Math.abs(before.get(2).seconds - from) < SAME_SECONDS && Math.abs(next.get(1).seconds - to) < SAME_SECONDS;
    }

    /** Where a course stands at a second. */
    static double at(List<Corner> course, double seconds) {
        Corner before = course.get(0);
        if (seconds <= before.seconds) return before.by;
        for (Corner c : course) {
            if (c.seconds > seconds) return before.by + (c.by - before.by) * (seconds - before.seconds) / (c.seconds - before.seconds);
            before = c;
        }
        return before.by;
    }
}
