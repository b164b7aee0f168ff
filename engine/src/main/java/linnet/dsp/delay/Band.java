package linnet.dsp.delay;

import linnet.dsp.Cell;
import linnet.dsp.filter.Biquad;

/** A Butterworth high-pass and low-pass of 12 dB/oct on one or two channels, fused into one loop. Neither ever gains. */
final class Band {
    private static final Biquad OPEN = new Biquad(1, 1, 0, 0, 0, 0);

    private final double rate;
    private Biquad high = OPEN, low = OPEN;
    private double highHz, lowHz = Double.POSITIVE_INFINITY;
    private double h1, h2, l1, l2;     // states of the left or only channel
    private double rh1, rh2, rl1, rl2; // of the right one

    Band(double rate) {
        this.rate = rate;
    }

    /** Corners in Hz. 0 or less and 0.49 of the rate or more leave that side open, exactly. */
    void corners(double highPassHz, double lowPassHz) {
        if (highPassHz == highHz && lowPassHz == lowHz) return;
        highHz = highPassHz;
        lowHz = lowPassHz;
        high = highHz > 0 ? Biquad.highPass(rate, highHz, Biquad.BUTTERWORTH) : OPEN;
        low = lowHz < 0.49 * rate ? Biquad.lowPass(rate, lowHz, Biquad.BUTTERWORTH) : OPEN;
    }

    /** Group delay at that frequency, in samples. */
    double groupDelay(double hz) {
        return groupDelay(high, hz) + groupDelay(low, hz);
    }

    void process(double[] x, int n) {
        if (high == OPEN && low == OPEN) return;
        double hb0 = high.b0(), hb1 = high.b1(), hb2 = high.b2(), ha1 = high.a1(), ha2 = high.a2();
        double lb0 = low.b0(), lb1 = low.b1(), lb2 = low.b2(), la1 = low.a1(), la2 = low.a2();
        double s1 = h1, s2 = h2, t1 = l1, t2 = l2;
        for (int i = 0; i < n; i++) {
            double v = x[i], y = hb0 * v + s1;
            s1 = (hb1 * v + s2) - ha1 * y;
            s2 = hb2 * v - ha2 * y;
            double z = lb0 * y + t1;
            t1 = (lb1 * y + t2) - la1 * z;
            t2 = lb2 * y - la2 * z;
            x[i] = z;
        }
        h1 = s1;
        h2 = s2;
        l1 = t1;
        l2 = t2;
    }

    void process(double[] l, double[] r, int n) {
        if (high == OPEN && low == OPEN) return;
        double hb0 = high.b0(), hb1 = high.b1(), hb2 = high.b2(), ha1 = high.a1(), ha2 = high.a2();
        double lb0 = low.b0(), lb1 = low.b1(), lb2 = low.b2(), la1 = low.a1(), la2 = low.a2();
        double s1 = h1, s2 = h2, t1 = l1, t2 = l2, u1 = rh1, u2 = rh2, v1 = rl1, v2 = rl2;
        for (int i = 0; i < n; i++) {
            double a = l[i], y = hb0 * a + s1;
            s1 = (hb1 * a + s2) - ha1 * y;
            s2 = hb2 * a - ha2 * y;
            double z = lb0 * y + t1;
            t1 = (lb1 * y + t2) - la1 * z;
            t2 = lb2 * y - la2 * z;
            l[i] = z;
            double b = r[i], q = hb0 * b + u1;
            u1 = (hb1 * b + u2) - ha1 * q;
            u2 = hb2 * b - ha2 * q;
            double p = lb0 * q + v1;
            v1 = (lb1 * q + v2) - la1 * p;
            v2 = lb2 * q - la2 * p;
            r[i] = p;
        }
        h1 = s1;
        h2 = s2;
        l1 = t1;
        l2 = t2;
        rh1 = u1;
        rh2 = u2;
        rl1 = v1;
        rl2 = v2;
    }

    void settle() {
        h1 = Cell.settled(h1);
        h2 = Cell.settled(h2);
        l1 = Cell.settled(l1);
        l2 = Cell.settled(l2);
        rh1 = Cell.settled(rh1);
        rh2 = Cell.settled(rh2);
        rl1 = Cell.settled(rl1);
        rl2 = Cell.settled(rl2);
    }

    private static double groupDelay(Biquad b, double hz) {
        double step = hz / 1000; // small enough that the phase is straight across it
        double turn = b.response(hz - step).phase() - b.response(hz + step).phase();
        return StrictMath.IEEEremainder(turn, 2 * Math.PI) * b.rate() / (4 * Math.PI * step);
    }
}
