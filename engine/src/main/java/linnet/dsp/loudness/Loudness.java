package linnet.dsp.loudness;

import java.util.Arrays;
import linnet.dsp.Decibels;

/**
 * Integrated loudness after ITU-R BS.1770-5: K-weighted power in blocks of 400 ms that overlap by 75 %, an absolute gate
 * at -70 LUFS, then a relative gate 10 LU below the mean of what passed the first. Memory: one number per 100 ms.
 */
public final class Loudness {
    private static final double ABSOLUTE_GATE = power(-70);
    private static final double RELATIVE_GATE = 0.1;
    private static final int HOPS_PER_BLOCK = 4;
    /** By which a sine of 997 Hz reads its own level. */
    private static final double OFFSET = -0.691;

    private final KWeighting[] weighting;
    private final int hop;
    private final double[] sums;
    private int filled;
    private double[] hops = new double[512];
    private int count;

    /**
     * @param rate in Hz
     * @param channels 1, or 2 for a stereo pair; each weighs 1.0
     */
    public Loudness(double rate, int channels) {
        if (channels < 1 || channels > 2) throw new IllegalArgumentException("channels: " + channels);
        weighting = new KWeighting[channels];
        for (int c = 0; c < channels; c++) weighting[c] = new KWeighting(rate);
        hop = (int) Math.round(rate / 10);
        sums = new double[channels];
    }

    /** Hears the next {@code n} samples of each channel; any {@code n} that the arrays hold. */
    public void add(double[][] x, int n) {
        int from = 0;
        while (from < n) {
            int to = Math.min(n, from + hop - filled);
            for (int c = 0; c < sums.length; c++) sums[c] = weighting[c].addSquares(x[c], from, to, sums[c]);
            filled += to - from;
            from = to;
            if (filled == hop) endHop();
        }
    }

    private void endHop() {
        double power = 0;
        for (int c = 0; c < sums.length; c++) {
            power += sums[c] / hop;
            sums[c] = 0;
            weighting[c].settle();
        }
        if (count == hops.length) hops = Arrays.copyOf(hops, 2 * count);
        hops[count++] = power;
        filled = 0;
    }

    /**
     * The loudness in LUFS of all that was added so far. Negative infinity where it is not measurable: less than 400 ms,
     * or nothing above the absolute gate.
     */
    public double integrated() {
        double audible = meanAbove(ABSOLUTE_GATE);
        return loudness(meanAbove(Math.max(ABSOLUTE_GATE, RELATIVE_GATE * audible)));
    }

    /** Mean power of the blocks above the gate; 0 where there are none. */
    private double meanAbove(double gate) {
        double sum = 0;
        int passed = 0;
        for (int i = 0; i + HOPS_PER_BLOCK <= count; i++) {
            double block = (hops[i] + hops[i + 1] + hops[i + 2] + hops[i + 3]) / HOPS_PER_BLOCK;
            if (block > gate) {
                sum += block;
                passed++;
            }
        }
        return passed == 0 ? 0 : sum / passed;
    }

    private static double loudness(double power) {
        return OFFSET + Decibels.ofPower(power);
    }

    private static double power(double lufs) {
        return Decibels.power(lufs - OFFSET);
    }
}
