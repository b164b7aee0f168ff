package linnet.weigh;

import java.util.Arrays;
import java.util.stream.IntStream;
import linnet.dsp.Decibels;
import linnet.dsp.loudness.Loudness;

/** What is heard of one thing while it is measured: its loudness after ITU-R BS.1770, and its level in frames of 10 ms. One number each. */
public final class Scale {
    static final double FRAME_SECONDS = 0.01;
    /** Those stretches count that are no softer than this, in LUFS, and no more than this under the mean of those, in LU. */
    private static final double ABSOLUTE = -70, RELATIVE = -10;

    private final Loudness loudness;
    private final int frame;
    private double[] power = new double[4096];
    private int frames, filled;
    private double sum;

    /** @param channels 1 or 2 */
    public Scale(double rate, int channels) {
        loudness = new Loudness(rate, channels);
        frame = (int) Math.round(rate * FRAME_SECONDS);
    }

    /** Hears the next samples. */
    public void add(double[][] x, int n) {
        loudness.add(x, n);
        for (int i = 0; i < n; i++) {
            for (double[] c : x) sum += c[i] * c[i];
            if (++filled < frame) continue;
            if (frames == power.length) power = Arrays.copyOf(power, 2 * frames);
            power[frames++] = sum / frame;
            filled = 0;
            sum = 0;
        }
    }

    /** In LUFS; negative infinity where it is not measurable. */
    public double integrated() {
        return loudness.integrated();
    }

    /** Power of each frame, both sides together. */
    double[] frames() {
        return Arrays.copyOf(power, frames);
    }

    /** How much louder it is than another, in LU, in the stretches of 100 ms in which both sound: the blocks of the standard are four times as long, and would hear what lies beside a word. */
    Balance over(Scale other) {
        double[] own = loudness.stretches(), others = other.loudness.stretches();
        double least = gate(own), otherLeast = gate(others);
        int[] both = IntStream.range(0, Math.min(own.length, others.length)).filter(i -> own[i] > least && others[i] > otherLeast).toArray();
        return new Balance(mean(own, both) - mean(others, both), both.length * 0.1);
    }

    /**
     * A distance between two.
     *
     * @param lu NaN where they never sound together
     * @param seconds in which they do
     */
    record Balance(double lu, double seconds) {}

    private static double gate(double[] lufs) {
        return Math.max(ABSOLUTE, mean(lufs, IntStream.range(0, lufs.length).filter(i -> lufs[i] > ABSOLUTE).toArray()) + RELATIVE);
    }

    private static double mean(double[] lufs, int[] which) {
        return which.length == 0 ? Double.NaN : Decibels.ofPower(Arrays.stream(which).mapToDouble(i -> Decibels.power(lufs[i])).average().orElse(0));
    }
}
