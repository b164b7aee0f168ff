package linnet.dsp.filter;

/**
 * What a {@link StateVariable} filter does, as the mix of its input v0, band-pass v1 and low-pass v2:
 * {@code m0 v0 + m1 v1 + m2 v2}. With A the square root of the gain and k the damping, m0 and m2 are {@code c + d A²} and
 * m1 is {@code k (c + d A + e A²)}; the constants below are c, d (and e) of m0, m1 and m2.
 */
public enum Shape {
    BELL(1, 0, -1, 0, 1, 0, 0),
    LOW_SHELF(1, 0, -1, 1, 0, -1, 1),
    HIGH_SHELF(0, 1, 0, 1, -1, 1, -1),
    LOW_PASS(0, 0, 0, 0, 0, 1, 0),
    HIGH_PASS(1, 0, -1, 0, 0, -1, 0),
    /** 0 dB at its frequency. */
    BAND_PASS(0, 0, 1, 0, 0, 0, 0),
    NOTCH(1, 0, -1, 0, 0, 0, 0),
    ALL_PASS(1, 0, -2, 0, 0, 0, 0),
    /** First order: at k = 2 the poles coincide, and the zero of (s + 1)/(s + 1)² takes one of them away. */
    ONE_POLE_LOW_PASS(0, 0, 0.5, 0, 0, 1, 0),
    /** First order: s (s + 1)/(s + 1)² at k = 2. */
    ONE_POLE_HIGH_PASS(1, 0, -0.5, 0, 0, -1, 0);

    final double c0, d0, c1, d1, e1, c2, d2;

    Shape(double c0, double d0, double c1, double d1, double e1, double c2, double d2) {
        this.c0 = c0;
        this.d0 = d0;
        this.c1 = c1;
        this.d1 = d1;
        this.e1 = e1;
        this.c2 = c2;
        this.d2 = d2;
    }

    /** True if the shape has a gain of its own. */
    public boolean hasGain() {
        return this == BELL || this == LOW_SHELF || this == HIGH_SHELF;
    }

    /** True for the shapes of first order, which have no q. */
    public boolean isFirstOrder() {
        return this == ONE_POLE_LOW_PASS || this == ONE_POLE_HIGH_PASS;
    }
}
