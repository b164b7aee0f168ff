package linnet.dsp.repair;

import linnet.dsp.spectral.Fft;

/** The mean power spectrum of noise, in the windows in which a {@link Denoiser} sees it. */
public final class NoiseSpectrum {
    /** Below the noise of any converter, per bin: what is quieter was computed, and is none. */
    private static final double LEAST = 1e-20;
    /** So many powers make a mean: where there are fewer windows, neighbouring bins help. */
    private static final int ENOUGH = 24, FARTHEST = 8;
    /** With fewer windows it is a guess. */
    private static final int LEAST_WINDOWS = 6;

    private final Fft fft;
    private final double[] window, frame, re, im, sum, squares;
    private int windows;

    public NoiseSpectrum(double rate) {
        window = window(length(rate));
        fft = new Fft(window.length);
        frame = new double[window.length];
        re = new double[fft.bins()];
        im = new double[fft.bins()];
        sum = new double[fft.bins()];
        squares = new double[fft.bins()];
    }

    /** Samples in a window: a power of two, 32 to 64 ms, so that the partials of a low voice lie apart and a word does not smear. */
    public static int length(double rate) {
        return Integer.highestOneBit((int) Math.round(rate / 16));
    }

    /** Windows that lie in so many samples, each half over the next. */
    public static int windows(double rate, long frames) {
        int length = length(rate);
        return frames < length ? 0 : (int) ((frames - length) / (length / 2)) + 1;
    }

    /** Whether noise is known from so many windows. */
    public static boolean isKnownFrom(int windows) {
        return windows >= LEAST_WINDOWS;
    }

    /** The root of a Hann window: used twice, with overlaps of three quarters, it adds up to 2. */
    static double[] window(int length) {
        double[] window = new double[length];
        for (int i = 0; i < length; i++) window[i] = StrictMath.sin(Math.PI * i / length);
        return window;
    }

    /** Hears a window of nothing but noise: {@link #length} samples of each channel, from index 0. */
    public void add(double[][] x) {
        double[] power = new double[sum.length];
        for (double[] channel : x) {
            for (int i = 0; i < frame.length; i++) frame[i] = window[i] * channel[i];
            fft.forward(frame, re, im);
            for (int k = 0; k < sum.length; k++) power[k] += re[k] * re[k] + im[k] * im[k];
        }
        for (int k = 0; k < sum.length; k++) {
            sum[k] += power[k];
            squares[k] += power[k] * power[k];
        }
        windows++;
    }

    /** How many windows it has heard. */
    public int windows() {
        return windows;
    }

    /**
     * Power in each bin, all channels together: the mean or, where it wavers more than steady noise does, the root of half the mean square, which
     * is the mean again for Gaussian noise.
     */
    double[] power() {
        double[] mean = new double[sum.length];
        int near = Math.min(FARTHEST, ENOUGH / windows);
        for (int k = 0; k < mean.length; k++) {
            int from = Math.max(0, k - near), to = Math.min(mean.length - 1, k + near);
            double all = 0, square = 0;
            for (int i = from; i <= to; i++) {
                all += sum[i];
                square += squares[i];
            }
            double n = (double) windows * (to - from + 1);
            mean[k] = Math.max(LEAST * window.length, Math.max(all / n, Math.sqrt(square / n / 2)));
        }
        return mean;
    }
}
