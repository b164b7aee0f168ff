package linnet.dsp.spectral;

import java.util.Arrays;
import org.jtransforms.fft.DoubleFFT_1D;
import pl.edu.icm.jlargearrays.ConcurrencyUtils;

/**
 * The discrete Fourier transform of a real signal of fixed even length N. A spectrum is held split, as N/2 + 1 real and as
 * many imaginary parts; bin k stands for {@code k · rate / N} Hz. Forward is unscaled, {@code X[k] = Σ x[n] e^(-2πikn/N)};
 * inverse divides by N, so the pair gives the signal back.
 *
 * <p>A transform owns its scratch memory: make one per kernel and do not share it between threads. Lengths that are powers
 * of two allocate nothing per call. The work is done by the JTransforms library, seen only here.
 */
public final class Fft {
    static {
        // The engine is parallel by track. A pool of threads inside one transform would fight with that, and would split
        // the sums of long transforms by the number of processors, so that bits depended on the machine.
        ConcurrencyUtils.setNumberOfThreads(1);
    }

    private final int length;
    private final DoubleFFT_1D transform;
    private final double[] packed;
    /** For correlations, made for the first: the transform of half the length, and for each of its bins up to the middle {@code (1 + e^(4πik/N)) / 4}. */
    private DoubleFFT_1D half;
    private double[] turnRe, turnIm;

    /**
     * @param length N in samples, even and at least 2
     * @throws IllegalArgumentException if it is not
     */
    public Fft(int length) {
        if (length < 2 || length % 2 != 0) throw new IllegalArgumentException("length must be even and at least 2: " + length);
        this.length = length;
        transform = new DoubleFFT_1D(length);
        packed = new double[length];
    }

    /** N in samples. */
    public int length() {
        return length;
    }

    /** N/2 + 1: from 0 Hz up to half the rate, both included. */
    public int bins() {
        return length / 2 + 1;
    }

    /** Reads N samples of {@code x} from index 0; fills the first {@link #bins()} places of {@code re} and {@code im}. */
    public void forward(double[] x, double[] re, double[] im) {
        int last = length / 2;
        System.arraycopy(x, 0, packed, 0, length);
        transform.realForward(packed);
        // The library packs bin k at 2k and 2k+1, and puts the last bin, which is real as the first, beside the first.
        for (int k = 1; k < last; k++) {
            re[k] = packed[2 * k];
            im[k] = packed[2 * k + 1];
        }
        re[0] = packed[0];
        im[0] = 0;
        re[last] = packed[1];
        im[last] = 0;
    }

    /**
     * Writes N samples of {@code x} from index 0. The imaginary parts of the first and the last bin, which a real signal
     * cannot have, are not read.
     */
    public void inverse(double[] re, double[] im, double[] x) {
        int last = length / 2;
        for (int k = 1; k < last; k++) {
            packed[2 * k] = re[k];
            packed[2 * k + 1] = im[k];
        }
        packed[0] = re[0];
        packed[1] = re[last];
        transform.realInverse(packed, true);
        System.arraycopy(packed, 0, x, 0, length);
    }

    /**
     * The circular correlation of a signal of N samples with the first {@code window} of them, {@code r[τ] = Σ x[at + j] x[at + (j + τ) mod N]} for each
     * τ below N. Even and odd samples are the real and imaginary parts of transforms half as long, as they are within {@link #forward}; here the spectra are
     * not taken apart for each of them, but multiplied as they are.
     *
     * @param x from index {@code at}
     * @param r room for N numbers
     */
    public void correlate(double[] x, int at, int window, double[] r) {
        if (half == null) halve();
        System.arraycopy(x, at, r, 0, length);
        System.arraycopy(x, at, packed, 0, window);
        Arrays.fill(packed, window, length, 0);
        half.complexForward(r);
        half.complexForward(packed);
        double a = r[0], b = r[1], scale = 2.0 / length, c = scale * packed[0], d = scale * packed[1];
        r[0] = a * c + b * d;
        r[1] = b * c + a * d;
        correlate(r, packed, turnRe, turnIm, length);
        half.complexInverse(r, false);
    }

    private void halve() {
        int n = length / 2;
        half = new DoubleFFT_1D(n);
        turnRe = new double[n / 2 + 1];
        turnIm = new double[n / 2 + 1];
        for (int k = 1; k <= n / 2; k++) {
            double angle = 2 * Math.PI * k / n;
            turnRe[k] = 0.25 + 0.25 * StrictMath.cos(angle);
            turnIm[k] = 0.25 * StrictMath.sin(angle);
        }
    }

    /**
     * Puts the spectrum of the correlation, even and odd lags in its real and imaginary parts too, into {@code z}, but for bin 0. With E and O for the spectra
     * of the even and of the odd samples, {@code Z = E + iO}, those of the correlation at even and at odd lags are {@code E E'* + O O'*} and
     * {@code O E'* + E O'* e^(4πik/N)}: together {@code Z Z'* + i (1 + e^(4πik/N)) E O'*}.
     */
    private static void correlate(double[] z, double[] other, double[] turnRe, double[] turnIm, int length) {
        double scale = 2.0 / length;
        for (int k = 1; k < turnRe.length; k++) {
            int i = 2 * k, j = length - 2 * k;
            double a = z[i], b = z[i + 1], c = z[j], d = z[j + 1];
            double e = scale * other[i], f = scale * other[i + 1], g = scale * other[j], h = scale * other[j + 1];
            double evenRe = a + c, evenIm = b - d, oddRe = f + h, oddIm = g - e;
            double p = evenRe * oddRe + evenIm * oddIm, q = evenIm * oddRe - evenRe * oddIm;
            double re = turnRe[k] * p - turnIm[k] * q, im = turnRe[k] * q + turnIm[k] * p;
            z[i] = a * e + b * f - im;
            z[i + 1] = b * e - a * f + re;
            z[j] = c * g + d * h + im;
            z[j + 1] = d * g - c * h + re;
        }
    }
}
