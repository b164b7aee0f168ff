package linnet.dsp.repair;

import java.util.BitSet;

/**
 * The best estimate of a value that wanders at random, of all that was heard of it, before and after: the smoother of H. Rauch, F. Tung,
 * C. Striebel, AIAA Journal 3(8), 1965 (from memory), for one dimension. Where nothing is heard it goes straight from the last that was to
 * the next.
 */
final class RandomWalk {
    private static final double UNKNOWN = 1e6;

    private final double noise;

    /** @param steps over which what was heard best loses all but 1/e of its weight; well over 1 */
    RandomWalk(double steps) {
        // At rest the gain of the filter is the root of the ratio of what it wanders in a step to the noise of what is heard.
        noise = steps * steps;
    }

    /**
     * Replaces a series by its estimate.
     *
     * @param loud power of what it is heard through, 1 where it is heard best
     */
    void smooth(double[] x, BitSet heard, double[] loud) {
        double[] certain = new double[x.length];
        double value = 0, variance = UNKNOWN * noise;
        for (int n = 0; n < x.length; n++) {
            if (n > 0) variance += 1;
            if (heard.get(n)) {
                double gain = variance / (variance + noise * loud[n]);
                value += gain * (x[n] - value);
                variance *= 1 - gain;
            }
            x[n] = value;
            certain[n] = variance;
        }
        for (int n = x.length - 2; n >= 0; n--) value = x[n] += certain[n] / (certain[n] + 1) * (value - x[n]);
    }
}
