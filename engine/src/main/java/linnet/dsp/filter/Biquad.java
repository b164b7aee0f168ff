package linnet.dsp.filter;

/**
 * The coefficients of a second-order section at a sample rate,
 * {@code H(z) = (b0 + b1 z⁻¹ + b2 z⁻²) / (1 + a1 z⁻¹ + a2 z⁻²)}, and the classic designs: an analogue prototype put through
 * the bilinear transform, pre-warped so that the named frequency is hit exactly.
 *
 * <p>Source: R. Bristow-Johnson, "Cookbook formulae for audio EQ biquad filter coefficients" (also a W3C note, 2021).
 * Frequencies are in Hz and lie strictly between 0 and half the rate, q is positive, gains are in dB. Near half the rate
 * these designs are squeezed together ("cramped"); {@link Matched} has the ones that are not.
 *
 * @param rate samples per second
 */
public record Biquad(double rate, double b0, double b1, double b2, double a1, double a2) {
    /** Quality of a Butterworth pair: the flattest pass band; the steepest shelf that does not overshoot. */
    public static final double BUTTERWORTH = StrictMath.sqrt(0.5);

    /** Share of the rate below which the frequencies that a user gives are held: nearer to its half there is nothing left to filter. */
    public static final double HIGHEST = 0.49;

    /** To the last bits of a double. */
    private static final int HALVINGS = 50;

    /** By its numbers, as those of every record; but that is put together when it is first asked for, and that takes a twentieth of the check of a song. */
    @Override
    public boolean equals(Object o) {
        return o instanceof Biquad b && Double.compare(rate, b.rate) == 0 && Double.compare(b0, b.b0) == 0 && Double.compare(b1, b.b1) == 0
                && Double.compare(b2, b.b2) == 0 && Double.compare(a1, b.a1) == 0 && Double.compare(a2, b.a2) == 0;
    }

    @Override
    public int hashCode() {
        return 31 * Double.hashCode(b0) + Double.hashCode(a1);
    }

    /** 12 dB/oct; at {@code hz} the gain is q. */
    public static Biquad lowPass(double rate, double hz, double q) {
        double c = cos(rate, hz), alpha = alpha(rate, hz, q);
        return of(rate, (1 - c) / 2, 1 - c, (1 - c) / 2, 1 + alpha, -2 * c, 1 - alpha);
    }

    /** 12 dB/oct; at {@code hz} the gain is q. */
    public static Biquad highPass(double rate, double hz, double q) {
        double c = cos(rate, hz), alpha = alpha(rate, hz, q);
        return of(rate, (1 + c) / 2, -(1 + c), (1 + c) / 2, 1 + alpha, -2 * c, 1 - alpha);
    }

    /** 0 dB at {@code hz}, 6 dB/oct on both sides. */
    public static Biquad bandPass(double rate, double hz, double q) {
        double c = cos(rate, hz), alpha = alpha(rate, hz, q);
        return of(rate, alpha, 0, -alpha, 1 + alpha, -2 * c, 1 - alpha);
    }

    /** Nothing at {@code hz}, 0 dB far from it. */
    public static Biquad notch(double rate, double hz, double q) {
        double c = cos(rate, hz), alpha = alpha(rate, hz, q);
        return of(rate, 1, -2 * c, 1, 1 + alpha, -2 * c, 1 - alpha);
    }

    /** 0 dB everywhere; the phase turns through -180° at {@code hz}. */
    public static Biquad allPass(double rate, double hz, double q) {
        double c = cos(rate, hz), alpha = alpha(rate, hz, q);
        return of(rate, 1 - alpha, -2 * c, 1 + alpha, 1 + alpha, -2 * c, 1 - alpha);
    }

    /** {@code gainDb} at {@code hz}, 0 dB far from it. A bell and its negative undo each other. */
    public static Biquad bell(double rate, double hz, double q, double gainDb) {
        double c = cos(rate, hz), alpha = alpha(rate, hz, q), a = rootGain(gainDb);
        return of(rate, 1 + alpha * a, -2 * c, 1 - alpha * a, 1 + alpha / a, -2 * c, 1 - alpha / a);
    }

    /** {@code gainDb} towards 0 Hz, half of it at {@code hz}. */
    public static Biquad lowShelf(double rate, double hz, double q, double gainDb) {
        double c = cos(rate, hz), a = rootGain(gainDb), up = a + 1, down = a - 1;
        double r = 2 * StrictMath.sqrt(a) * alpha(rate, hz, q);
        return of(rate, a * (up - down * c + r), 2 * a * (down - up * c), a * (up - down * c - r),
                up + down * c + r, -2 * (down + up * c), up + down * c - r);
    }

    /** {@code gainDb} towards half the rate, half of it at {@code hz}. */
    public static Biquad highShelf(double rate, double hz, double q, double gainDb) {
        double c = cos(rate, hz), a = rootGain(gainDb), up = a + 1, down = a - 1;
        double r = 2 * StrictMath.sqrt(a) * alpha(rate, hz, q);
        return of(rate, a * (up + down * c + r), -2 * a * (down + up * c), a * (up + down * c - r),
                up - down * c + r, 2 * (down - up * c), up - down * c - r);
    }

    /** First order, 6 dB/oct, -3 dB at {@code hz}: half of the section is empty. */
    public static Biquad onePoleLowPass(double rate, double hz) {
        double g = StrictMath.tan(angle(rate, hz) / 2);
        return of(rate, g, g, 0, g + 1, g - 1, 0);
    }

    /** First order, 6 dB/oct, -3 dB at {@code hz}: half of the section is empty. */
    public static Biquad onePoleHighPass(double rate, double hz) {
        double g = StrictMath.tan(angle(rate, hz) / 2);
        return of(rate, 1, -1, 0, g + 1, g - 1, 0);
    }

    /**
     * The q of a bandwidth in octaves: between the -3 dB points of a band-pass or notch, between the points of half the
     * gain of a bell, as measured after the bilinear transform. Of a width that would reach over half the rate only what
     * lies below counts, so that the lower point is where it would be at a higher rate.
     *
     * <p>The cookbook's law takes the warping for as strong everywhere as at {@code hz}: it falls short by up to 5 % up to
     * two octaves, by up to 10 % beyond. From about 0.3 of the rate on, below that if they are very wide, it would make them wider than asked, at last so
     * wide that they reach down to 0 Hz; there the width is kept exactly.
     */
    public static double qOfBandwidth(double rate, double hz, double octaves) {
        double w0 = angle(rate, hz);
        double law = 0.5 / StrictMath.sinh(StrictMath.log(2) / 2 * octaves * w0 / StrictMath.sin(w0));
        double below = octaves / 2 + StrictMath.log(Math.PI / w0) / StrictMath.log(2);
        return w0 <= Math.PI / 2 && octaves <= below ? law : Math.max(law, qOfExactly(w0, Math.min(octaves, below)));
    }

    /** The tangents of half the angles of both points are t0²/x and x with x = t0 (1/(2q) + √(1 + 1/(4q²))): the lower angle is searched for. */
    private static double qOfExactly(double w0, double octaves) {
        double ratio = StrictMath.pow(2, octaves), t0 = StrictMath.tan(w0 / 2), less = 0, more = Math.PI / 2 / ratio;
        for (int i = 0; i < HALVINGS; i++) {
            double middle = (less + more) / 2;
            if (StrictMath.tan(middle) * StrictMath.tan(middle * ratio) < t0 * t0) less = middle;
            else more = middle;
        }
        double part = StrictMath.tan(less) / t0;
        return 1 / (1 / part - part);
    }

    /** The q of a shelf's steepness S: 1 is the steepest that does not overshoot, smaller is gentler. */
    public static double qOfSteepness(double steepness, double gainDb) {
        double a = rootGain(gainDb);
        return 1 / StrictMath.sqrt((a + 1 / a) * (1 / steepness - 1) + 2);
    }

    /** The section's exact response to a sine of that frequency. */
    public Response response(double hz) {
        double w = 2 * Math.PI * hz / rate;
        double c1 = StrictMath.cos(w), s1 = StrictMath.sin(w), c2 = StrictMath.cos(2 * w), s2 = StrictMath.sin(2 * w);
        double numRe = b0 + b1 * c1 + b2 * c2, numIm = -(b1 * s1 + b2 * s2);
        double denRe = 1 + a1 * c1 + a2 * c2, denIm = -(a1 * s1 + a2 * s2);
        double den = denRe * denRe + denIm * denIm;
        return new Response((numRe * denRe + numIm * denIm) / den, (numIm * denRe - numRe * denIm) / den);
    }

    /** Gain in dB at that frequency. */
    public double responseDb(double hz) {
        return response(hz).db();
    }

    /** The section that undoes this one; stable if the zeros of this one lie inside the unit circle. */
    Biquad inverse() {
        return of(rate, 1, a1, a2, b0, b1, b2);
    }

    /** Divides by a0. */
    static Biquad of(double rate, double b0, double b1, double b2, double a0, double a1, double a2) {
        return new Biquad(rate, b0 / a0, b1 / a0, b2 / a0, a1 / a0, a2 / a0);
    }

    /** w0, the frequency in radians per sample. */
    static double angle(double rate, double hz) {
        if (!(hz > 0 && hz < rate / 2)) throw new IllegalArgumentException(hz + " Hz is not inside 0 … half of " + rate + " Hz");
        return 2 * Math.PI * hz / rate;
    }

    /** The cookbook's A: the square root of the gain as a factor. */
    static double rootGain(double gainDb) {
        return StrictMath.pow(10, gainDb / 40);
    }

    private static double cos(double rate, double hz) {
        return StrictMath.cos(angle(rate, hz));
    }

    private static double alpha(double rate, double hz, double q) {
        if (!(q > 0)) throw new IllegalArgumentException("q must be positive: " + q);
        return StrictMath.sin(angle(rate, hz)) / (2 * q);
    }
}
