package linnet.dsp.align;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;

/**
 * Which place of one sound is which of another: dynamic time warping (H. Sakoe, S. Chiba, IEEE TASSP 26(1), 1978) of their {@link
 * Cepstra}, in the asymmetric form with slopes from 1/2 to 2 (their P = 1). Where it begins and ends in the other sound is open. It is
 * found on a coarse grid first and then near that way on the fine one (S. Salvador, P. Chan, Intelligent Data Analysis 11(5), 2007), so
 * memory grows with the length of the sound and not with its square. What the other sound has several times may be found at each of them.
 */
public final class TimeWarp {
    private static final int COARSE = 4, NEAR = 10;
    /** Price of a step off the diagonal, as a share of what strangers differ by: a voice that is held says nothing of when. */
    private static final double BENT = 0.05;
    private static final double NEVER = 1e30;

    private final Cepstra own, other;
    private final int first;
    /** The frame of the other sound for each own. */
    private final int[] way;
    private final double cost, strangers;

    /**
     * Finds the frames {@code from … to} of a sound in another: the cheapest way, and each other that is cheaper than all that end near it.
     *
     * @param later frames by which this sound is taken to lie later than the other as a whole
     * @param reach frames by which they may lie earlier or later beside that
     * @param apart frames by which the ends of two ways lie apart at least
     * @return in order of their cost on the coarse grid; there is always one
     */
    public static List<TimeWarp> all(Cepstra own, int from, int to, int later, Cepstra other, int reach, int apart) {
        Search search = new Search(own, from, to, later, other, reach);
        double[] cost = search.rough.cost;
        List<Integer> ends = new ArrayList<>();
        for (int w = 0, near = Math.max(1, apart / COARSE); w < cost.length; w++) {
            boolean least = true;
            for (int v = Math.max(0, w - near); v <= Math.min(cost.length - 1, w + near); v++) least &= v < w ? cost[w] < cost[v] : cost[w] <= cost[v];
            if (least) ends.add(w);
        }
        ends.sort(Comparator.comparingDouble(w -> cost[w]));
        return ends.stream().map(w -> new TimeWarp(search, search.rough.from(w))).toList();
    }

    private TimeWarp(Search search, int[] rough) {
        own = search.own;
        other = search.other;
        first = search.from;
        strangers = search.strangers;
        int n = search.to - first + 1;
        int[] near = new int[n];
        for (int i = 0; i < n; i++) {
            int k = Math.min(rough.length - 1, i / COARSE), next = Math.min(rough.length - 1, k + 1);
            near[i] = COARSE * rough[k] + (rough[next] - rough[k]) * (i - k * COARSE) - NEAR;
        }
        Walk fine = search.walk(n, 1, near, 2 * NEAR + 1);
        way = fine.from(fine.cheapest());
        double sum = 0;
        for (int i = 0; i < n; i++) sum += search.distance(first + i, way[i]);
        cost = sum / n;
    }

    /** The place in the other sound, in samples, of a place in this. */
    public double at(double sample) {
        double place = sample / own.hop() - first;
        int i = (int) Math.max(0, Math.min(way.length - 2, Math.floor(place)));
        double share = Math.max(0, Math.min(1, place - i));
        // Over 25 ms: a way on a grid goes in steps.
        double a = smooth(i), b = smooth(Math.min(way.length - 1, i + 1));
        return (a + share * (b - a) + (place - i - share)) * other.hop();
    }

    private double smooth(int i) {
        int reach = Math.min(2, Math.min(i, way.length - 1 - i)), sum = 0;
        for (int k = i - reach; k <= i + reach; k++) sum += way[k];
        return sum / (2.0 * reach + 1);
    }

    /** How unlike the two are along the way, beside strangers: 0 for the same sound, near 1 for other words. */
    public double unlikeness() {
        return strangers == 0 ? 1 : cost / strangers;
    }

    /** The same between two samples of this sound. */
    public double unlikeness(long from, long to) {
        int a = Math.max(0, own.frame(from) - first), b = Math.min(way.length, own.frame(to) - first + 1);
        double sum = 0;
        for (int i = a; i < b; i++) sum += distance(own, first + i, other, way[i]);
        return strangers == 0 || b <= a ? 1 : sum / (b - a) / strangers;
    }

    private static double distance(Cepstra own, int i, Cepstra other, int j) {
        return own.distance(i, other, Math.max(0, Math.min(other.frames() - 1, j)));
    }

    /**
     * The cheapest way to each end on a grid.
     *
     * @param low the first place of the other sound that is looked at, for each own
     * @param cost of each place where it may end
     * @param step by which each place is reached
     */
    private record Walk(int[] low, double[] cost, byte[] step) {
        int cheapest() {
            int w = 0;
            for (int k = 1; k < cost.length; k++) if (cost[k] < cost[w]) w = k;
            return w;
        }

        /** The way that ends at a place: the place in the other sound for each own. */
        int[] from(int end) {
            int n = low.length, width = cost.length;
            int[] found = new int[n];
            for (int i = n - 1, j = low[n - 1] + end; i >= 0; ) {
                found[i] = j;
                byte way = i == 0 ? 0 : step[i * width + j - low[i]];
                if (way == 3) found[i - 1] = j;
                j -= way == 0 ? 0 : way == 2 ? 2 : 1;
                i -= way == 3 ? 2 : 1;
                if (way == 0 && i >= 0) {
                    Arrays.fill(found, 0, i + 1, j);
                    break;
                }
            }
            return found;
        }
    }

    /** What all ways of the same frames have in common. */
    private static final class Search {
        private final Cepstra own, other;
        private final int from, to;
        private final double strangers;
        private final Walk rough;

        Search(Cepstra own, int from, int to, int later, Cepstra other, int reach) {
            this.own = own;
            this.other = other;
            this.from = from;
            this.to = to;
            int n = to - from + 1, coarse = (n + COARSE - 1) / COARSE;
            int[] low = new int[coarse];
            for (int i = 0; i < coarse; i++) low[i] = Math.floorDiv(from - later + i * COARSE - reach, COARSE);
            strangers = strangers(n, later, reach);
            rough = walk(coarse, COARSE, low, 2 * reach / COARSE + 1);
        }

        double distance(int i, int j) {
            return TimeWarp.distance(own, i, other, j);
        }

        /** What frames differ by that have nothing to do with each other: every so many against every so many near. */
        private double strangers(int n, int later, int reach) {
            double sum = 0;
            int count = 0;
            for (int i = 0; i < n; i += 7) {
                for (int j = -reach; j <= reach; j += 11) {
                    int at = from - later + i + j;
                    if (at < 0 || at >= other.frames()) continue;
                    sum += distance(from + i, at);
                    count++;
                }
            }
            return count == 0 ? 0 : sum / count;
        }

        /**
         * The cheapest ways on a grid of every {@code grid}th frame.
         *
         * @param low the first place of the other sound that is looked at, for each own
         */
        Walk walk(int n, int grid, int[] low, int width) {
            double[][] cost = new double[3][width], here = new double[3][width];
            byte[] step = new byte[n * width];
            double bent = BENT * strangers;
            for (int i = 0; i < n; i++) {
                double[] now = cost[i % 3], d = here[i % 3];
                int own = Math.min(from + i * grid, this.own.frames() - 1);
                for (int w = 0; w < width; w++) d[w] = distance(own, (low[i] + w) * grid);
                if (i == 0) {
                    System.arraycopy(d, 0, now, 0, width);
                    continue;
                }
                double[] last = cost[(i + 2) % 3], before = cost[(i + 1) % 3], lastHere = here[(i + 2) % 3];
                int one = low[i] - low[i - 1], two = i > 1 ? low[i] - low[i - 2] : 0;
                for (int w = 0; w < width; w++) {
                    double best = NEVER;
                    byte way = 0;
                    int a = w + one - 1;
                    if (a >= 0 && a < width && last[a] < NEVER) {
                        best = last[a] + d[w];
                        way = 1;
                    }
                    // Two of the other sound for one of this.
                    a = w + one - 2;
                    if (a >= 0 && a < width && w > 0) {
                        double sum = last[a] + 0.5 * (d[w] + d[w - 1]) + bent;
                        if (sum < best) {
                            best = sum;
                            way = 2;
                        }
                    }
                    // Two of this for one of the other.
                    a = w + two - 1;
                    int middle = w + one;
                    if (i > 1 && a >= 0 && a < width && middle >= 0 && middle < width) {
                        double sum = before[a] + lastHere[middle] + d[w] + bent;
                        if (sum < best) {
                            best = sum;
                            way = 3;
                        }
                    }
                    now[w] = best;
                    step[i * width + w] = way;
                }
            }
            return new Walk(low, cost[(n - 1) % 3], step);
        }
    }
}
