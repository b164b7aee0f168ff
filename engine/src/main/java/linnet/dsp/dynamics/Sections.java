package linnet.dsp.dynamics;

import java.util.Arrays;

/**
 * Where the sections of a song begin, as far as their loudness tells: phrases one after the other that differ less from their own median
 * than a change is worth. What is weighed is the distance from the median, so that one phrase sung too soft or too loud makes no section.
 *
 * <p>The best cut under a price for each change is found by dynamic programming, as in B. Jackson et al., "An algorithm for optimal
 * partitioning of data on an interval", IEEE Signal Processing Letters 12(2), 2005. The price and the shortest section are chosen by
 * trial on made songs: low enough that a chorus stays what it is over its verse (LevellingTest says how well), and a section long enough
 * that two soft lines in a row are none.
 */
final class Sections {
    /** What a change costs, in lengths of a phrase times the distance by which phrases in a row usually differ. */
    private static final double PRICE = 0.6;
    /** In LU: nobody sings evener. */
    private static final double EVENEST = 0.5;
    /** The fewest phrases and seconds of a section; no more than so many seconds are taken for one. */
    private static final int FEWEST = 3;
    private static final double SHORTEST = 12, LONGEST = 120;

    private Sections() {}

    /** The number of the section of each phrase, from 0. */
    static int[] of(double[] from, double[] to, double[] loudness) {
        int n = loudness.length;
        double price = PRICE * usual(from, to, loudness);
        double[] best = new double[n + 1];
        int[] begins = new int[n + 1];
        for (int end = 1; end <= n; end++) {
            best[end] = Double.POSITIVE_INFINITY;
            for (int begin = end - 1; begin >= 0; begin--) {
                double seconds = to[end - 1] - from[begin];
                if (seconds > LONGEST && end - begin > FEWEST) break;
                boolean whole = begin == 0 && end == n;
                if (!whole && (end - begin < FEWEST || seconds < SHORTEST)) continue;
                double cost = best[begin] + price + strayed(from, to, loudness, begin, end);
                if (cost < best[end]) {
                    best[end] = cost;
                    begins[end] = begin;
                }
            }
        }
        int[] section = new int[n];
        // With a whole that is too short to cut, or a rest that is, there is one.
        if (best[n] == Double.POSITIVE_INFINITY) return section;
        for (int end = n; end > 0; end = begins[end]) for (int i = begins[end]; i < n; i++) if (begins[end] > 0) section[i]++;
        return section;
    }

    /** Whether two sections are long enough, however loud they are. */
    static boolean possible(double[] from, double[] to) {
        int n = from.length;
        for (int cut = FEWEST; cut <= n - FEWEST; cut++) if (to[cut - 1] - from[0] >= SHORTEST && to[n - 1] - from[cut] >= SHORTEST) return true;
        return false;
    }

    /** Mean length of a phrase by the median difference from one to the next, in seconds times LU. */
    private static double usual(double[] from, double[] to, double[] loudness) {
        double seconds = 0;
        double[] step = new double[Math.max(0, loudness.length - 1)];
        for (int i = 0; i < step.length; i++) step[i] = Math.abs(loudness[i + 1] - loudness[i]);
        for (int i = 0; i < loudness.length; i++) seconds += (to[i] - from[i]) / loudness.length;
        Arrays.sort(step);
        return seconds * Math.max(EVENEST, step.length == 0 ? 0 : step[step.length / 2]);
    }

    private static double strayed(double[] from, double[] to, double[] loudness, int begin, int end) {
        double[] weight = new double[end - begin];
        for (int i = begin; i < end; i++) weight[i - begin] = to[i] - from[i];
        double median = median(Arrays.copyOfRange(loudness, begin, end), weight), sum = 0;
        for (int i = begin; i < end; i++) sum += (to[i] - from[i]) * Math.abs(loudness[i] - median);
        return sum;
    }

    /** The value that half of the weight lies below. */
    static double median(double[] values, double[] weights) {
        Integer[] order = new Integer[values.length];
        double all = 0;
        for (int i = 0; i < order.length; i++) {
            order[i] = i;
            all += weights[i];
        }
        Arrays.sort(order, (a, b) -> Double.compare(values[a], values[b]));
        double below = 0;
        for (int i : order) {
            below += weights[i];
            if (below >= all / 2) return values[i];
        }
        return values[order[order.length - 1]];
    }
}
