package linnet.dsp;

import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.function.ToLongFunction;
import java.util.stream.IntStream;

/** Stretches of samples, those that overlap made one. However many there are, a question is answered in a few steps. */
public final class Stretches {
    /** Not one sample. */
    public static final Stretches NONE = new Stretches(new long[0], new long[0]);

    private final long[] from, to;

    /**
     * @param from first sample of each, in any order
     * @param to the sample after its last
     */
    public Stretches(long[] from, long[] to) {
        int[] order = IntStream.range(0, from.length).boxed().sorted(Comparator.comparingLong(i -> from[i])).mapToInt(i -> i).toArray();
        long[] begins = new long[order.length], ends = new long[order.length];
        int n = 0;
        for (int i : order) {
            if (n > 0 && from[i] < ends[n - 1]) {
                ends[n - 1] = Math.max(ends[n - 1], to[i]);
            } else {
                begins[n] = from[i];
                ends[n++] = to[i];
            }
        }
        this.from = Arrays.copyOf(begins, n);
        this.to = Arrays.copyOf(ends, n);
    }

    /**
     * Those of a list, which may be in any order.
     *
     * @param from the first sample of one
     * @param to the sample after its last
     */
    public static <T> Stretches of(List<T> all, ToLongFunction<T> from, ToLongFunction<T> to) {
        return new Stretches(all.stream().mapToLong(from).toArray(), all.stream().mapToLong(to).toArray());
    }

    /** Whether there is none. */
    public boolean isEmpty() {
        return from.length == 0;
    }

    /** How many samples there are from this one to the next that lies in one: 0 if it does, {@link Long#MAX_VALUE} if none comes. */
    public long until(long sample) {
        int next = endingAfter(sample);
        return next == from.length ? Long.MAX_VALUE : Math.max(0, from[next] - sample);
    }

    /** Whether any of these samples lies in one. */
    public boolean meets(long from, long to) {
        int next = endingAfter(from);
        return next < this.from.length && this.from[next] < to;
    }

    /** Which is the first that ends after that sample. */
    private int endingAfter(long sample) {
        int low = 0, high = to.length;
        while (low < high) {
            int middle = (low + high) >>> 1;
            if (to[middle] > sample) high = middle;
            else low = middle + 1;
        }
        return low;
    }
}
