package linnet.revision;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.NavigableSet;
import java.util.Set;
import java.util.function.DoubleFunction;
import linnet.setting.Unit;
import linnet.song.Timeline;

/** Stretches of a song counted in bars, with the part of the one that sounds, to which another tempo makes no difference. */
record Bars(Timeline time) {
    /** Less is rounding. */
    private static final double SAME = 1e-6;

    record Stretch(double from, double to) {
        boolean holds(double bars) {
            return from <= bars && bars < to;
        }

        /** Where it is open it has none. */
        void corners(Set<Double> into) {
            into.add(from);
            if (to < Double.POSITIVE_INFINITY) into.add(to);
        }
    }

    /** Between two seconds. */
    Stretch of(double from, double to) {
        return new Stretch(bars(from), bars(to));
    }

    private double bars(double seconds) {
        if (seconds == Double.POSITIVE_INFINITY) return seconds;
        int bar = time.bar(seconds);
        double bars = bar + (time.beat(seconds) - 1) / time.metre(bar).beats();
        return Math.rint(bars / SAME) * SAME;
    }

    /** Where the song, with its pick-up, and sections begin and end. */
    void corners(Set<Double> into) {
        into.add(bars(0));
        time.sections().forEach(s -> new Stretch(s.from(), s.to()).corners(into));
    }

    /**
     * Where something is what, in order of time; the place is empty where it is the same in all of the song.
     *
     * @param corners between two of them it stays what it is
     */
    <T> Map<T, String> where(NavigableSet<Double> corners, DoubleFunction<T> at) {
        Map<T, List<Stretch>> found = new LinkedHashMap<>();
        Double from = null;
        for (double to : corners) {
            if (from != null && to - from > SAME) add(found.computeIfAbsent(at.apply((from + to) / 2), t -> new ArrayList<>()), new Stretch(from, to));
            from = to;
        }
        Map<T, String> words = new LinkedHashMap<>();
        found.forEach((what, stretches) -> words.put(what, found.size() == 1 ? "" : isAllBut(stretches, corners) ? "all but the pick-up"
                : String.join(", ", stretches.stream().map(this::words).toList())));
        return words;
    }

    /** Whether only the pick-up is left out. */
    private static boolean isAllBut(List<Stretch> stretches, NavigableSet<Double> corners) {
        double at = 1;
        for (Stretch s : stretches) {
            if (Math.abs(s.from - at) > SAME) return false;
            at = s.to;
        }
        return corners.first() < 1 - SAME && Math.abs(at - corners.last()) < SAME;
    }

    /** Neighbours are one, but a section keeps its name beside another. */
    private void add(List<Stretch> list, Stretch next) {
        Stretch last = list.isEmpty() ? null : list.get(list.size() - 1);
        boolean joins = last != null && Math.abs(last.to - next.from) < SAME;
        if (joins && !(isSection(last) && startsSection(next))) list.set(list.size() - 1, new Stretch(last.from, next.to));
        else list.add(next);
    }

    private boolean startsSection(Stretch s) {
        return time.sections().stream().anyMatch(x -> x.from() == s.from);
    }

    private boolean isSection(Stretch s) {
        return time.sections().stream().anyMatch(x -> x.from() == s.from && x.to() == s.to);
    }

    private String words(Stretch s) {
        if (s.to == 1) return "pick-up";
        return time.sections().stream().filter(x -> x.from() == s.from && x.to() == s.to).map(Timeline.Section::name).findFirst()
                .orElseGet(() -> words(s.from) + " to " + words(s.to));
    }

    /** Where a second lies, as a place of the song. */
    String place(double seconds) {
        return words(bars(seconds));
    }

    /** A place counted in bars. */
    String words(double bars) {
        int bar = (int) Math.floor(bars + SAME);
        double beat = 1 + (bars - bar) * time.metre(bar).beats();
        return "bar " + bar + (beat < 1.01 ? "" : " beat " + Unit.PLAIN.format(beat, 2));
    }
}
