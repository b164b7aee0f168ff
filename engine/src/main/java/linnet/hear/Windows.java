package linnet.hear;

import java.util.Arrays;
import java.util.function.LongConsumer;
import linnet.dsp.spectral.Fft;

/** Cuts a sound into overlapping Hann windows, and gives the power spectrum of those that somebody asks for. */
final class Windows {
    private final Fft fft;
    private final double[] window, recent, frame, re, im;
    private final int hop;
    private int held;
    private long start;

    /**
     * @param length in samples, a power of two
     * @param each so many begin in the length of one: a power of two as well
     */
    Windows(int length, int each) {
        hop = length / each;
        fft = new Fft(length);
        window = new double[length];
        for (int i = 0; i < length; i++) window[i] = 0.5 - 0.5 * StrictMath.cos(2 * Math.PI * (i + 0.5) / length);
        recent = new double[length];
        frame = new double[length];
        re = new double[fft.bins()];
        im = new double[fft.bins()];
    }

    int length() {
        return window.length;
    }

    int bins() {
        return re.length;
    }

    /**
     * From the power of a bin to the mean square of the signal in it (Parseval): both halves of the spectrum, by its length and by the
     * squares of the window.
     */
    double scale() {
        return 2 / (window.length * Arrays.stream(window).map(w -> w * w).sum());
    }

    /**
     * Hears the next {@code n} samples.
     *
     * @param whole told the first sample of each window once it is there whole; {@link #power} is then its spectrum
     */
    void add(double[] x, int n, LongConsumer whole) {
        int length = recent.length;
        for (int at = 0; at < n; ) {
            int m = Math.min(n - at, length - held);
            System.arraycopy(x, at, recent, held, m);
            at += m;
            held += m;
            if (held < length) return;
            whole.accept(start);
            System.arraycopy(recent, hop, recent, 0, length - hop);
            held = length - hop;
            start += hop;
        }
    }

    /** The power in each bin of the window that is there now; valid until it is called again. */
    double[] power() {
        for (int i = 0; i < frame.length; i++) frame[i] = window[i] * recent[i];
        fft.forward(frame, re, im);
        for (int k = 0; k < re.length; k++) re[k] = re[k] * re[k] + im[k] * im[k];
        return re;
    }
}
