package linnet.dsp;

/**
 * Elementary functions for hot loops: own polynomials, so they give the same bits on every machine, and the forms over an
 * array vectorise. Each error bound is tested. Each rises with its input, but for four units in the last place. No finite or
 * infinite input gives NaN. Coefficients: {@code reference-vectors/approximation/fit.py}.
 */
public final class Approximation {
    /** 20 log10(2): decibels in one doubling of amplitude. */
    public static final double DB_PER_OCTAVE = 6.020599913279624;

    /** Gains are held inside ± this many decibels. */
    public static final double MOST_DB = 190;

    private static final long ROOT_HALF = Double.doubleToRawLongBits(Math.sqrt(0.5));
    private static final long MAGNITUDE = Long.MAX_VALUE;
    private static final double LOG2_E = 1.4426950408889634;

    private Approximation() {}

    /**
     * Base-2 logarithm of |x|, within 1.4e-9. Zero reads -1023, a denormal between -1023 and -1022, infinity 1024.
     */
    public static double log2(double x) {
        long bits = Double.doubleToRawLongBits(x) & MAGNITUDE;
        long exponent = bits - ROOT_HALF >> 52; // leaves a mantissa from sqrt(1/2) to sqrt(2)
        return exponent + log2OfOnePlus(Double.longBitsToDouble(bits - (exponent << 52)) - 1);
    }

    /**
     * Level of each sample: {@code db[i] = 20 log10 |x[i]|}, within 9e-9 dB. Silence reads about -6159 dB. Both
     * may be the same array.
     *
     * @param mantissa scratch of at least n
     */
    public static void decibels(double[] x, double[] db, double[] mantissa, int n) {
        for (int i = 0; i < n; i++) { // bit tricks do not vectorise: nothing else in this pass
            long bits = Double.doubleToRawLongBits(x[i]) & MAGNITUDE;
            long exponent = bits - ROOT_HALF >> 52;
            db[i] = exponent;
            mantissa[i] = Double.longBitsToDouble(bits - (exponent << 52));
        }
        for (int i = 0; i < n; i++) db[i] = DB_PER_OCTAVE * (db[i] + log2OfOnePlus(mantissa[i] - 1));
    }

    /**
     * Gain for each level: {@code gain[i] = 10^(db[i] / 20)}, relative error below 4e-9 (4e-8 dB); exactly 1 at 0 dB. Held
     * inside ±{@link #MOST_DB}. Both may be the same array.
     */
    public static void gains(double[] db, double[] gain, int n) {
        for (int i = 0; i < n; i++) {
            double held = Math.max(-MOST_DB, Math.min(MOST_DB, db[i]));
            double g = 1 + exp2LessOne(held * (1 / (64 * DB_PER_OCTAVE)));
            g *= g;
            g *= g;
            g *= g;
            g *= g;
            g *= g;
            gain[i] = g * g;
        }
    }

    /** One gain: the same bits as {@link #gains(double[], double[], int)}. */
    public static double gain(double db) {
        double held = Math.max(-MOST_DB, Math.min(MOST_DB, db));
        double g = 1 + exp2LessOne(held * (1 / (64 * DB_PER_OCTAVE)));
        for (int k = 0; k < 6; k++) g *= g;
        return g;
    }

    /** Hyperbolic tangent, within 1e-9 and to the same part of itself down to |x| = 1e-150; odd to the last bit. */
    public static double tanh(double x) {
        double held = Math.max(-19, Math.min(19, x)); // tanh 19 rounds to 1
        double size = Math.abs(held);
        double e = exp2LessOne(size * (LOG2_E / 64)); // of 2 size / 128: seven doublings give e^(2 size) - 1
        e *= 2 + e;
        e *= 2 + e;
        e *= 2 + e;
        e *= 2 + e;
        e *= 2 + e;
        e *= 2 + e;
        e *= 2 + e;
        return held * e / ((2 + e) * (size + Double.MIN_NORMAL)); // the last term only keeps 0 / 0 away
    }

    /** log2(1 + u) for 1 + u from sqrt(1/2) to sqrt(2). Ten terms: with one more the loop is too long to be vectorised. */
    private static double log2OfOnePlus(double u) {
        double u2 = u * u;
        double u4 = u2 * u2;
        double low = 1.4426950396260518 - u * 0.7213471268924491 + u2 * (0.4808983609834557 - u * 0.36071140544523295);
        double mid = 0.2885711546482534 - u * 0.23933020729974802 + u2 * (0.2043845608427551 - u * 0.19293725188757366);
        double high = 0.18807654169491259 - u * 0.10801235127107324;
        return u * (low + u4 * (mid + u4 * high));
    }

    /** 2^r - 1 for |r| up to 1/2. */
    private static double exp2LessOne(double r) {
        double r2 = r * r;
        double low = 0.6931471807045375 + r * 0.24022651066567688 + r2 * (0.055504103659779105 + r * 0.009618038131294629);
        double high = 0.001333393506442234 + r * 0.00015466756524195444 + r2 * 1.5196154867114089e-05;
        return r * (low + r2 * r2 * high);
    }
}
