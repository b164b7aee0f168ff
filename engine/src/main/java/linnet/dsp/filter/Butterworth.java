package linnet.dsp.filter;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;

/**
 * Butterworth filters of any order as cascades of second-order sections: flat in the pass band, -3.01 dB at the corner,
 * 6.02 dB/oct for each order. An odd order adds one first-order section. Sections of low q come first, so that nothing
 * inside the cascade peaks before it has been filtered.
 */
public final class Butterworth {
    private Butterworth() {}

    /** A low-pass of that order (1 or more). */
    public static List<Biquad> lowPass(double rate, double hz, int order) {
        List<Biquad> sections = new ArrayList<>();
        if (order % 2 == 1) sections.add(Biquad.onePoleLowPass(rate, hz));
        for (double q : qualities(order)) sections.add(Biquad.lowPass(rate, hz, q));
        return Collections.unmodifiableList(sections);
    }

    /** A high-pass of that order (1 or more). */
    public static List<Biquad> highPass(double rate, double hz, int order) {
        List<Biquad> sections = new ArrayList<>();
        if (order % 2 == 1) sections.add(Biquad.onePoleHighPass(rate, hz));
        for (double q : qualities(order)) sections.add(Biquad.highPass(rate, hz, q));
        return Collections.unmodifiableList(sections);
    }

    /** The qs of the pairs of poles, rising; an odd order has one real pole more. */
    public static double[] qualities(int order) {
        if (order < 1) throw new IllegalArgumentException("order must be 1 or more: " + order);
        double[] q = new double[order / 2];
        // Pole pair k of the left half circle stands at π(2k+1)/(2n) from the imaginary axis; the last is the most damped.
        for (int k = 0; k < q.length; k++) q[q.length - 1 - k] = 1 / (2 * StrictMath.sin(Math.PI * (2 * k + 1) / (2 * order)));
        return q;
    }
}
