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
     * τ below N. The spectra stay as the library packs them.
     *
     * @param x from index {@code at}
     * @param r room for N numbers
     */
    public void correlate(double[] x, int at, int window, double[] r) {
        System.arraycopy(x, at, r, 0, length);
        System.arraycopy(x, at, packed, 0, window);
        Arrays.fill(packed, window, length, 0);
        transform.realForward(r);
        transform.realForward(packed);
        double scale = 2.0 / length;
        r[0] *= scale * packed[0];
        r[1] *= scale * packed[1];
        times(r, packed, scale, length);
        transform.realInverse(r, false);
    }

    /** Each bin but the first and the last by the conjugate of the other. */
    private static void times(double[] packed, double[] other, double scale, int length) {
        for (int k = 2; k < length; k += 2) {
            double a = packed[k], b = packed[k + 1], c = scale * other[k], d = scale * other[k + 1];
            packed[k] = a * c + b * d;
            packed[k + 1] = b * c - a * d;
        }
    }
}
