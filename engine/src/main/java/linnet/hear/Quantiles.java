package linnet.hear;

import java.util.Arrays;
import java.util.function.IntToDoubleFunction;

/** Order and typical size of powers. */
final class Quantiles {
    private static final int BITS = 16;

    private Quantiles() {}

    /** The value below which that share of all values above {@code least} lies; 0 where there are none. */
    static double of(double[] values, double share, double least) {
        double[] sorted = Arrays.stream(values).filter(v -> v > least).sorted().toArray();
        return sorted.length == 0 ? 0 : sorted[(int) Math.round((sorted.length - 1) * share)];
    }

    /**
     * The same of values that are not held: they are counted by their leading bits, which stand in the order of their size, then those of the
     * same leading bits by the next. So it takes the same memory however many there are.
     *
     * @param least 0 or more
     */
    static double of(IntToDoubleFunction value, int n, double share, double least) {
        long found = 0, rank = 0;
        int[] counts = new int[1 << BITS];
        for (int shift = Long.SIZE - BITS; shift >= 0; shift -= BITS) {
            Arrays.fill(counts, 0);
            boolean first = shift == Long.SIZE - BITS;
            int all = 0;
            for (int i = 0; i < n; i++) {
                double v = value.applyAsDouble(i);
                if (!(v > least)) continue;
                long bits = Double.doubleToRawLongBits(v);
                if (!first && bits >>> shift + BITS != found) continue;
                counts[(int) (bits >>> shift) & counts.length - 1]++;
                all++;
            }
            if (all == 0) return 0;
            if (first) rank = Math.round((all - 1) * share);
            int digit = 0;
            while (rank >= counts[digit]) rank -= counts[digit++];
            found = found << BITS | digit;
        }
        return Double.longBitsToDouble(found);
    }

    /** Mean power where the power is: each frame weighs by itself, so it does not matter how long the pauses are. */
    static double typical(IntToDoubleFunction power, int n) {
        double sum = 0, squares = 0;
        for (int i = 0; i < n; i++) {
            double p = power.applyAsDouble(i);
            sum += p;
            squares += p * p;
        }
        return sum > 0 ? squares / sum : 0;
    }
}
