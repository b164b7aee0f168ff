package linnet.dsp.filter;

import java.util.ArrayList;
import java.util.List;

/**
 * Butterworth filters of any order as cascades of second-order sections: flat in the pass band, -3.01 dB at the corner,
 * 6.02 dB/oct for each order. An odd order adds one first-order section. Sections of low q come first, so that nothing
 * inside the cascade peaks before it has been filtered.
 */
public final class Butterworth {
    private Butterworth() {}

    /** One section of a cascade; a section of first order has no use for its q. */
    public record Part(Shape shape, double q) {}

    /** A low-pass of that order (1 or more). */
    public static List<Biquad> lowPass(double rate, double hz, int order) {
        return biquads(Shape.LOW_PASS, rate, hz, order);
    }

    /** A high-pass of that order (1 or more). */
    public static List<Biquad> highPass(double rate, double hz, int order) {
        return biquads(Shape.HIGH_PASS, rate, hz, order);
    }

    /**
     * A high-pass and a low-pass of second order, what an effect hears of a voice. A high-pass at 0 is left out, and so is a
     * low-pass at {@link Biquad#HIGHEST} of the rate or above.
     */
    public static List<Biquad> band(double rate, double highPassHz, double lowPassHz) {
        double highest = Biquad.HIGHEST * rate;
        List<Biquad> sections = new ArrayList<>();
        if (highPassHz > 0) sections.add(Biquad.highPass(rate, Math.min(highPassHz, highest), Biquad.BUTTERWORTH));
        if (lowPassHz < highest) sections.add(Biquad.lowPass(rate, lowPassHz, Biquad.BUTTERWORTH));
        return sections;
    }

    private static List<Biquad> biquads(Shape pass, double rate, double hz, int order) {
        return parts(pass, order).stream().map(p -> Design.COOKBOOK.biquad(p.shape(), rate, hz, p.q(), 0)).toList();
    }

    /** The sections of a {@link Shape#LOW_PASS} or {@link Shape#HIGH_PASS} of that order (1 or more). */
    public static List<Part> parts(Shape pass, int order) {
        List<Part> parts = new ArrayList<>();
        if (order % 2 == 1) parts.add(new Part(pass == Shape.LOW_PASS ? Shape.ONE_POLE_LOW_PASS : Shape.ONE_POLE_HIGH_PASS, 1));
        for (double q : qualities(order)) parts.add(new Part(pass, q));
        return parts;
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
