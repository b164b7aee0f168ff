package linnet.tidy;

import java.util.Arrays;
import java.util.List;

/**
 * By how much each place of a phrase is moved: as little as will do. What is within the tolerance stays; what is farther off is brought
 * within, and keeps between all and half of the tolerance, the less the farther off it was, so that no two voices come together to the sample or all
 * at one distance. Between two places no more is gained or lost than the vowels there may give or take. The least sum of what is still off, squared,
 * and of changes is found by dynamic programming.
 */
final class Shifts {
    /** Seconds; price of a change of that many, where being off by 10 ms costs 1. */
    private static final double GRID = 0.001, OFF = 0.01, CHANGE = 0.005, MOVE = 0.001;

    private final double rate, tolerance;
    private final List<Match.Anchor> anchors;
    private final double[] free;
    private final int step;

    /**
     * @param tolerance samples
     * @param free samples by which what lies between a place and the next can be longer or shorter
     */
    Shifts(double rate, double tolerance, List<Match.Anchor> anchors, double[] free) {
        this.rate = rate;
        this.tolerance = tolerance;
        this.anchors = anchors;
        this.free = free;
        step = (int) Math.max(1, Math.round(GRID * rate));
    }

    /** What is left of being so many samples off. */
    static double rest(double off, double tolerance) {
        double size = Math.abs(off);
        return size <= tolerance ? size : tolerance * (0.5 + 0.5 * tolerance / size);
    }

    /**
     * Samples by which each place goes later.
     *
     * @param least of the first
     * @param most of the first
     * @param earliest least of the last
     * @param latest most of the last
     */
    long[] find(long least, long most, long earliest, long latest) {
        int n = anchors.size(), low = 0, high = 0;
        for (Match.Anchor a : anchors) {
            low = Math.min(low, (int) Math.floor(-a.late() / step) - 2);
            high = Math.max(high, (int) Math.ceil(-a.late() / step) + 2);
        }
        int states = high - low + 1;
        double[] cost = new double[states];
        int[][] from = new int[n][states];
        double change = CHANGE * step / (GRID * rate), move = MOVE * step / (GRID * rate);
        for (int k = 0; k < n; k++) {
            double[] next = new double[states];
            int reach = k == 0 ? 0 : (int) (free[k - 1] / step);
            for (int s = 0; s < states; s++) {
                double here = off(k, (long) (low + s) * step);
                if (k == 0) {
                    long shift = (long) (low + s) * step;
                    next[s] = shift < least || shift > most ? Double.POSITIVE_INFINITY : here + move * Math.abs(low + s);
                    continue;
                }
                double best = Double.POSITIVE_INFINITY;
                for (int o = Math.max(0, s - reach); o <= Math.min(states - 1, s + reach); o++) {
                    double c = cost[o] + change * Math.abs(s - o);
                    if (c < best || c == best && Math.abs(s - o) < Math.abs(s - from[k][s])) {
                        best = c;
                        from[k][s] = o;
                    }
                }
                next[s] = best + here;
            }
            cost = next;
        }
        int at = -1;
        for (int s = 0; s < states; s++) {
            long shift = (long) (low + s) * step;
            if (shift >= earliest && shift <= latest && cost[s] < Double.POSITIVE_INFINITY && (at < 0 || cost[s] < cost[at])) at = s;
        }
        long[] shift = new long[n];
        if (at < 0) {
            // The phrases around it leave it no place of its own.
            Arrays.fill(shift, Math.max(Math.max(least, earliest), Math.min(0, Math.min(most, latest))));
            return shift;
        }
        for (int k = n - 1; k >= 0; k--) {
            shift[k] = (long) (low + at) * step;
            at = from[k][at];
        }
        return shift;
    }

    private double off(int k, long shift) {
        Match.Anchor a = anchors.get(k);
        double off = Math.max(0, Math.abs(a.late() + shift) - rest(a.late(), tolerance)) / (OFF * rate);
        return a.weight() * off * off;
    }
}
