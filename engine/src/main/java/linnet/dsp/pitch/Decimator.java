package linnet.dsp.pitch;

/**
 * Keeps every n-th sample behind a linear-phase low-pass (sinc under a Blackman window, 8 n + 1 taps, -6 dB at a quarter of the
 * new rate). What folds below that quarter is more than 70 dB down. Output k lies on input k · n: the delay is taken out.
 */
public final class Decimator {
    /** Samples at the new rate on either side that one depends on. */
    static final int REACH = 4;

    private final int factor;
    private final double[] half;
    private final double[] recent;
    private int held;

    public Decimator(int factor, int longestBlock) {
        this.factor = factor;
        int reach = factor == 1 ? 0 : REACH * factor;
        half = new double[reach + 1];
        double sum = 0;
        for (int k = 0; k <= reach; k++) {
            double angle = Math.PI * k / (reach + 1);
            double blackman = 0.42 + 0.5 * StrictMath.cos(angle) + 0.08 * StrictMath.cos(2 * angle);
            double t = Math.PI * k / (2.0 * factor);
            half[k] = blackman * (k == 0 ? 1 : StrictMath.sin(t) / t);
            sum += k == 0 ? half[k] : 2 * half[k];
        }
        for (int k = 0; k <= reach; k++) half[k] /= sum;
        recent = new double[2 * reach + longestBlock + factor];
        held = reach;
    }

    /** Takes {@code n} samples, writes what can be given to {@code y} from index {@code at}, and returns how many those are. */
    public int decimate(double[] x, int n, double[] y, int at) {
        System.arraycopy(x, 0, recent, held, n);
        held += n;
        int reach = half.length - 1, given = Math.max(0, (held - 2 * reach + factor - 1) / factor);
        for (int i = 0, centre = reach; i < given; i++, centre += factor) y[at + i] = half[0] * recent[centre];
        // Many taps at a time, in one expression: a loop over the taps of one sample costs more than they do.
        int k = 1;
        for (; k + 15 <= reach; k += 16) sixteen(k, y, at, given);
        for (; k < reach; k += 4) four(k, y, at, given);
        int passed = given * factor;
        held -= passed;
        System.arraycopy(recent, passed, recent, 0, held);
        return given;
    }

    /** Adds the share of four pairs of taps, the first {@code k} away from the centre, to each sample. */
    private void four(int k, double[] y, int at, int n) {
        double[] x = recent;
        double a = half[k], b = half[k + 1], c = half[k + 2], d = half[k + 3];
        int step = factor, l = half.length - 1 - k, r = l + 2 * k;
        for (int i = 0; i < n; i++, l += step, r += step) {
            y[at + i] += (a * (x[l] + x[r]) + b * (x[l - 1] + x[r + 1])) + (c * (x[l - 2] + x[r + 2]) + d * (x[l - 3] + x[r + 3]));
        }
    }

    private void sixteen(int k, double[] y, int at, int n) {
        double[] x = recent;
        double a = half[k], b = half[k + 1], c = half[k + 2], d = half[k + 3], e = half[k + 4], f = half[k + 5], g = half[k + 6], h = half[k + 7];
        double s = half[k + 8], t = half[k + 9], u = half[k + 10], v = half[k + 11], w = half[k + 12], o = half[k + 13], p = half[k + 14], q = half[k + 15];
        int step = factor, l = half.length - 1 - k, r = l + 2 * k;
        for (int i = 0; i < n; i++, l += step, r += step) {
            y[at + i] += (((a * (x[l] + x[r]) + b * (x[l - 1] + x[r + 1])) + (c * (x[l - 2] + x[r + 2]) + d * (x[l - 3] + x[r + 3])))
                            + ((e * (x[l - 4] + x[r + 4]) + f * (x[l - 5] + x[r + 5])) + (g * (x[l - 6] + x[r + 6]) + h * (x[l - 7] + x[r + 7]))))
                    + (((s * (x[l - 8] + x[r + 8]) + t * (x[l - 9] + x[r + 9])) + (u * (x[l - 10] + x[r + 10]) + v * (x[l - 11] + x[r + 11])))
                            + ((w * (x[l - 12] + x[r + 12]) + o * (x[l - 13] + x[r + 13])) + (p * (x[l - 14] + x[r + 14]) + q * (x[l - 15] + x[r + 15]))));
        }
    }
}
