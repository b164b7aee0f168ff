package linnet.dsp.filter;

import linnet.dsp.Cell;

/**
 * One biquad at work on one channel, in transposed direct form II. The loops take up to five sections at once: a single
 * section waits for its own feedback on every sample, and several interleaved in one loop fill each other's waits. They
 * give the same bits as one after the other.
 */
final class Section {
    private final double b0, b1, b2, a1, a2;
    private double s1, s2;

    Section(Biquad c) {
        b0 = c.b0();
        b1 = c.b1();
        b2 = c.b2();
        a1 = c.a1();
        a2 = c.a2();
    }

    void settle() {
        s1 = Cell.settled(s1);
        s2 = Cell.settled(s2);
    }

    /** Whether it holds nothing; at the border of a cell. */
    boolean rests() {
        return s1 == 0 && s2 == 0;
    }

    // In each loop (b1 x + s2) - a1 y, in this order: the sum in brackets does not wait for y.

    static void run(double[] x, int n, Section p) {
        double b0 = p.b0, b1 = p.b1, b2 = p.b2, a1 = p.a1, a2 = p.a2, s1 = p.s1, s2 = p.s2;
        for (int i = 0; i < n; i++) {
            double v = x[i], y = b0 * v + s1;
            s1 = (b1 * v + s2) - a1 * y;
            s2 = b2 * v - a2 * y;
            x[i] = y;
        }
        p.s1 = s1;
        p.s2 = s2;
    }

    static void run(double[] x, int n, Section p, Section q) {
        double pb0 = p.b0, pb1 = p.b1, pb2 = p.b2, pa1 = p.a1, pa2 = p.a2, ps1 = p.s1, ps2 = p.s2;
        double qb0 = q.b0, qb1 = q.b1, qb2 = q.b2, qa1 = q.a1, qa2 = q.a2, qs1 = q.s1, qs2 = q.s2;
        for (int i = 0; i < n; i++) {
            double v = x[i], y = pb0 * v + ps1;
            ps1 = (pb1 * v + ps2) - pa1 * y;
            ps2 = pb2 * v - pa2 * y;
            v = y;
            y = qb0 * v + qs1;
            qs1 = (qb1 * v + qs2) - qa1 * y;
            qs2 = qb2 * v - qa2 * y;
            x[i] = y;
        }
        p.s1 = ps1;
        p.s2 = ps2;
        q.s1 = qs1;
        q.s2 = qs2;
    }

    /** A stereo pair of two sections each; both channels have the same coefficients. */
    static void run(double[] l, double[] r, int n, Section p, Section q, Section rp, Section rq) {
        double pb0 = p.b0, pb1 = p.b1, pb2 = p.b2, pa1 = p.a1, pa2 = p.a2, ps1 = p.s1, ps2 = p.s2;
        double qb0 = q.b0, qb1 = q.b1, qb2 = q.b2, qa1 = q.a1, qa2 = q.a2, qs1 = q.s1, qs2 = q.s2;
        double rps1 = rp.s1, rps2 = rp.s2, rqs1 = rq.s1, rqs2 = rq.s2;
        for (int i = 0; i < n; i++) {
            double v = l[i], w = r[i], y = pb0 * v + ps1, z = pb0 * w + rps1;
            ps1 = (pb1 * v + ps2) - pa1 * y;
            rps1 = (pb1 * w + rps2) - pa1 * z;
            ps2 = pb2 * v - pa2 * y;
            rps2 = pb2 * w - pa2 * z;
            v = y;
            w = z;
            y = qb0 * v + qs1;
            z = qb0 * w + rqs1;
            qs1 = (qb1 * v + qs2) - qa1 * y;
            rqs1 = (qb1 * w + rqs2) - qa1 * z;
            qs2 = qb2 * v - qa2 * y;
            rqs2 = qb2 * w - qa2 * z;
            l[i] = y;
            r[i] = z;
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
        double pb0 = p.b0, pb1 = p.b1, pb2 = p.b2, pa1 = p.a1, pa2 = p.a2, ps1 = p.s1, ps2 = p.s2;
        double qb0 = q.b0, qb1 = q.b1, qb2 = q.b2, qa1 = q.a1, qa2 = q.a2, qs1 = q.s1, qs2 = q.s2;
        double rb0 = r.b0, rb1 = r.b1, rb2 = r.b2, ra1 = r.a1, ra2 = r.a2, rs1 = r.s1, rs2 = r.s2;
        for (int i = 0; i < n; i++) {
            double v = x[i], y = pb0 * v + ps1;
            ps1 = (pb1 * v + ps2) - pa1 * y;
            ps2 = pb2 * v - pa2 * y;
            v = y;
            y = qb0 * v + qs1;
            qs1 = (qb1 * v + qs2) - qa1 * y;
            qs2 = qb2 * v - qa2 * y;
            v = y;
            y = rb0 * v + rs1;
            rs1 = (rb1 * v + rs2) - ra1 * y;
            rs2 = rb2 * v - ra2 * y;
            x[i] = y;
        }
        p.s1 = ps1;
        p.s2 = ps2;
        q.s1 = qs1;
        q.s2 = qs2;
        r.s1 = rs1;
        r.s2 = rs2;
    }

    static void run(double[] x, int n, Section p, Section q, Section r, Section t) {
        double pb0 = p.b0, pb1 = p.b1, pb2 = p.b2, pa1 = p.a1, pa2 = p.a2, ps1 = p.s1, ps2 = p.s2;
        double qb0 = q.b0, qb1 = q.b1, qb2 = q.b2, qa1 = q.a1, qa2 = q.a2, qs1 = q.s1, qs2 = q.s2;
        double rb0 = r.b0, rb1 = r.b1, rb2 = r.b2, ra1 = r.a1, ra2 = r.a2, rs1 = r.s1, rs2 = r.s2;
        double tb0 = t.b0, tb1 = t.b1, tb2 = t.b2, ta1 = t.a1, ta2 = t.a2, ts1 = t.s1, ts2 = t.s2;
        for (int i = 0; i < n; i++) {
            double v = x[i], y = pb0 * v + ps1;
            ps1 = (pb1 * v + ps2) - pa1 * y;
            ps2 = pb2 * v - pa2 * y;
            v = y;
            y = qb0 * v + qs1;
            qs1 = (qb1 * v + qs2) - qa1 * y;
            qs2 = qb2 * v - qa2 * y;
            v = y;
            y = rb0 * v + rs1;
            rs1 = (rb1 * v + rs2) - ra1 * y;
            rs2 = rb2 * v - ra2 * y;
            v = y;
            y = tb0 * v + ts1;
            ts1 = (tb1 * v + ts2) - ta1 * y;
            ts2 = tb2 * v - ta2 * y;
            x[i] = y;
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
        double pb0 = p.b0, pb1 = p.b1, pb2 = p.b2, pa1 = p.a1, pa2 = p.a2, ps1 = p.s1, ps2 = p.s2;
        double qb0 = q.b0, qb1 = q.b1, qb2 = q.b2, qa1 = q.a1, qa2 = q.a2, qs1 = q.s1, qs2 = q.s2;
        double rb0 = r.b0, rb1 = r.b1, rb2 = r.b2, ra1 = r.a1, ra2 = r.a2, rs1 = r.s1, rs2 = r.s2;
        double tb0 = t.b0, tb1 = t.b1, tb2 = t.b2, ta1 = t.a1, ta2 = t.a2, ts1 = t.s1, ts2 = t.s2;
        double ub0 = u.b0, ub1 = u.b1, ub2 = u.b2, ua1 = u.a1, ua2 = u.a2, us1 = u.s1, us2 = u.s2;
        for (int i = 0; i < n; i++) {
            double v = x[i], y = pb0 * v + ps1;
            ps1 = (pb1 * v + ps2) - pa1 * y;
            ps2 = pb2 * v - pa2 * y;
            v = y;
            y = qb0 * v + qs1;
            qs1 = (qb1 * v + qs2) - qa1 * y;
            qs2 = qb2 * v - qa2 * y;
            v = y;
            y = rb0 * v + rs1;
            rs1 = (rb1 * v + rs2) - ra1 * y;
            rs2 = rb2 * v - ra2 * y;
            v = y;
            y = tb0 * v + ts1;
            ts1 = (tb1 * v + ts2) - ta1 * y;
            ts2 = tb2 * v - ta2 * y;
            v = y;
            y = ub0 * v + us1;
            us1 = (ub1 * v + us2) - ua1 * y;
            us2 = ub2 * v - ua2 * y;
            x[i] = y;
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
        double b0 = left.b0, b1 = left.b1, b2 = left.b2, a1 = left.a1, a2 = left.a2;
        double l1 = left.s1, l2 = left.s2, r1 = right.s1, r2 = right.s2;
        for (int i = 0; i < n; i++) {
            double v = l[i], w = r[i], y = b0 * v + l1, z = b0 * w + r1;
            l1 = (b1 * v + l2) - a1 * y;
            r1 = (b1 * w + r2) - a1 * z;
            l2 = b2 * v - a2 * y;
            r2 = b2 * w - a2 * z;
            l[i] = y;
            r[i] = z;
        }
        left.s1 = l1;
        left.s2 = l2;
        right.s1 = r1;
        right.s2 = r2;
    }
}
