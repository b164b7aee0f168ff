package linnet.dsp.resample;

/**
 * The Kaiser window: the one number beta trades the width of the transition against the depth of the stop band.
 *
 * <p>Source: J. Kaiser 1974; A. Oppenheim, R. Schafer, "Discrete-Time Signal Processing", section on the Kaiser window.
 */
public final class Kaiser {
    private Kaiser() {}

    /** The beta for a stop band so many dB down, 50 or more. */
    public static double beta(double attenuationDb) {
        return 0.1102 * (attenuationDb - 8.7);
    }

    /** Taps for that stop band and a transition so many radians per sample wide. */
    public static int taps(double attenuationDb, double transition) {
        return (int) Math.ceil((attenuationDb - 7.95) / (2.285 * transition)) + 1;
    }

    /** The window at x from -1 (one end) over 0 (the middle, where it is 1) to 1. */
    public static double at(double x, double beta) {
        return bessel(beta * Math.sqrt(Math.max(0, 1 - x * x))) / bessel(beta);
    }

    /** I0, the modified Bessel function of the first kind and order 0, by its power series. */
    static double bessel(double x) {
        double sum = 1, term = 1;
        for (int k = 1; term > sum * 1e-17; k++) {
            term *= x / (2 * k) * (x / (2 * k));
            sum += term;
        }
        return sum;
    }

    /** sin(pi x) / (pi x). */
    public static double sinc(double x) {
        return x == 0 ? 1 : StrictMath.sin(Math.PI * x) / (Math.PI * x);
    }
}
