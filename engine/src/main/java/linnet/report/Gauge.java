package linnet.report;

import java.util.Arrays;
import linnet.dsp.Decibels;
import linnet.dsp.loudness.Loudness;
import linnet.dsp.spectral.Fft;

/** Reads loudness, crest, third octaves and the course of the level from a sound that comes in blocks, in one pass. */
final class Gauge {
    /** What it read. Levels are negative infinity where there is nothing. */
    record Reading(double lufs, double crestDb, double[] bandsDb, float[] levelsDb) {}

    private final double rate;
    private final int channels, hop;
    private final Loudness loudness;
    private final double[] squares;
    private double peak;
    private long frames;

    private final Fft fft;
    private final double[] window, shaped, re, im, sum;
    private final double[][] recent;
    private int filled, windows;

    private double cell;
    private int inCell, cells;
    private float[] levels = new float[1024];

    /** @param hop samples of a cell of the course of levels */
    Gauge(double rate, int channels, int hop) {
        this.rate = rate;
        this.channels = channels;
        this.hop = hop;
        loudness = new Loudness(rate, channels);
        squares = new double[channels];
        fft = new Fft(Spectrum.longWindow(rate));
        window = new double[fft.length()];
        for (int i = 0; i < window.length; i++) window[i] = 0.5 - 0.5 * Math.cos(2 * Math.PI * i / window.length);
        shaped = new double[fft.length()];
        re = new double[fft.bins()];
        im = new double[fft.bins()];
        sum = new double[fft.bins()];
        recent = new double[channels][fft.length()];
    }

    int channels() {
        return channels;
    }

    void add(double[][] x, int n) {
        loudness.add(x, n);
        frames += n;
        for (int c = 0; c < channels; c++) {
            for (int i = 0; i < n; i++) {
                squares[c] += x[c][i] * x[c][i];
                peak = Math.max(peak, Math.abs(x[c][i]));
            }
        }
        course(x, n);
        for (int done = 0; done < n; ) {
            int piece = Math.min(n - done, window.length - filled);
            for (int c = 0; c < channels; c++) System.arraycopy(x[c], done, recent[c], filled, piece);
            filled += piece;
            done += piece;
            if (filled == window.length) transform();
        }
    }

    private void course(double[][] x, int n) {
        for (int i = 0; i < n; i++) {
            for (int c = 0; c < channels; c++) cell += x[c][i] * x[c][i];
            if (++inCell < hop) continue;
            if (cells == levels.length) levels = Arrays.copyOf(levels, 2 * cells);
            levels[cells++] = (float) Decibels.ofPower(cell / hop);
            cell = 0;
            inCell = 0;
        }
    }

    private void transform() {
        for (double[] channel : recent) {
            for (int i = 0; i < shaped.length; i++) shaped[i] = channel[i] * window[i];
            fft.forward(shaped, re, im);
            for (int k = 0; k < sum.length; k++) sum[k] += re[k] * re[k] + im[k] * im[k];
            System.arraycopy(channel, channel.length / 2, channel, 0, channel.length / 2);
        }
        windows++;
        filled = window.length / 2;
    }

    /** Call once, when all has been added. */
    Reading read() {
        if (windows == 0) {
            // Shorter than a window: silence follows.
            for (double[] channel : recent) Arrays.fill(channel, filled, channel.length, 0);
            transform();
        }
        double[] mean = Arrays.stream(sum).map(p -> p / (windows * channels)).toArray();
        double rms = Math.sqrt(Arrays.stream(squares).max().orElseThrow() / Math.max(1, frames));
        return new Reading(loudness.integrated(), rms == 0 ? Double.NEGATIVE_INFINITY : Decibels.ofGain(peak / rms),
                Spectrum.bands(mean, window.length, rate), Arrays.copyOf(levels, cells));
    }
}
