package linnet.dsp.filter;

/**
 * Second-order designs that keep the analogue magnitude up to half the rate: poles are placed by impulse invariance, then
 * the numerator is solved so that the magnitude agrees at 0 Hz and at the named frequency (and its slope there, for
 * band-pass and bell).
 *
 * <p>Source: M. Vicanek, "Matched Second Order Digital Filters" (2016). There |H|² is written as
 * {@code (B0 φ0 + B1 φ1 + B2 φ2) / (A0 φ0 + A1 φ1 + A2 φ2)} with φ1 = sin²(w/2), φ0 = 1 - φ1, φ2 = 4 φ0 φ1. Shelves,
 * notch and all-pass have no such design here. Arguments as in {@link Biquad}.
 */
public final class Matched {
    private final double rate, a1, a2;
    /** φ0, φ1, φ2 at the named frequency. */
    private final double f0, f1, f2;
    /** A0, A1, A2; and the denominator of |H|² at the named frequency. */
    private final double d0, d1, d2, at;

    private Matched(double rate, double hz, double q) {
        if (!(q > 0)) throw new IllegalArgumentException("q must be positive: " + q);
        this.rate = rate;
        double w0 = Biquad.angle(rate, hz), damping = 1 / (2 * q), beat = StrictMath.sqrt(Math.abs(1 - damping * damping)) * w0;
        a1 = -2 * StrictMath.exp(-damping * w0) * (damping <= 1 ? StrictMath.cos(beat) : StrictMath.cosh(beat));
        a2 = StrictMath.exp(-2 * damping * w0);
        double s = StrictMath.sin(w0 / 2);
        f1 = s * s;
        f0 = 1 - f1;
        f2 = 4 * f0 * f1;
        d0 = (1 + a1 + a2) * (1 + a1 + a2);
        d1 = (1 - a1 + a2) * (1 - a1 + a2);
        d2 = -4 * a2;
        at = d0 * f0 + d1 * f1 + d2 * f2;
    }

    /** 12 dB/oct; at {@code hz} the gain is q. */
    public static Biquad lowPass(double rate, double hz, double q) {
        Matched m = new Matched(rate, hz, q);
        double n0 = m.d0, n1 = Math.max(0, (m.at * q * q - n0 * m.f0) / m.f1);
        double b0 = (StrictMath.sqrt(n0) + StrictMath.sqrt(n1)) / 2;
        return m.with(b0, StrictMath.sqrt(n0) - b0, 0);
    }

    /** 12 dB/oct; at {@code hz} the gain is q. */
    public static Biquad highPass(double rate, double hz, double q) {
        Matched m = new Matched(rate, hz, q);
        double b0 = q * StrictMath.sqrt(m.at) / (4 * m.f1);
        return m.with(b0, -2 * b0, b0);
    }

    /** 0 dB at {@code hz}, 6 dB/oct on both sides. */
    public static Biquad bandPass(double rate, double hz, double q) {
        Matched m = new Matched(rate, hz, q);
        double r2 = m.slope(), n2 = (m.at - r2 * m.f1) / (4 * m.f1 * m.f1), n1 = r2 + 4 * (m.f1 - m.f0) * n2;
        double b1 = -StrictMath.sqrt(Math.max(0, n1)) / 2, b0 = (StrictMath.sqrt(Math.max(0, n2 + b1 * b1)) - b1) / 2;
        return m.with(b0, b1, -b0 - b1);
    }

    /** {@code gainDb} at {@code hz}, 0 dB far from it, as wide as the {@link Biquad#bell cookbook's} of equal q. */
    public static Biquad bell(double rate, double hz, double q, double gainDb) {
        // The paper's own cuts stray further from the analogue curve than its boosts do. A boost has all its zeros inside
        // the unit circle, so a cut can be its exact inverse.
        if (gainDb < 0) return bell(rate, hz, q, -gainDb).inverse();
        // The paper's bell is (s² + g s/Q + 1)/(s² + s/Q + 1): its Q is that of the poles, √g times the cookbook's.
        double a = Biquad.rootGain(gainDb), gain = a * a;
        Matched m = new Matched(rate, hz, q * a);
        double r1 = m.at * gain * gain, r2 = m.slope() * gain * gain;
        double n0 = m.d0, n2 = (r1 - r2 * m.f1 - n0) / (4 * m.f1 * m.f1), n1 = Math.max(0, r2 + n0 + 4 * (m.f1 - m.f0) * n2);
        double w = (StrictMath.sqrt(n0) + StrictMath.sqrt(n1)) / 2;
        double b0 = (w + StrictMath.sqrt(Math.max(0, w * w + n2))) / 2;
        return m.with(b0, (StrictMath.sqrt(n0) - StrictMath.sqrt(n1)) / 2, -n2 / (4 * b0));
    }

    /** First order, 6 dB/oct, -3 dB at {@code hz}: the paper's method with one pole. */
    public static Biquad onePoleLowPass(double rate, double hz) {
        double w0 = Biquad.angle(rate, hz), pole = StrictMath.exp(-w0), s = StrictMath.sin(w0 / 2), f1 = s * s, f0 = 1 - f1;
        double d0 = (1 - pole) * (1 - pole), d1 = (1 + pole) * (1 + pole);
        double n1 = Math.max(0, ((d0 * f0 + d1 * f1) / 2 - d0 * f0) / f1);
        double b0 = (1 - pole + StrictMath.sqrt(n1)) / 2;
        return new Biquad(rate, b0, 1 - pole - b0, 0, -pole, 0);
    }

    /** First order, 6 dB/oct, -3 dB at {@code hz}: the paper's method with one pole. */
    public static Biquad onePoleHighPass(double rate, double hz) {
        double w0 = Biquad.angle(rate, hz), pole = StrictMath.exp(-w0), s = StrictMath.sin(w0 / 2), f1 = s * s, f0 = 1 - f1;
        double d0 = (1 - pole) * (1 - pole), d1 = (1 + pole) * (1 + pole);
        double b0 = StrictMath.sqrt((d0 * f0 + d1 * f1) / 2 / f1) / 2;
        return new Biquad(rate, b0, -b0, 0, -pole, 0);
    }

    /** The derivative of the denominator of |H|² along φ1, at the named frequency. */
    private double slope() {
        return -d0 + d1 + 4 * (f0 - f1) * d2;
    }

    private Biquad with(double b0, double b1, double b2) {
        return new Biquad(rate, b0, b1, b2, a1, a2);
    }
}
