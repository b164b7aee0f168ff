package linnet.plan;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.Iterator;
import java.util.List;
import java.util.SortedMap;
import java.util.SortedSet;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.DoubleStream;
import java.util.stream.IntStream;
import linnet.dsp.GainCurve;
import linnet.song.Shift;

/** A level in dB over the seconds of a song: straight lines between points, held before the first and after the last. */
record Envelope(List<Point> points) {
    record Point(double seconds, double db) {}

    static Envelope steady(double db) {
        return new Envelope(List.of(new Point(0, db)));
    }

    /** Moves of one level. */
    static List<Envelope> moves(List<Shift> all) {
        return Shift.courses(all).stream().map(Envelope::of).toList();
    }

    static Envelope of(List<Shift.Corner> course) {
        return new Envelope(course.stream().filter(c -> Double.isFinite(c.seconds())).map(c -> new Point(c.seconds(), c.by())).toList());
    }

    /** Silence but for a stretch, with a fade in inside it, no longer than it is, and a fade out behind it. */
    static Envelope window(double from, double in, double to, double out) {
        List<Point> points = new ArrayList<>();
        fade(points, from, Math.min(in, to - from), true);
        fade(points, to, out, false);
        return new Envelope(points);
    }

    /** Silence from a second on, after a fade, until another; 0 dB elsewhere. */
    static Envelope gap(double from, double fade, double until) {
        List<Point> points = new ArrayList<>();
        fade(points, from, Math.min(fade, (until - from) / 2), false);
        if (until < Double.POSITIVE_INFINITY) fade(points, Math.max(until - 0.005, from + Math.min(fade, (until - from) / 2)), 0.005, true);
        return new Envelope(points);
    }

    /** Silence in some stretches in order of time, the fades inside them; 0 dB elsewhere. A stretch may have no beginning or no end. */
    static Envelope mutes(List<double[]> stretches) {
        List<Point> points = new ArrayList<>();
        for (double[] s : stretches) {
            double length = Math.min(s[2], (s[1] - s[0]) / 2);
            if (s[0] == Double.NEGATIVE_INFINITY) points.add(new Point(-1, GainCurve.SILENT));
            else fade(points, s[0], length, false);
            if (s[1] < Double.POSITIVE_INFINITY) fade(points, s[1] - length, length, true);
        }
        return points.isEmpty() ? steady(0) : new Envelope(points);
    }

    /** A fade over a stretch; at its other end the level is gone, or back, in a short one of so many seconds. At 0 it was never there, or stays away. */
    static Envelope fade(double from, double to, boolean in, double other) {
        List<Point> points = new ArrayList<>();
        if (in) {
            if (other > 0) fade(points, from, other, false);
            fade(points, from + other, to - from - other, true);
        } else {
            fade(points, from, to - from - other, false);
            if (other > 0) fade(points, to - other, other, true);
        }
        return new Envelope(points);
    }

    private static void fade(List<Point> points, double from, double length, boolean in) {
        GainCurve.fade(in, (share, db) -> points.add(new Point(from + length * share, db)));
    }

    double db(double seconds) {
        return new Walk(this).db(seconds);
    }

    /** Goes along a level in order of time, past each point once: where a voice makes room there are hundreds. */
    private static final class Walk {
        private final List<Point> points;
        /** The first point that lies ahead. */
        private int next;

        Walk(Envelope along) {
            points = along.points;
        }

        double db(double seconds) {
            while (next < points.size() && points.get(next).seconds <= seconds) next++;
            if (next == 0) return points.get(0).db;
            Point before = points.get(next - 1);
            if (next == points.size()) return before.db;
            Point p = points.get(next);
            return before.db + (p.db - before.db) * (seconds - before.seconds) / (p.seconds - before.seconds);
        }
    }

    /** Of many levels those that are not 0 dB, as time goes on: a song of thousands of sections has as many moves, each in its own alone. */
    private static final class Sweep {
        private final List<Envelope> all;
        /** Which of them begins next, by when it leaves 0 dB. */
        private final Iterator<Integer> begins;
        private int next = -1;
        /** Under way, in the order in which they are added up. */
        private final SortedMap<Integer, Walk> walks = new TreeMap<>();

        Sweep(List<Envelope> all) {
            this.all = all;
            begins = IntStream.range(0, all.size()).boxed().sorted(Comparator.comparingDouble(i -> all.get(i).begins())).iterator();
            advance();
        }

        private void advance() {
            next = begins.hasNext() ? begins.next() : -1;
        }

        double[] at(double seconds) {
            for (; next >= 0 && all.get(next).begins() <= seconds; advance()) walks.put(next, new Walk(all.get(next)));
            walks.keySet().removeIf(i -> all.get(i).ends() < seconds);
            double[] each = new double[walks.size()];
            int i = 0;
            for (Walk w : walks.values()) each[i++] = w.db(seconds);
            return each;
        }
    }

    /** Until when it is 0 dB. */
    private double begins() {
        return points.get(0).db == 0 ? points.get(0).seconds : Double.NEGATIVE_INFINITY;
    }

    /** From when on it is that again. */
    private double ends() {
        Point last = points.get(points.size() - 1);
        return last.db == 0 ? last.seconds : Double.POSITIVE_INFINITY;
    }

    /** A place and its moves, as a course at so many samples a second: no further than to the sides. */
    static Work.Course place(double base, List<Envelope> moves, double rate) {
        SortedSet<Double> corners = new TreeSet<>(List.of(0.0));
        for (Envelope e : moves) for (Point p : e.points) corners.add(p.seconds);
        List<Work.Point> points = new ArrayList<>();
        Sweep sweep = new Sweep(moves);
        for (double t : corners) points.add(new Work.Point(Math.round(t * rate), Math.max(-100, Math.min(100, base + DoubleStream.of(sweep.at(t)).sum()))));
        return new Work.Course(points);
    }

    /** Their sum, as a course at so many samples a second. */
    static Work.Course sum(List<Envelope> all, double rate) {
        SortedSet<Double> corners = new TreeSet<>();
        for (Envelope e : all) for (Point p : e.points) corners.add(p.seconds);
        List<Work.Point> points = new ArrayList<>();
        Sweep sweep = new Sweep(all);
        for (double t : corners) {
            // What is silent stays so, however much is added to its level.
            double[] each = sweep.at(t);
            boolean silent = false;
            for (double db : each) silent |= db <= GainCurve.SILENT;
            points.add(new Work.Point(Math.round(t * rate), silent ? GainCurve.SILENT : Math.max(GainCurve.SILENT, DoubleStream.of(each).sum())));
        }
        return new Work.Course(points);
    }
}
