package linnet.dsp.filter;

import linnet.dsp.Cell;

/**
 * One biquad at work on one channel: transposed direct form II with its output put into its states, so that a state waits for the one before it and not
 * for the output made of that, one addition less; and with the gain b0 taken out, so that those of sections in one loop are one. The loops take up to
 * five sections at once: a single section still waits for its own feedback on every sample, and several interleaved in one loop fill each other's waits.
 */
final class Section {
    /** A gain nearer to nothing counts as this; an all-pass may have none. */
    private static final double LEAST = 1e-30;

    private final double gain, c1, c2, a1, a2;
    private double s1, s2;

    Section(Biquad c) {
        gain = Math.abs(c.b0()) < LEAST ? LEAST : c.b0();
        a1 = c.a1();
        a2 = c.a2();
        // Rounded once: for a frequency far below the rate these are small differences of numbers near one and two.
        c1 = Math.fma(-a1, gain, c.b1()) / gain;
        c2 = Math.fma(-a2, gain, c.b2()) / gain;
    }

    void settle() {
        s1 = Cell.settled(s1);
        s2 = Cell.settled(s2);
    }

    /** Whether it holds nothing; at the border of a cell. */
    boolean rests() {
        return s1 == 0 && s2 == 0;
    }

    // In each loop y = x + s1, then s1 = (c1 x + s2) - a1 s1, in this order: the sum in brackets does not wait for s1. And s2 = c2 x - a2 s1.

    static void run(double[] x, int n, Section p) {
        double c1 = p.c1, c2 = p.c2, a1 = p.a1, a2 = p.a2, s1 = p.s1, s2 = p.s2;
        double gain = p.gain;
        for (int i = 0; i < n; i++) {
            double v = x[i], y = v + s1, e = s1;
            s1 = (c1 * v + s2) - a1 * e;
            s2 = c2 * v - a2 * e;
            x[i] = gain * y;
        }
        p.s1 = s1;
        p.s2 = s2;
    }

    static void run(double[] x, int n, Section p, Section q) {
        double pc1 = p.c1, pc2 = p.c2, pa1 = p.a1, pa2 = p.a2, ps1 = p.s1, ps2 = p.s2;
        double qc1 = q.c1, qc2 = q.c2, qa1 = q.a1, qa2 = q.a2, qs1 = q.s1, qs2 = q.s2;
        double gain = p.gain * q.gain;
        for (int i = 0; i < n; i++) {
            double v = x[i], y = v + ps1, e = ps1;
            ps1 = (pc1 * v + ps2) - pa1 * e;
            ps2 = pc2 * v - pa2 * e;
            v = y;
            y = v + qs1;
            e = qs1;
            qs1 = (qc1 * v + qs2) - qa1 * e;
            qs2 = qc2 * v - qa2 * e;
            x[i] = gain * y;
        }
        p.s1 = ps1;
        p.s2 = ps2;
        q.s1 = qs1;
        q.s2 = qs2;
    }

    /** A stereo pair of two sections each; both channels have the same coefficients. */
    static void run(double[] l, double[] r, int n, Section p, Section q, Section rp, Section rq) {
        double pc1 = p.c1, pc2 = p.c2, pa1 = p.a1, pa2 = p.a2, ps1 = p.s1, ps2 = p.s2;
        double qc1 = q.c1, qc2 = q.c2, qa1 = q.a1, qa2 = q.a2, qs1 = q.s1, qs2 = q.s2;
        double rps1 = rp.s1, rps2 = rp.s2, rqs1 = rq.s1, rqs2 = rq.s2;
        double gain = p.gain * q.gain;
        for (int i = 0; i < n; i++) {
            double v = l[i], w = r[i], y = v + ps1, z = w + rps1, e = ps1, f = rps1;
            ps1 = (pc1 * v + ps2) - pa1 * e;
            rps1 = (pc1 * w + rps2) - pa1 * f;
            ps2 = pc2 * v - pa2 * e;
            rps2 = pc2 * w - pa2 * f;
            v = y;
            w = z;
            y = v + qs1;
            e = qs1;
            z = w + rqs1;
            f = rqs1;
            qs1 = (qc1 * v + qs2) - qa1 * e;
            rqs1 = (qc1 * w + rqs2) - qa1 * f;
            qs2 = qc2 * v - qa2 * e;
            rqs2 = qc2 * w - qa2 * f;
            l[i] = gain * y;
            r[i] = gain * z;
        }
        p.s1 = ps1;
        p.s2 = ps2;
        q.s1 = qs1;
        q.s2 = qs2;
        rp.s1 = rps1;
        rp.s2 = rps2;
        rq.s1 = rqs1;
        rq.s2 = rqs2;
    }

    static void run(double[] x, int n, Section p, Section q, Section r) {
        double pc1 = p.c1, pc2 = p.c2, pa1 = p.a1, pa2 = p.a2, ps1 = p.s1, ps2 = p.s2;
        double qc1 = q.c1, qc2 = q.c2, qa1 = q.a1, qa2 = q.a2, qs1 = q.s1, qs2 = q.s2;
        double rc1 = r.c1, rc2 = r.c2, ra1 = r.a1, ra2 = r.a2, rs1 = r.s1, rs2 = r.s2;
        double gain = p.gain * q.gain * r.gain;
        for (int i = 0; i < n; i++) {
            double v = x[i], y = v + ps1, e = ps1;
            ps1 = (pc1 * v + ps2) - pa1 * e;
            ps2 = pc2 * v - pa2 * e;
            v = y;
            y = v + qs1;
            e = qs1;
            qs1 = (qc1 * v + qs2) - qa1 * e;
            qs2 = qc2 * v - qa2 * e;
            v = y;
            y = v + rs1;
            e = rs1;
            rs1 = (rc1 * v + rs2) - ra1 * e;
            rs2 = rc2 * v - ra2 * e;
            x[i] = gain * y;
        }
        p.s1 = ps1;
        p.s2 = ps2;
        q.s1 = qs1;
        q.s2 = qs2;
        r.s1 = rs1;
        r.s2 = rs2;
    }

    static void run(double[] x, int n, Section p, Section q, Section r, Section t) {
        double pc1 = p.c1, pc2 = p.c2, pa1 = p.a1, pa2 = p.a2, ps1 = p.s1, ps2 = p.s2;
        double qc1 = q.c1, qc2 = q.c2, qa1 = q.a1, qa2 = q.a2, qs1 = q.s1, qs2 = q.s2;
        double rc1 = r.c1, rc2 = r.c2, ra1 = r.a1, ra2 = r.a2, rs1 = r.s1, rs2 = r.s2;
        double tc1 = t.c1, tc2 = t.c2, ta1 = t.a1, ta2 = t.a2, ts1 = t.s1, ts2 = t.s2;
        double gain = p.gain * q.gain * r.gain * t.gain;
        for (int i = 0; i < n; i++) {
            double v = x[i], y = v + ps1, e = ps1;
            ps1 = (pc1 * v + ps2) - pa1 * e;
            ps2 = pc2 * v - pa2 * e;
            v = y;
            y = v + qs1;
            e = qs1;
            qs1 = (qc1 * v + qs2) - qa1 * e;
            qs2 = qc2 * v - qa2 * e;
            v = y;
            y = v + rs1;
            e = rs1;
            rs1 = (rc1 * v + rs2) - ra1 * e;
            rs2 = rc2 * v - ra2 * e;
            v = y;
            y = v + ts1;
            e = ts1;
            ts1 = (tc1 * v + ts2) - ta1 * e;
            ts2 = tc2 * v - ta2 * e;
            x[i] = gain * y;
        }
        p.s1 = ps1;
        p.s2 = ps2;
        q.s1 = qs1;
        q.s2 = qs2;
        r.s1 = rs1;
        r.s2 = rs2;
        t.s1 = ts1;
        t.s2 = ts2;
    }

    static void run(double[] x, int n, Section p, Section q, Section r, Section t, Section u) {
        double pc1 = p.c1, pc2 = p.c2, pa1 = p.a1, pa2 = p.a2, ps1 = p.s1, ps2 = p.s2;
        double qc1 = q.c1, qc2 = q.c2, qa1 = q.a1, qa2 = q.a2, qs1 = q.s1, qs2 = q.s2;
        double rc1 = r.c1, rc2 = r.c2, ra1 = r.a1, ra2 = r.a2, rs1 = r.s1, rs2 = r.s2;
        double tc1 = t.c1, tc2 = t.c2, ta1 = t.a1, ta2 = t.a2, ts1 = t.s1, ts2 = t.s2;
        double uc1 = u.c1, uc2 = u.c2, ua1 = u.a1, ua2 = u.a2, us1 = u.s1, us2 = u.s2;
        double gain = p.gain * q.gain * r.gain * t.gain * u.gain;
        for (int i = 0; i < n; i++) {
            double v = x[i], y = v + ps1, e = ps1;
            ps1 = (pc1 * v + ps2) - pa1 * e;
            ps2 = pc2 * v - pa2 * e;
            v = y;
            y = v + qs1;
            e = qs1;
            qs1 = (qc1 * v + qs2) - qa1 * e;
            qs2 = qc2 * v - qa2 * e;
            v = y;
            y = v + rs1;
            e = rs1;
            rs1 = (rc1 * v + rs2) - ra1 * e;
            rs2 = rc2 * v - ra2 * e;
            v = y;
            y = v + ts1;
            e = ts1;
            ts1 = (tc1 * v + ts2) - ta1 * e;
            ts2 = tc2 * v - ta2 * e;
            v = y;
            y = v + us1;
            e = us1;
            us1 = (uc1 * v + us2) - ua1 * e;
            us2 = uc2 * v - ua2 * e;
            x[i] = gain * y;
        }
        p.s1 = ps1;
        p.s2 = ps2;
        q.s1 = qs1;
        q.s2 = qs2;
        r.s1 = rs1;
        r.s2 = rs2;
        t.s1 = ts1;
        t.s2 = ts2;
        u.s1 = us1;
        u.s2 = us2;
    }

    /** The same section on both channels: the second is nearly free. Both have the same coefficients. */
    static void run(double[] l, double[] r, int n, Section left, Section right) {
        double c1 = left.c1, c2 = left.c2, a1 = left.a1, a2 = left.a2;
        double l1 = left.s1, l2 = left.s2, r1 = right.s1, r2 = right.s2;
        double gain = left.gain;
        for (int i = 0; i < n; i++) {
            double v = l[i], w = r[i], y = v + l1, z = w + r1, e = l1, f = r1;
            l1 = (c1 * v + l2) - a1 * e;
            r1 = (c1 * w + r2) - a1 * f;
            l2 = c2 * v - a2 * e;
            r2 = c2 * w - a2 * f;
            l[i] = gain * y;
            r[i] = gain * z;
        }
        left.s1 = l1;
        left.s2 = l2;
        right.s1 = r1;
        right.s2 = r2;
    }
}
