package linnet.hear;

import java.util.Arrays;
import java.util.function.IntPredicate;
import java.util.stream.IntStream;

/** The power of a sound in whole frames of 10 ms, channels averaged, rumble and offset included: the frames of {@link Levels}. */
final class WideLevels {
    private final int hop;
    private int filled, frames;
    private double sum;
    private float[] power = new float[1024];

    WideLevels(double rate) {
        hop = (int) Math.round(rate / 100);
    }

    void add(double[][] x, int n) {
        int from = 0;
        while (from < n) {
            int to = Math.min(n, from + hop - filled);
            for (double[] channel : x) sum += squares(channel, from, to);
            filled += to - from;
            from = to;
            if (filled < hop) return;
            if (frames == power.length) power = Arrays.copyOf(power, 2 * frames);
            power[frames++] = (float) (sum / hop / x.length);
            sum = 0;
            filled = 0;
        }
    }

    private static double squares(double[] x, int from, int to) {
        double sum = 0;
        for (int i = from; i < to; i++) sum += x[i] * x[i];
        return sum;
    }

    /** Mean power of these frames. */
    double mean(IntPredicate wanted) {
        return IntStream.range(0, frames).filter(wanted).mapToDouble(f -> power[f]).average().orElse(0);
    }
}
