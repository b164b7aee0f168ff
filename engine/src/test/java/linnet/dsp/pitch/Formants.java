package linnet.dsp.pitch;

import linnet.dsp.Samples;
import linnet.dsp.resample.Resampled;

/**
 * Where the spectral envelope of a vowel has its peaks: linear prediction of order 14 at 12 kHz (J. Makhoul, Proceedings of the
 * IEEE 63(4), 1975) from the mean autocorrelation of frames of 40 ms, pre-emphasised. Sung at one pitch an envelope
 * is drawn towards the strongest harmonics, by 10 % and more; sung in a glide the harmonics pass over all of it.
 */
final class Formants {
    private static final int RATE = 12_000, ORDER = 14, FRAME = 480, STEP = 5;

    private Formants() {}

    /** The lowest three, in Hz, without the first and last 0.1 s. */
    static double[] of(double[] x, double rate) {
        Resampled slow = new Resampled(new Samples(rate, x), RATE);
        double[][] y = new double[1][(int) slow.frames()];
        slow.read(0, y, y[0].length);
        double[] r = new double[ORDER + 1];
        double[] frame = new double[FRAME];
        for (int at = RATE / 10; at + FRAME < y[0].length - RATE / 10; at += FRAME / 4) {
            double energy = 1e-12;
            for (int i = 0; i < FRAME; i++) {
                frame[i] = (y[0][at + i] - 0.9 * y[0][at + i - 1]) * (0.54 - 0.46 * Math.cos(2 * Math.PI * i / (FRAME - 1)));
                energy += frame[i] * frame[i];
            }
            for (int k = 0; k <= ORDER; k++) for (int i = k; i < FRAME; i++) r[k] += frame[i] * frame[i - k];
        }
        double[] a = predictor(r);
        double[] peaks = new double[3];
        int found = 0;
        double before = level(a, 100), here = level(a, 100 + STEP);
        for (int hz = 100 + STEP; hz < RATE / 2 && found < 3; hz += STEP) {
            double after = level(a, hz + STEP);
            if (here > before && here >= after) peaks[found++] = hz + STEP * (before - after) / (2 * (before - 2 * here + after));
            before = here;
            here = after;
        }
        return peaks;
    }

    /** By the recursion of N. Levinson and J. Durbin. */
    private static double[] predictor(double[] r) {
        double[] a = new double[ORDER + 1];
        a[0] = 1;
        double error = r[0] * (1 + 1e-9);
        for (int k = 1; k <= ORDER; k++) {
            double sum = 0;
            for (int j = 0; j < k; j++) sum += a[j] * r[k - j];
            double reflection = -sum / error;
            double[] was = a.clone();
            for (int j = 1; j <= k; j++) a[j] = was[j] + reflection * was[k - j];
            error *= 1 - reflection * reflection;
        }
        return a;
    }

    private static double level(double[] a, double hz) {
        double re = 0, im = 0;
        for (int k = 0; k <= ORDER; k++) {
            re += a[k] * Math.cos(2 * Math.PI * hz * k / RATE);
            im -= a[k] * Math.sin(2 * Math.PI * hz * k / RATE);
        }
        return -10 * Math.log10(re * re + im * im);
    }
}
