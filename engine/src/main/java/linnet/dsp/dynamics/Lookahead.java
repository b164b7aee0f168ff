package linnet.dsp.dynamics;

/**
 * Has a reduction there before the signal that asks for it, and holds it until that has come: each hop gets the most that is
 * asked for up to the look-ahead later, and goes there over a third of it, without corners. What is soft just before something loud, as a
 * consonant before its vowel, is so turned down with it instead of standing out. The release is as late as without, but for a sixth of the look-ahead.
 *
 * <p>It works on the highest reduction of each hop, and between hops in straight lines; each line lies over what its hop asks for. Where nothing
 * is asked for, that is exactly 0.
 *
 * <p>Source: the maximum, {@link SlidingMinimum}; smoothing by two averages of maxima that still hold is textbook, as in {@link Limiter}.
 */
final class Lookahead {
    /** Samples in a hop at the usual rates. */
    private static final int FULL = 24;
    /** Fewer hold nothing while the line goes there. */
    private static final int LEAST = 2;
    /** A dB as a whole number: the sums of 200 dB stay below 2^63 over 10 000 hops. */
    private static final double ONE = 1L << 28;

    private final int length;
    private final SlidingMinimum least;
    private final RunningSum first, second;
    private final double whole; // the second sum at a dB
    private double from, to, most;
    /** Samples into the hop. */
    private int into;

    /**
     * @param length samples in a hop
     * @param hops {@link #LEAST} or more
     */
    Lookahead(int length, int hops) {
        this.length = length;
        least = new SlidingMinimum(hops);
        int smooth = Math.max(1, hops / 3);
        first = new RunningSum((smooth + 1) / 2, 0);
        second = new RunningSum(smooth + 1 - first.length(), 0);
        whole = ONE * first.length() * second.length();
    }

    /** Samples in a hop: a whole number of hops fills a cell. */
    static int hop(double rate) {
        return Hop.at(rate, FULL);
    }

    /** How many hops that is; 0 for none. */
    static int hops(double rate, double ms) {
        return ms == 0 ? 0 : Math.max(LEAST, (int) Math.round(ms * 1e-3 * rate / hop(rate)));
    }

    /** In place: the reduction of the samples that leave, in dB, from that of those that arrive. */
    void process(double[] reduction, int n) {
        for (int i = 0; i < n; ) {
            int end = Math.min(n, i + length - into);
            double highest = most, slope = (to - from) / length;
            for (int k = i; k < end; k++) highest = reduction[k] > highest ? reduction[k] : highest;
            for (int k = i; k < end; k++) reduction[k] = from + slope * (into + k - i);
            most = highest;
            into += end - i;
            i = end;
            if (into == length) hop();
        }
    }

    private void hop() {
        from = to;
        to = next(most);
        most = 0;
        into = 0;
    }

    /** The reduction at the end of the hop that leaves next, by the highest of the one that has arrived. */
    double next(double highest) {
        // Rounded up, so that no less is taken off than was asked for.
        return second.next(first.next((long) Math.ceil(-least.next(-highest) * ONE))) / whole;
    }
}
