package linnet.hear;

import java.util.function.IntPredicate;
import linnet.dsp.spectral.Fft;

/** The mean power spectrum of the pauses, under a Hann window, half overlapping, of which every frame is quiet. */
final class QuietSpectrum {
    private final IntPredicate quiet;
    private final int hop;
    private final Fft fft;
    private final double[] window, frame, re, im, recent, sum;
    private final double scale;
    private int held, windows;
    private long start;

    /**
     * @param length of the window in samples, a power of two
     * @param hop samples in a frame of 10 ms
     * @param quiet whether such a frame lies in a pause
     */
    QuietSpectrum(int length, int hop, IntPredicate quiet) {
        this.quiet = quiet;
        this.hop = hop;
        fft = new Fft(length);
        window = new double[length];
        for (int i = 0; i < length; i++) window[i] = 0.5 - 0.5 * StrictMath.cos(2 * Math.PI * (i + 0.5) / length);
        scale = Spectra.scale(window);
        frame = new double[length];
        recent = new double[length];
        re = new double[fft.bins()];
        im = new double[fft.bins()];
        sum = new double[fft.bins()];
    }

    /** Hears the next {@code n} samples. */
    void add(double[] x, int n) {
        int length = recent.length;
        for (int at = 0; at < n; ) {
            int m = Math.min(n - at, length - held);
            System.arraycopy(x, at, recent, held, m);
            at += m;
            held += m;
            if (held < length) return;
            hear();
            System.arraycopy(recent, length / 2, recent, 0, length / 2);
            held = length / 2;
            start += length / 2;
        }
    }

    private void hear() {
        for (long f = start / hop; f * hop < start + recent.length; f++) if (!quiet.test((int) f)) return;
        for (int i = 0; i < frame.length; i++) frame[i] = window[i] * recent[i];
        fft.forward(frame, re, im);
        for (int k = 0; k < re.length; k++) sum[k] += re[k] * re[k] + im[k] * im[k];
        windows++;
    }

    double binHz(double rate) {
        return rate / window.length;
    }

    int windows() {
        return windows;
    }

    /** Mean squares per bin. */
    double[] power() {
        double[] mean = new double[sum.length];
        for (int k = 0; k < mean.length; k++) mean[k] = scale * sum[k] / windows;
        return mean;
    }
}
