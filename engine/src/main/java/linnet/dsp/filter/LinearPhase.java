package linnet.dsp.filter;

import linnet.dsp.resample.Kaiser;

/**
 * A low-pass that turns no phase: symmetric taps, a windowed sinc. It reads what comes after a sample as well as what came
 * before, so whoever uses it holds the signal back by its {@link #reach()}.
 *
 * <p>Source: design by the Kaiser window, A. Oppenheim, R. Schafer, "Discrete-Time Signal Processing".
 */
public final class LinearPhase {
    private final double rate;
    private final double[] taps; // from the middle outwards

    private LinearPhase(double rate, double[] taps) {
        this.rate = rate;
        this.taps = taps;
    }

    /**
     * A gain of 1 at 0 Hz and of -6 dB at {@code hz}.
     *
     * @param stopDb attenuation of the stop band, 50 or more
     * @param transitionHz from the pass band to the stop band; wider where {@code longest} does not suffice
     * @param longest most samples it may reach to either side
     */
    public static LinearPhase lowPass(double rate, double hz, double stopDb, double transitionHz, int longest) {
        int half = Math.min(longest, Kaiser.taps(stopDb, 2 * Math.PI * transitionHz / rate) / 2);
        double[] h = new double[half + 1];
        double beta = Kaiser.beta(stopDb), sum = 0;
        for (int k = 0; k <= half; k++) {
            h[k] = Kaiser.sinc(2 * hz / rate * k) * Kaiser.at((double) k / (half + 1), beta);
            sum += k == 0 ? h[k] : 2 * h[k];
        }
        for (int k = 0; k <= half; k++) h[k] /= sum;
        return new LinearPhase(rate, h);
    }

    /** Samples that it needs to either side. */
    public int reach() {
        return taps.length - 1;
    }

    /** Fills {@code y[i]} from the samples around {@code x[centre + i]}, for n samples. */
    public void process(double[] x, int centre, double[] y, int n) {
        fold(x, centre, taps, y, n);
    }

    /** Gain at that frequency as a factor; negative where it turns the sign. */
    public double gain(double hz) {
        double gain = taps[0];
        for (int k = 1; k < taps.length; k++) gain += 2 * taps[k] * StrictMath.cos(2 * Math.PI * hz / rate * k);
        return gain;
    }

    /**
     * Four outputs at a time share the taps and keep the adders busy; each is summed in the same order as a single one, so the
     * cut into blocks leaves no trace.
     */
    private static void fold(double[] x, int centre, double[] taps, double[] y, int n) {
        int i = 0;
        for (; i + 4 <= n; i += 4) {
            int at = centre + i;
            double h = taps[0], a = h * x[at], b = h * x[at + 1], c = h * x[at + 2], d = h * x[at + 3];
            for (int k = 1; k < taps.length; k++) {
                h = taps[k];
                int p = at - k, q = at + k;
                a += h * (x[p] + x[q]);
                b += h * (x[p + 1] + x[q + 1]);
                c += h * (x[p + 2] + x[q + 2]);
                d += h * (x[p + 3] + x[q + 3]);
            }
            y[i] = a;
            y[i + 1] = b;
            y[i + 2] = c;
            y[i + 3] = d;
        }
        for (; i < n; i++) {
            double a = taps[0] * x[centre + i];
            for (int k = 1; k < taps.length; k++) a += taps[k] * (x[centre + i - k] + x[centre + i + k]);
            y[i] = a;
        }
    }
}
