package linnet.hear;

import java.util.Arrays;

/** Order and typical size of powers. */
final class Quantiles {
    private Quantiles() {}

    /** The value below which that share of all values above {@code least} lies; 0 where there are none. */
    static double of(double[] values, double share, double least) {
        double[] sorted = Arrays.stream(values).filter(v -> v > least).sorted().toArray();
        return sorted.length == 0 ? 0 : sorted[(int) Math.round((sorted.length - 1) * share)];
    }

    /** Mean power where the power is: each frame weighs by itself, so it does not matter how long the pauses are. */
    static double typical(double[] power) {
        double sum = 0, squares = 0;
        for (double p : power) {
            sum += p;
            squares += p * p;
        }
        return sum > 0 ? squares / sum : 0;
    }
}
