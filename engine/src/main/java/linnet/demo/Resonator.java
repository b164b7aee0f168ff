package linnet.demo;

/**
 * One formant: the two-pole resonator of D. Klatt, "Software for a cascade/parallel formant synthesizer", JASA 67(3), 1980,
 * with unity gain at 0 Hz; or, turned over, its anti-resonator, a dip of the same shape. A new tuning is reached in even
 * steps over the next span, so that a moving formant makes no steps of its own.
 */
final class Resonator {
    private final double period;
    private double b;
    private double c;
    private double nextB;
    private double nextC;
    private double z1;
    private double z2;

    Resonator(double rate, double hz, double bandwidthHz) {
        period = 1 / rate;
        tune(hz, bandwidthHz);
        b = nextB;
        c = nextC;
    }

    /** Where the next span shall end. */
    Resonator tune(double hz, double bandwidthHz) {
        double r = StrictMath.exp(-StrictMath.PI * bandwidthHz * period);
        nextC = -r * r;
        nextB = 2 * r * StrictMath.cos(2 * StrictMath.PI * hz * period);
        return this;
    }

    /** y = A x + B y1 + C y2 in place, from {@code from} to before {@code to}. */
    void resonate(double[] x, int from, int to) {
        double db = (nextB - b) / (to - from);
        double dc = (nextC - c) / (to - from);
        double b = this.b;
        double c = this.c;
        double z1 = this.z1;
        double z2 = this.z2;
        for (int i = from; i < to; i++) {
            b += db;
            c += dc;
            double y = (1 - b - c) * x[i] + b * z1 + c * z2;
            z2 = z1;
            z1 = y;
            x[i] = y;
        }
        keep(b, c, z1, z2);
    }

    /** y = (x - B x1 - C x2) / A: what {@link #resonate} would need as input to give x. */
    void antiresonate(double[] x, int from, int to) {
        double db = (nextB - b) / (to - from);
        double dc = (nextC - c) / (to - from);
        double b = this.b;
        double c = this.c;
        double z1 = this.z1;
        double z2 = this.z2;
        for (int i = from; i < to; i++) {
            b += db;
            c += dc;
            double y = (x[i] - b * z1 - c * z2) / (1 - b - c);
            z2 = z1;
            z1 = x[i];
            x[i] = y;
        }
        keep(b, c, z1, z2);
    }

    private void keep(double b, double c, double z1, double z2) {
        this.b = b;
        this.c = c;
        this.z1 = z1;
        this.z2 = z2;
    }
}
