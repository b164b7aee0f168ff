package linnet.dsp.dynamics;

import java.util.Arrays;

/** The sum of the last so many whole numbers: unlike one of fractions it does not drift, and does not depend on where it began. */
final class RunningSum {
    private final long[] ring;
    private long sum;
    private int at;

    /** @param before what all numbers were before the first */
    RunningSum(int length, long before) {
        ring = new long[length];
        Arrays.fill(ring, before);
        sum = before * length;
    }

    int length() {
        return ring.length;
    }

    long next(long value) {
        sum += value - ring[at];
        ring[at] = value;
        at = at + 1 == ring.length ? 0 : at + 1;
        return sum;
    }
}
