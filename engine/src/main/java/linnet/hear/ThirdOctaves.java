package linnet.hear;

import java.util.Arrays;
import linnet.dsp.Decibels;

/**
 * Power in third octaves after IEC 61260-1 (base ten): centres {@code 1000 · 10^(k/10)} Hz, edges a twentieth of a decade to either
 * side. A bin of a spectrum that lies across an edge is shared between the bands in proportion.
 */
final class ThirdOctaves {
    private static final int FIRST = -10, LAST = 13;
    /** How the standard rounds the centres of a decade. */
    private static final double[] NOMINAL = {1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8};

    private ThirdOctaves() {}

    /**
     * The level of each band from 100 Hz to 20 kHz that the spectrum holds wholly.
     *
     * @param power mean squares per bin, from 0 Hz to half the rate
     */
    static Bands of(double[] power, double binHz) {
        double[] hz = new double[LAST - FIRST + 1], dbfs = new double[hz.length];
        int n = 0;
        for (int k = FIRST; k <= LAST; k++) {
            double centre = 1000 * StrictMath.pow(10, k / 10.0), half = StrictMath.pow(10, 0.05);
            double low = centre / half / binHz + 0.5, high = centre * half / binHz + 0.5;
            if (high > power.length - 0.5) break;
            hz[n] = NOMINAL[(k - FIRST) % 10] * StrictMath.pow(10, 2 + Math.floorDiv(k - FIRST, 10));
            dbfs[n++] = Decibels.ofPower(between(power, low, high));
        }
        return new Bands(Arrays.copyOf(hz, n), Arrays.copyOf(dbfs, n));
    }

    /** Power between two places, where bin k reaches from k to k + 1. */
    private static double between(double[] power, double low, double high) {
        double sum = 0;
        for (int k = (int) low; k < high; k++) sum += power[k] * (Math.min(high, k + 1) - Math.max(low, k));
        return sum;
    }
}
