package linnet.tidy;

import java.util.Arrays;
import linnet.dsp.Sound;
import linnet.dsp.spectral.Fft;

/**
 * A sound at about 8 kHz, which is enough to tell a recording from another of the same words: over a whole phrase nobody sings the same wave
 * twice, and a copy has it whatever was done to its level and tone.
 */
final class Recording {
    private static final double RATE = 8000;
    private static final int BLOCK = 4800;
    /**
     * Correlation over a phrase of what is one recording; judgement, between what was measured: copies of voices have 0.91 and more, phrases that the
     * demo's singers sing anew 0.63 at most.
     */
    private static final double ONE = 0.8;
    /** A shorter word on one note may be sung twice with nearly the same wave, as the demo's singers do. */
    private static final double LEAST_SECONDS = 1;

    private final float[] x;
    private final int slowness;
    private final double rate;

    /** Hears it: the mean of its channels, in means of some samples in a row. */
    Recording(Sound sound) {
        slowness = Math.max(1, (int) Math.round(sound.rate() / RATE));
        rate = sound.rate() / slowness;
        x = new float[(int) (sound.frames() / slowness)];
        int block = BLOCK / slowness * slowness, channels = sound.channels();
        double[][] read = new double[channels][block];
        for (int at = 0; at < x.length; at += block / slowness) {
            int n = Math.min(block / slowness, x.length - at);
            sound.read((long) at * slowness, read, n * slowness);
            for (int i = 0; i < n; i++) {
                double sum = 0;
                for (double[] channel : read) for (int k = i * slowness; k < (i + 1) * slowness; k++) sum += channel[k];
                x[at + i] = (float) (sum / slowness / channels);
            }
        }
    }

    /**
     * By how many samples a phrase of this one lies later than the very same sound in another, near where it is thought to; not a number where it is none.
     *
     * @param late samples by which it is thought to lie later, give or take {@code around}
     */
    double late(long from, long to, Recording other, double late, double around) {
        int first = (int) Math.max(0, from / slowness), n = (int) Math.min(x.length, to / slowness) - first;
        int reach = (int) Math.ceil(around / slowness), start = first - (int) Math.round(late / slowness) - reach, lags = 2 * reach + 1;
        if (n < LEAST_SECONDS * rate) return Double.NaN;
        double[] own = new double[n], there = new double[n + lags - 1];
        double mean = 0, energy = 0;
        for (int i = 0; i < n; i++) mean += x[first + i] / n;
        for (int i = 0; i < n; i++) {
            own[i] = x[first + i] - mean;
            energy += own[i] * own[i];
        }
        for (int i = 0; i < there.length; i++) there[i] = start + i >= 0 && start + i < other.x.length ? other.x[start + i] : 0;
        double[] sums = correlation(own, there, lags), alike = new double[lags];
        double sum = 0, squares = 0;
        int best = 0;
        for (int i = 0; i < there.length; i++) {
            sum += there[i];
            squares += there[i] * there[i];
            int l = i - n + 1;
            if (l < 0) continue;
            double power = energy * (squares - sum * sum / n);
            alike[l] = power > 0 ? Math.abs(sums[l]) / Math.sqrt(power) : 0;
            if (alike[l] > alike[best]) best = l;
            sum -= there[l];
            squares -= there[l] * there[l];
        }
        if (best == 0 || best == lags - 1) return Double.NaN;
        // Between two lags: the top of a parabola.
        double down = alike[best] - alike[best - 1], up = alike[best] - alike[best + 1], bend = down + up, off = bend > 0 ? (down - up) / (2 * bend) : 0;
        return alike[best] + off * (down - up) / 4 < ONE ? Double.NaN : (first - start - best - off) * slowness;
    }

    /** Sums of products at each lag. */
    private static double[] correlation(double[] own, double[] there, int lags) {
        int size = 2 * Integer.highestOneBit(own.length + there.length);
        Fft fft = new Fft(size);
        double[] re = new double[fft.bins()], im = new double[fft.bins()], otherRe = new double[fft.bins()], otherIm = new double[fft.bins()],
                x = new double[size];
        System.arraycopy(own, 0, x, 0, own.length);
        fft.forward(x, re, im);
        Arrays.fill(x, 0);
        System.arraycopy(there, 0, x, 0, there.length);
        fft.forward(x, otherRe, otherIm);
        for (int k = 0; k < re.length; k++) {
            double r = otherRe[k] * re[k] + otherIm[k] * im[k], i = otherIm[k] * re[k] - otherRe[k] * im[k];
            re[k] = r;
            im[k] = i;
        }
        fft.inverse(re, im, x);
        return Arrays.copyOf(x, lags);
    }
}
