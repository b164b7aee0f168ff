package linnet.dsp.dynamics;

/**
 * The smallest of the last so many values, in amortised constant time: a queue of candidates, each smaller than the next,
 * from which a new value drives out all that are not smaller than itself.
 *
 * <p>Source: D. Lemire, "Streaming maximum-minimum filter using no more than three comparisons per element", Nordic Journal
 * of Computing 13(4), 2006 (from memory).
 */
final class SlidingMinimum {
    private final int window;
    private final double[] values;
    private final long[] times;
    private final int mask;
    private long now;
    private int head, size;

    /** @param window how many values, the newest included; before there are so many, those there are */
    SlidingMinimum(int window) {
        this.window = window;
        int room = Integer.highestOneBit(window) * 2;
        values = new double[room];
        times = new long[room];
        mask = room - 1;
    }

    double next(double value) {
        while (size > 0 && values[head + size - 1 & mask] >= value) size--;
        values[head + size & mask] = value;
        times[head + size & mask] = now;
        size++;
        if (times[head] <= now - window) {
            head = head + 1 & mask;
            size--;
        }
        now++;
        return values[head];
    }
}
