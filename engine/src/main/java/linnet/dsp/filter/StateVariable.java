package linnet.dsp.filter;

import linnet.dsp.Cell;

/**
 * The state-variable filter, integrated by the trapezoidal rule: for moving settings. At rest it equals the
 * {@link Biquad} of the same shape, but it is two integrators, whose charge keeps its meaning while the settings change, and
 * so stays finite and free of jumps however fast they move.
 *
 * <p>Moves run sample by sample, in equal ratios of frequency, damping and gain: an octave or a dB takes as long anywhere.
 * In place, mono or stereo (one or the other throughout its life), blocks of 1 … {@link Cell#LENGTH} samples.
 *
 * <p>Sources: V. Zavalishin, "The Art of VA Filter Design" (2018); A. Simper, technical papers on the linear trapezoidal
 * state-variable filter (2011-2013).
 */
public final class StateVariable {
    /** The widest moves of one cell, as logarithms: two octaves of frequency or damping, 6 dB of gain (half of it in A). */
    private static final double WIDEST = 2 * StrictMath.log(2), WIDEST_GAIN = 3 * StrictMath.log(10) / 20;

    private final double rate;
    private final Shape shape;
    /** Integrator gain, damping, square root of the gain: now, at the end of the move, and for each sample of it. */
    private double g, k, a, toG, toK, toA, stepG = 1, stepK = 1, stepA = 1;
    private boolean moving;
    /** The constants of the settings at rest. */
    private double a1, a2, a3, m0, m1, m2;
    private final Charge left = new Charge(), right = new Charge();

    /** As {@link #moveTo}, at once. */
    public StateVariable(double rate, Shape shape, double hz, double q, double gainDb) {
        this.rate = rate;
        this.shape = shape;
        aim(hz, q, gainDb);
        arrive();
    }

    /**
     * Moves towards these settings over the cell that begins now; to be called before the first sample of every cell. A move
     * arrives at the end of that cell, unless it is so wide that it could be heard as a step; then it takes a few.
     *
     * @param hz strictly between 0 and half the rate
     * @param q positive; not used by the first-order shapes
     * @param gainDb used by bell and shelves only
     */
    public void moveTo(double hz, double q, double gainDb) {
        aim(hz, q, gainDb);
        moving = toG != g || toK != k || toA != a;
        if (!moving) return;
        double wide = Math.max(Math.abs(StrictMath.log(toA / a)) / WIDEST_GAIN,
                Math.max(Math.abs(StrictMath.log(toG / g)), Math.abs(StrictMath.log(toK / k))) / WIDEST);
        if (wide > 1) {
            double share = 1 / Math.ceil(wide);
            toG = g * StrictMath.pow(toG / g, share);
            toK = k * StrictMath.pow(toK / k, share);
            toA = a * StrictMath.pow(toA / a, share);
        }
        stepG = StrictMath.pow(toG / g, 1.0 / Cell.LENGTH);
        stepK = StrictMath.pow(toK / k, 1.0 / Cell.LENGTH);
        stepA = StrictMath.pow(toA / a, 1.0 / Cell.LENGTH);
    }

    private void aim(double hz, double q, double gainDb) {
        if (!(q > 0)) throw new IllegalArgumentException("q must be positive: " + q);
        toG = StrictMath.tan(Biquad.angle(rate, hz) / 2);
        toK = shape.isFirstOrder() ? 2 : 1 / q;
        toA = shape.hasGain() ? Biquad.rootGain(gainDb) : 1;
        switch (shape) {
            case BELL -> toK /= toA;
            case LOW_SHELF -> toG /= StrictMath.sqrt(toA);
            case HIGH_SHELF -> toG *= StrictMath.sqrt(toA);
            default -> { }
        }
    }

    private void arrive() {
        moving = false;
        g = toG;
        k = toK;
        a = toA;
        a1 = 1 / (1 + g * (g + k));
        a2 = g * a1;
        a3 = g * a2;
        m0 = shape.c0 + shape.d0 * a * a;
        m1 = k * (shape.c1 + shape.d1 * a + shape.e1 * a * a);
        m2 = shape.c2 + shape.d2 * a * a;
    }

    /** Mono, in place, from index 0. */
    public void process(double[] x, int n) {
        if (moving) move(x, n, left);
        else rest(x, n, left);
    }

    /** Stereo, in place, from index 0. */
    public void process(double[] l, double[] r, int n) {
        if (!moving) {
            rest(l, r, n);
            return;
        }
        double startG = g, startK = k, startA = a;
        move(l, n, left);
        g = startG;
        k = startK;
        a = startA;
        move(r, n, right);
    }

    private void rest(double[] x, int n, Charge charge) {
        double a1 = this.a1, a2 = this.a2, a3 = this.a3, m0 = this.m0, m1 = this.m1, m2 = this.m2;
        double e1 = charge.e1, e2 = charge.e2;
        for (int i = 0; i < n; i++) {
            double v0 = x[i], v3 = v0 - e2;
            double v1 = a1 * e1 + a2 * v3;
            double v2 = (e2 + a2 * e1) + a3 * v3;
            e1 = 2 * v1 - e1;
            e2 = 2 * v2 - e2;
            x[i] = m0 * v0 + m1 * v1 + m2 * v2;
        }
        charge.e1 = e1;
        charge.e2 = e2;
    }

    /** Both in one loop: while one waits for its charge, the other goes on. */
    private void rest(double[] l, double[] r, int n) {
        double a1 = this.a1, a2 = this.a2, a3 = this.a3, m0 = this.m0, m1 = this.m1, m2 = this.m2;
        double l1 = left.e1, l2 = left.e2, r1 = right.e1, r2 = right.e2;
        for (int i = 0; i < n; i++) {
            double v0 = l[i], v3 = v0 - l2;
            double v1 = a1 * l1 + a2 * v3;
            double v2 = (l2 + a2 * l1) + a3 * v3;
            l1 = 2 * v1 - l1;
            l2 = 2 * v2 - l2;
            l[i] = m0 * v0 + m1 * v1 + m2 * v2;
            double w0 = r[i], w3 = w0 - r2;
            double w1 = a1 * r1 + a2 * w3;
            double w2 = (r2 + a2 * r1) + a3 * w3;
            r1 = 2 * w1 - r1;
            r2 = 2 * w2 - r2;
            r[i] = m0 * w0 + m1 * w1 + m2 * w2;
        }
        left.e1 = l1;
        left.e2 = l2;
        right.e1 = r1;
        right.e2 = r2;
    }

    private void move(double[] x, int n, Charge charge) {
        double c0 = shape.c0, d0 = shape.d0, c1 = shape.c1, d1 = shape.d1, f1 = shape.e1, c2 = shape.c2, d2 = shape.d2;
        double g = this.g, k = this.k, a = this.a, stepG = this.stepG, stepK = this.stepK, stepA = this.stepA;
        double e1 = charge.e1, e2 = charge.e2;
        for (int i = 0; i < n; i++) {
            g *= stepG;
            k *= stepK;
            a *= stepA;
            double a1 = 1 / (1 + g * (g + k)), a2 = g * a1, a3 = g * a2, square = a * a;
            double v0 = x[i], v3 = v0 - e2;
            double v1 = a1 * e1 + a2 * v3;
            double v2 = (e2 + a2 * e1) + a3 * v3;
            e1 = 2 * v1 - e1;
            e2 = 2 * v2 - e2;
            x[i] = (c0 + d0 * square) * v0 + k * (c1 + d1 * a + f1 * square) * v1 + (c2 + d2 * square) * v2;
        }
        this.g = g;
        this.k = k;
        this.a = a;
        charge.e1 = e1;
        charge.e2 = e2;
    }

    /** To be called at the end of each cell: a move has arrived. */
    public void settle() {
        if (moving) arrive();
        left.settle();
        right.settle();
    }

    /** Whether silence leaves it as silence, wherever its settings move; at the border of a cell. */
    public boolean rests() {
        return left.isEmpty() && right.isEmpty();
    }

    /** Of the settings at rest, or of those at the end of the cell that a move runs through. */
    public Response response(double hz) {
        // v1 = s/(s² + k s + 1) and v2 = 1/(s² + k s + 1), with s = j x by the bilinear transform.
        double x = StrictMath.tan(Math.PI * hz / rate) / toG, square = toA * toA;
        double re = 1 - x * x, im = toK * x, size = re * re + im * im;
        double p = toK * (shape.c1 + shape.d1 * toA + shape.e1 * square) * x, q = shape.c2 + shape.d2 * square;
        return new Response(shape.c0 + shape.d0 * square + (q * re + p * im) / size, (p * re - q * im) / size);
    }

    /** Gain in dB at that frequency. */
    public double responseDb(double hz) {
        return response(hz).db();
    }

    /** What the two integrators of a channel hold. */
    private static final class Charge {
        private double e1, e2;

        private void settle() {
            e1 = Cell.settled(e1);
            e2 = Cell.settled(e2);
        }

        private boolean isEmpty() {
            return e1 == 0 && e2 == 0;
        }
    }
}
