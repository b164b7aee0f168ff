package linnet.dsp.pitch;

import java.util.function.DoubleUnaryOperator;
import org.apache.commons.math3.analysis.interpolation.SplineInterpolator;
import org.apache.commons.math3.analysis.polynomials.PolynomialSplineFunction;

/**
 * A sung vowel of which pitch and formants are known at every sample: the harmonics of a pulse that falls by 12 dB/oct, lifted by
 * 6 dB/oct at the lips, each with the gain and phase that the resonators of D. Klatt (JASA 67(3), 1980) have at its frequency.
 */
record Vowel(double rate, double[] formants) {
    static final double[] WIDTH = {80, 90, 120, 130, 140};

    /** a, e, i, o, u of a low and a high voice, from the widely circulated table of sung formants. */
    static final double[][] LOW = {
        {650, 1080, 2650, 2900, 3250}, {400, 1700, 2600, 3200, 3580}, {290, 1870, 2800, 3250, 3540},
        {400, 800, 2600, 2800, 3000}, {350, 600, 2700, 2900, 3300}};
    static final double[][] HIGH = {
        {800, 1150, 2900, 3900, 4950}, {350, 2000, 2800, 3600, 4950}, {270, 2140, 2950, 3900, 4950},
        {450, 800, 2830, 3800, 4950}, {325, 700, 2700, 3800, 4950}};

    /** {@code seconds} of it, at a pitch in Hz for each second. */
    double[] sing(double seconds, DoubleUnaryOperator hz) {
        double[] x = new double[(int) (seconds * rate)];
        double turn = 0;
        int grid = 2048;
        double[][] gain = new double[2][grid + 1];
        for (int k = 0; k <= grid; k++) {
            double[] g = response(rate, formants, WIDTH, k * 10_000.0 / grid);
            gain[0][k] = g[0];
            gain[1][k] = g[1];
        }
        for (int i = 0; i < x.length; i++) {
            double f = hz.applyAsDouble(i / rate);
            turn += 2 * Math.PI * f / rate;
            // cos and sin of each harmonic by turning on from the last
            double c1 = Math.cos(turn), s1 = Math.sin(turn), c = 1, s = 0;
            for (int h = 1; h * f < 9_900; h++) {
                double t = c * c1 - s * s1;
                s = c * s1 + s * c1;
                c = t;
                double place = h * f * grid / 10_000;
                int k = (int) place;
                double re = gain[0][k] + (place - k) * (gain[0][k + 1] - gain[0][k]);
                double im = gain[1][k] + (place - k) * (gain[1][k + 1] - gain[1][k]);
                x[i] += (re * c - im * s) / h;
            }
        }
        double most = 0;
        for (double v : x) most = Math.max(most, Math.abs(v));
        for (int i = 0; i < x.length; i++) x[i] *= 0.5 / most;
        return x;
    }

    /**
     * The same vowel at another pitch, as far as its harmonics tell: every 5 ms a cubic spline through the levels of those that are sung, in dB and without
     * the tilt of the voice, gives those of the new ones. Only its spectrum is meant: the phases are all the
     * same. The pitch must not fall below where it begins.
     *
     * @param ratio of the new pitch to {@code hz}
     */
    double[] singThroughHarmonics(double seconds, DoubleUnaryOperator hz, double ratio) {
        double[] x = new double[(int) (seconds * rate)], level = new double[(int) (10_000 / (hz.applyAsDouble(0) * ratio)) + 2];
        double turn = 0;
        int harmonics = 0, grid = (int) (rate / 200);
        for (int i = 0; i < x.length; i++) {
            double f = hz.applyAsDouble(i / rate);
            if (i % grid == 0) {
                PolynomialSplineFunction curve = throughHarmonics(f);
                harmonics = (int) (9_900 / (f * ratio));
                for (int h = 1; h <= harmonics; h++) level[h] = Math.exp(curve.value(Math.min(h * f * ratio, 9_900))) / h;
            }
            turn += 2 * Math.PI * f * ratio / rate;
            double first = Math.cos(turn), before = 1, here = first;
            for (int h = 1; h <= harmonics; h++) {
                x[i] += level[h] * here;
                double next = 2 * first * here - before;
                before = here;
                here = next;
            }
        }
        return x;
    }

    private PolynomialSplineFunction throughHarmonics(double hz) {
        int n = (int) (9_900 / hz) + 2;
        double[] at = new double[n + 1], level = new double[n + 1];
        for (int h = 1; h <= n; h++) {
            double[] g = response(rate, formants, WIDTH, h * hz);
            at[h] = h * hz;
            level[h] = Math.log(Math.hypot(g[0], g[1]));
        }
        // Nothing is known below the first harmonic: a little less than there, going on as it came.
        level[0] = level[1] - (level[2] - level[1]) / 3;
        return new SplineInterpolator().interpolate(at, level);
    }

    /** Of all resonators, at a frequency: real and imaginary part. */
    static double[] response(double rate, double[] formants, double[] width, double hz) {
        double re = 1, im = 0;
        for (int f = 0; f < formants.length; f++) {
            double c = -Math.exp(-2 * Math.PI * width[f] / rate);
            double b = 2 * Math.exp(-Math.PI * width[f] / rate) * Math.cos(2 * Math.PI * formants[f] / rate), a = 1 - b - c;
            double w = 2 * Math.PI * hz / rate;
            double dr = 1 - b * Math.cos(w) - c * Math.cos(2 * w), di = b * Math.sin(w) + c * Math.sin(2 * w);
            double size = dr * dr + di * di;
            double r = a * dr / size, i = -a * di / size;
            double t = re * r - im * i;
            im = re * i + im * r;
            re = t;
        }
        return new double[] {re, im};
    }
}
