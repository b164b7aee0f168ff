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
    /** The root of A0, 1 + a1 + a2, without the cancellation by which that loses its digits at low frequencies; and the root of a2. */
    private final double root0, root2;

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
        root2 = StrictMath.exp(-damping * w0);
        if (damping <= 1) {
            double toPole = StrictMath.expm1(-damping * w0), turn = StrictMath.sin(beat / 2);
            root0 = toPole * toPole + 4 * root2 * turn * turn;
        } else {
            // One pole decays by (damping + r) w0 per sample, the other by its inverse, damping - r.
            double fast = damping + StrictMath.sqrt(damping * damping - 1);
            root0 = StrictMath.expm1(-fast * w0) * StrictMath.expm1(-w0 / fast);
        }
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
        // The paper's B2 = (D - R2 φ1) / (4 φ1²) and B1 = R2 + 4 (φ1 - φ0) B2, with D and R2 put in: what is left of narrow and low ones is a
        // billionth of what they were the differences of.
        double ratio = m.root0 / (2 * m.f1), root1 = 1 - m.a1 + m.a2;
        double n2 = (ratio - 2 * m.root2) * (ratio + 2 * m.root2), n1 = (root1 - 2 * ratio * m.f0) * (root1 + 2 * ratio * m.f0);
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

    /**
     * The q of a bandwidth in octaves: between the -3 dB points of the analogue band-pass, the points of half the gain of the
     * analogue bell, whose curves are kept. (The cookbook's law makes up for the squeezing, which is not there.)
     */
    public static double qOfBandwidth(double octaves) {
        return 0.5 / StrictMath.sinh(StrictMath.log(2) / 2 * octaves);
    }

    /** The derivative of the denominator of |H|² along φ1, at the named frequency. */
    private double slope() {
        return -d0 + d1 + 4 * (f0 - f1) * d2;
    }

    private Biquad with(double b0, double b1, double b2) {
        return new Biquad(rate, b0, b1, b2, a1, a2);
    }
}
