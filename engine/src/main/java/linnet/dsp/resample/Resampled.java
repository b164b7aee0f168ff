package linnet.dsp.resample;

import java.util.Arrays;
import org.apache.commons.math3.util.ArithmeticUtils;
import linnet.dsp.Sound;

/**
 * A sound at another rate: a polyphase windowed sinc, linear in phase, its delay taken out to the sample. With the lower of
 * the two rates called r, everything up to 0.4535 r (20 kHz at 44.1 kHz) passes within 0.01 dB, and what lies above r/2 is
 * at least 120 dB down, so nothing folds back. Length out is length in times the ratio, rounded up.
 *
 * <p>Source: the Kaiser window of {@link Kaiser}; A. Oppenheim, R. Schafer, "Discrete-Time Signal Processing", changing the
 * rate by a rational factor. Not for use by several threads at once.
 */
public final class Resampled implements Sound {
    private static final double PASS = 20_000 / 44_100.0;
    private static final double STOP = 0.5;
    /** A little more than the promised 120 dB: the window's law is an estimate. */
    private static final double ATTENUATION_DB = 126;

    private final Sound source;
    private final double rate;
    /** Output sample k stands at input time k · down / up. */
    private final long up, down;
    private final int taps;
    /** {@code phases[p]} weighs the input around a time p/up after a sample. */
    private final double[][] phases;

    private double[][] input;

    /** @param rate whole samples per second; the source's own must be whole too */
    public Resampled(Sound source, double rate) {
        this.source = source;
        this.rate = rate;
        long from = Math.round(source.rate());
        long to = Math.round(rate);
        long common = ArithmeticUtils.gcd(from, to);
        up = to / common;
        down = from / common;
        double lower = Math.min(from, to);
        double transition = 2 * Math.PI * (STOP - PASS) * lower / from;
        taps = (Kaiser.taps(ATTENUATION_DB, transition) + 3) / 4 * 4;
        phases = new double[(int) up][];
        double cutoff = (PASS + STOP) * lower / from; // of half the input rate
        for (int p = 0; p < up; p++) phases[p] = phase((double) p / up, cutoff);
        input = new double[source.channels()][0];
    }

    private double[] phase(double fraction, double cutoff) {
        double[] h = new double[taps];
        double beta = Kaiser.beta(ATTENUATION_DB);
        double dc = 0;
        for (int t = 0; t < taps; t++) {
            double x = t - (taps / 2 - 1) - fraction;
            h[t] = Kaiser.sinc(cutoff * x) * Kaiser.at(x / (taps / 2.0), beta);
            dc += h[t];
        }
        for (int t = 0; t < taps; t++) h[t] /= dc;
        return h;
    }

    @Override
    public double rate() {
        return rate;
    }

    @Override
    public int channels() {
        return source.channels();
    }

    @Override
    public long frames() {
        return (source.frames() * up + down - 1) / down;
    }

    @Override
    public void read(long from, double[][] into, int n) {
        if (n == 0) return;
        long first = from * down / up - (taps / 2 - 1);
        int wanted = (int) ((from + n - 1) * down / up + taps / 2 - first) + 1;
        fill(first, wanted);
        for (int c = 0; c < input.length; c++) {
            for (int i = 0; i < n; i++) {
                long at = (from + i) * down;
                into[c][i] = dot(phases[(int) (at % up)], input[c], (int) (at / up - (taps / 2 - 1) - first));
            }
        }
    }

    /** Reads the input; before its beginning and after its end there is silence. */
    private void fill(long first, int wanted) {
        if (input[0].length < wanted) input = new double[input.length][wanted];
        int before = (int) Math.min(wanted, Math.max(0, -first));
        int there = (int) Math.max(0, Math.min(wanted - before, source.frames() - Math.max(0, first)));
        source.read(Math.max(0, first), input, there);
        for (double[] x : input) {
            System.arraycopy(x, 0, x, before, there);
            Arrays.fill(x, 0, before, 0);
            Arrays.fill(x, before + there, wanted, 0);
        }
    }

    private static double dot(double[] h, double[] x, int at) {
        double a = 0, b = 0, c = 0, d = 0;
        for (int t = 0; t < h.length; t += 4) {
            a += h[t] * x[at + t];
            b += h[t + 1] * x[at + t + 1];
            c += h[t + 2] * x[at + t + 2];
            d += h[t + 3] * x[at + t + 3];
        }
        return a + b + (c + d);
    }
}
