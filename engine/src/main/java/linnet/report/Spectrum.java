package linnet.report;

import java.util.Arrays;
import linnet.dsp.Decibels;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;
import linnet.dsp.spectral.Fft;

/**
 * A passage over time and frequency: a picture of levels, and the mean level in third-octave bands (IEC 61260-1, base ten;
 * by summing Hann-windowed periodograms, not by the filters of that standard). The channels are averaged in power.
 */
final class Spectrum {
    static final int COLUMNS = 900, ROWS = 180;
    static final double LOWEST_HZ = 60;
    /** A byte of the picture stands for this level of a sine, in dBFS, plus {@link #STEP_DB} for each unit. */
    static final double FLOOR_DB = -127.5;
    static final double STEP_DB = 0.5;

    private static final double WINDOW_SECONDS = 0.04;
    private static final int LOWEST_BAND = -13, HIGHEST_BAND = 13;
    /** Of the bands: long enough for two bins in the lowest. */
    private static final double LONG_WINDOW_SECONDS = 0.17;

    private final Sound sound;
    private final double gain;

    /** @param gain factor by which the passage is heard */
    Spectrum(Sound sound, double gain) {
        this.sound = sound;
        this.gain = gain;
    }

    static double highestHz(double rate) {
        return Math.min(18_000, 0.45 * rate);
    }

    /** Centres of the bands that fit below half the rate. */
    static double[] bandsHz(double rate) {
        double[] all = new double[HIGHEST_BAND - LOWEST_BAND + 1];
        int n = 0;
        for (int k = LOWEST_BAND; k <= HIGHEST_BAND; k++) {
            double hz = 1000 * Math.pow(10, k / 10.0);
            if (edge(hz, +1) <= rate / 2) all[n++] = hz;
        }
        return Arrays.copyOf(all, n);
    }

    private static double edge(double hz, int side) {
        return hz * Math.pow(10, side * 0.05);
    }

    /** Mean level of each band in dBFS, as the RMS of a full-scale sine has -3.01; negative infinity where there is nothing. */
    double[] bands() {
        int length = longWindow(sound.rate());
        return bands(new Periodogram(length).mean(0, Math.max(1, sound.frames() - length + 1)), length, sound.rate());
    }

    /** The same from the mean of |X|² over Hann windows of that length. */
    static double[] bands(double[] mean, int length, double rate) {
        double[] hz = bandsHz(rate);
        double[] db = new double[hz.length];
        for (int k = 0; k < hz.length; k++) {
            // One-sided power of a Hann window: 2 |X|² / (N Σ w²), Σ w² = 3 N / 8.
            db[k] = Decibels.ofPower(between(mean, edge(hz[k], -1) * length / rate, edge(hz[k], +1) * length / rate) * 2 / (0.375 * length * length));
        }
        return db;
    }

    /** Length of the windows that the bands are heard in. */
    static int longWindow(double rate) {
        return powerOfTwo(LONG_WINDOW_SECONDS * rate);
    }

    /** Rows from the highest frequency down, columns in time: one byte each. */
    byte[] picture() {
        int length = powerOfTwo(WINDOW_SECONDS * sound.rate());
        byte[] levels = new byte[ROWS * COLUMNS];
        Periodogram periodogram = new Periodogram(length);
        double stride = (double) sound.frames() / COLUMNS;
        double ratio = highestHz(sound.rate()) / LOWEST_HZ;
        for (int column = 0; column < COLUMNS; column++) {
            long first = (long) (column * stride) - length / 2;
            double[] power = periodogram.mean(first, first + Math.max(1, (long) stride));
            for (int row = 0; row < ROWS; row++) {
                double low = LOWEST_HZ * Math.pow(ratio, 1 - (row + 1.0) / ROWS) * length / sound.rate();
                double high = LOWEST_HZ * Math.pow(ratio, 1 - (double) row / ROWS) * length / sound.rate();
                // The largest bin touched: a sine reads its own level, however wide the row. Its bin holds (N/4)².
                double db = Decibels.ofPower(within(power, low, high) * 16 / ((double) length * length));
                levels[row * COLUMNS + column] = (byte) Math.max(0, Math.min(255, Math.round((db - FLOOR_DB) / STEP_DB)));
            }
        }
        return levels;
    }

    private static int powerOfTwo(double samples) {
        return Math.max(256, Integer.highestOneBit((int) samples));
    }

    /** Mean of |X|² over windows of one length. */
    private final class Periodogram {
        private final Fft fft;
        private final double[] window, re, im;
        private final double[][] x;

        Periodogram(int length) {
            fft = new Fft(length);
            re = new double[fft.bins()];
            im = new double[fft.bins()];
            x = new double[sound.channels()][length];
            window = new double[length];
            for (int i = 0; i < length; i++) window[i] = 0.5 - 0.5 * Math.cos(2 * Math.PI * i / length);
        }

        /** Over the windows that begin at {@code from}, every half window, before {@code to}. */
        double[] mean(long from, long to) {
            double[] sum = new double[fft.bins()];
            int count = 0;
            for (long at = from; at < to; at += window.length / 2) {
                // Before the passage and after it there is silence.
                new Excerpt(sound, at, window.length).read(0, x, window.length);
                for (double[] channel : x) {
                    for (int i = 0; i < window.length; i++) channel[i] *= gain * window[i];
                    fft.forward(channel, re, im);
                    for (int k = 0; k < sum.length; k++) sum[k] += re[k] * re[k] + im[k] * im[k];
                    count++;
                }
            }
            for (int k = 0; k < sum.length; k++) sum[k] /= count;
            return sum;
        }
    }

    /** The sum from one place to another; a bin k reaches from k - 1/2 to k + 1/2. */
    private static double between(double[] power, double from, double to) {
        double sum = 0;
        for (int k = (int) Math.round(from); k <= Math.min(power.length - 1, Math.round(to)); k++) {
            sum += power[k] * Math.max(0, Math.min(to, k + 0.5) - Math.max(from, k - 0.5));
        }
        return sum;
    }

    private static double within(double[] power, double from, double to) {
        double largest = 0;
        for (int k = (int) Math.round(from); k <= Math.min(power.length - 1, Math.round(to)); k++) largest = Math.max(largest, power[k]);
        return largest;
    }
}
