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
        int reach = half.length - 1, centre = reach, given = 0;
        for (; centre + reach < held; centre += factor) {
            // Two sums, so that one addition need not wait for the other.
            double even = half[0] * recent[centre], odd = 0;
            for (int k = 1; k < reach; k += 2) {
                odd += half[k] * (recent[centre - k] + recent[centre + k]);
                even += half[k + 1] * (recent[centre - k - 1] + recent[centre + k + 1]);
            }
            y[at + given++] = even + odd;
        }
        int passed = centre - reach;
        held -= passed;
        System.arraycopy(recent, passed, recent, 0, held);
        return given;
    }
}
