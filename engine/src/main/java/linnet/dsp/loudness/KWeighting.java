package linnet.dsp.loudness;

import linnet.dsp.Cell;
import linnet.dsp.Decibels;
import linnet.dsp.Silence;

/**
 * The K-weighting of ITU-R BS.1770-5, Annex 1, for one channel: a shelf for the head, then a high-pass. The standard
 * tabulates 48 kHz only (tables 1 and 2, the same in BS.1770-4) and wants the same response at other rates. They come from the analogue
 * prototype behind that table by the bilinear transform, so that the corner of each section lies where it does at 48 kHz. The
 * numerator of the high-pass stays 1, -2, 1 at every rate, as common meters keep it.
 * <p>
 * What a gain is off by from that at 48 kHz, from 20 Hz to 0.45 of the rate: at most 0.51 dB at 8 kHz, 0.30 at 11.025, 0.16 at 16, 0.082 at 22.05, 0.032 at 32,
 * 0.0055 at 44.1, 0.026 at 88.2, 0.028 at 96, 0.040 at 176.4 and 0.041 at 192 kHz. A rate below 48 kHz reads too much, one above too little; half of it and
 * more is that numerator.
 */
final class KWeighting {
    // The bilinear transform backwards from the table of a section, b0 b1 b2 a1 a2 at 48 kHz:
    // k = tan(pi corner / 48 kHz) is the root of (1 + a1 + a2) / (1 - a1 + a2), k / q = 2 (1 - a2) / (1 - a1 + a2), and of the shelf high = (b0 - b1 + b2) / (1
    // - a1 + a2) and band k / q = 2 (b0 - b2) / (1 - a1 + a2). Forwards they give the table again, to its last digit.
    /** In Hz. */
    private static final double SHELF = 1681.974450955533, HIGH_PASS = 38.13547087602444;
    private static final double SHELF_Q = 0.7071752369554196, HIGH_PASS_Q = 0.5003270373238773;
    /** Gain of the shelf above its corner, in dB, and which power of it that at the corner comes by. */
    private static final double SHELF_DB = 3.999843853973347, BAND = 0.4996667741545416;

    private final double b0, b1, b2, a1, a2;
    private final double highPassA1, highPassA2;
    /** What the input of each section adds to its states, the output put into them: then none waits for an output. */
    private final double c1, c2, highPassC1, highPassC2;
    private double s1, s2, t1, t2;

    /** @param rate in Hz */
    KWeighting(double rate) {
        double k = StrictMath.tan(Math.PI * SHELF / rate);
        double q = SHELF_Q;
        double high = Decibels.gain(SHELF_DB);
        double band = StrictMath.pow(high, BAND);
        double a0 = 1 + k / q + k * k;
        b0 = (high + band * k / q + k * k) / a0;
        b1 = 2 * (k * k - high) / a0;
        b2 = (high - band * k / q + k * k) / a0;
        a1 = 2 * (k * k - 1) / a0;
        a2 = (1 - k / q + k * k) / a0;
        k = StrictMath.tan(Math.PI * HIGH_PASS / rate);
        q = HIGH_PASS_Q;
        a0 = 1 + k / q + k * k;
        highPassA1 = 2 * (k * k - 1) / a0;
        highPassA2 = (1 - k / q + k * k) / a0;
        c1 = Math.fma(-a1, b0, b1);
        c2 = Math.fma(-a2, b0, b2);
        highPassC1 = -2 - highPassA1;
        highPassC2 = 1 - highPassA2;
    }

    /** Shelf b0, b1, b2, a1, a2, then high-pass a1, a2, with a0 = 1: so that a test can hold them against the tables of ITU-R BS.1770. */
    double[] coefficients() {
        return new double[] {b0, b1, b2, a1, a2, highPassA1, highPassA2};
    }

    /**
     * {@code sum} plus the weighted squares of {@code x[from] … x[to - 1]}, added one by one in time order, so the bits do
     * not depend on how the sound is cut.
     */
    double addSquares(double[] x, int from, int to, double sum) {
        if (rests() && Silence.in(x, from, to - from)) return sum;
        double b0 = this.b0, c1 = this.c1, c2 = this.c2, a1 = this.a1, a2 = this.a2;
        double d1 = highPassC1, d2 = highPassC2, h1 = highPassA1, h2 = highPassA2;
        double s1 = this.s1, s2 = this.s2, t1 = this.t1, t2 = this.t2;
        for (int i = from; i < to; i++) {
            double in = x[i], shelved = b0 * in + s1, s = s1;
            s1 = (c1 * in + s2) - a1 * s;
            s2 = c2 * in - a2 * s;
            double y = shelved + t1, t = t1;
            t1 = (d1 * shelved + t2) - h1 * t;
            t2 = d2 * shelved - h2 * t;
            sum += y * y;
        }
        this.s1 = s1;
        this.s2 = s2;
        this.t1 = t1;
        this.t2 = t2;
        return sum;
    }

    /**
     * The same for a stereo pair, in one loop: each section waits for its own last output, so a second channel beside it costs
     * next to nothing.
     */
    static double addSquares(KWeighting left, KWeighting right, double[] l, double[] r, int from, int to, double sum) {
        if (left.rests() && right.rests() && Silence.in(l, from, to - from) && Silence.in(r, from, to - from)) return sum;
        double b0 = left.b0, c1 = left.c1, c2 = left.c2, a1 = left.a1, a2 = left.a2;
        double d1 = left.highPassC1, d2 = left.highPassC2, h1 = left.highPassA1, h2 = left.highPassA2;
        double s1 = left.s1, s2 = left.s2, t1 = left.t1, t2 = left.t2;
        double u1 = right.s1, u2 = right.s2, v1 = right.t1, v2 = right.t2;
        for (int i = from; i < to; i++) {
            double in = l[i], shelved = b0 * in + s1, s = s1;
            s1 = (c1 * in + s2) - a1 * s;
            s2 = c2 * in - a2 * s;
            double y = shelved + t1, t = t1;
            t1 = (d1 * shelved + t2) - h1 * t;
            t2 = d2 * shelved - h2 * t;
            in = r[i];
            shelved = b0 * in + u1;
            s = u1;
            u1 = (c1 * in + u2) - a1 * s;
            u2 = c2 * in - a2 * s;
            double z = shelved + v1;
            t = v1;
            v1 = (d1 * shelved + v2) - h1 * t;
            v2 = d2 * shelved - h2 * t;
            sum += y * y + z * z;
        }
        left.s1 = s1;
        left.s2 = s2;
        left.t1 = t1;
        left.t2 = t2;
        right.s1 = u1;
        right.s2 = u2;
        right.t1 = v1;
        right.t2 = v2;
        return sum;
    }

    private boolean rests() {
        return s1 == 0 && s2 == 0 && t1 == 0 && t2 == 0;
    }

    /** Zeroes states that have died away, see {@link Cell}. */
    void settle() {
        s1 = Cell.settled(s1);
        s2 = Cell.settled(s2);
        t1 = Cell.settled(t1);
        t2 = Cell.settled(t2);
    }
}
