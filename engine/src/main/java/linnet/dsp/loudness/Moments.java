package linnet.dsp.loudness;

import java.util.Arrays;

/**
 * Mean and mean square of each channel, and the correlation of a stereo pair: Pearson's coefficient at zero lag, means taken
 * out, over the whole and over every 3 s (one window per 100 ms).
 *
 * <p>Memory: two numbers per 100 ms of a stereo sound, none that grows for a mono one.
 */
public final class Moments {
    /** Variance of -120 dBFS: below the noise of any converter, so nothing was recorded on this channel. */
    private static final double STILL = 1e-12;
    private static final int WINDOW = 30;
    /** A window counts if it is no more than 20 dB below the whole: pauses hold noise, which is seldom correlated. */
    private static final double QUIET = 0.01;
    /** Indices of the sums. */
    private static final int L = 0, R = 1, LL = 2, RR = 3, LR = 4, SUMS = 5;

    private final int channels, hop;
    private int filled;
    private long frames;
    private final double[] open = new double[SUMS], closed = new double[SUMS];
    private final double[][] recent = new double[WINDOW][SUMS];
    private int hops, windows;
    private double[] correlation = new double[512], power = new double[512];

    /**
     * @param rate in Hz
     * @param channels 1 or 2
     */
    public Moments(double rate, int channels) {
        if (channels < 1 || channels > 2) throw new IllegalArgumentException("channels: " + channels);
        this.channels = channels;
        hop = (int) Math.round(rate / 10);
    }

    /** Hears the next {@code n} samples of each channel; any {@code n} that the arrays hold. */
    public void add(double[][] x, int n) {
        int from = 0;
        while (from < n) {
            int to = Math.min(n, from + hop - filled);
            if (channels == 1) sum(x[0], from, to, open);
            else sum(x[0], x[1], from, to, open);
            filled += to - from;
            from = to;
            if (filled == hop) endHop();
        }
        frames += n;
    }

    private void endHop() {
        filled = 0;
        for (int s = 0; s < SUMS; s++) closed[s] += open[s];
        if (channels == 2) {
            System.arraycopy(open, 0, recent[hops++ % WINDOW], 0, SUMS);
            if (hops >= WINDOW) endWindow();
        }
        Arrays.fill(open, 0);
    }

    private void endWindow() {
        if (windows == power.length) {
            correlation = Arrays.copyOf(correlation, 2 * windows);
            power = Arrays.copyOf(power, 2 * windows);
        }
        double l = 0, r = 0, ll = 0, rr = 0, lr = 0;
        for (double[] s : recent) {
            l += s[L];
            r += s[R];
            ll += s[LL];
            rr += s[RR];
            lr += s[LR];
        }
        double n = (double) WINDOW * hop;
        correlation[windows] = pearson(n, l, r, ll, rr, lr);
        power[windows++] = (ll + rr) / n;
    }

    /** Mean of the channel's samples: its DC. NaN where nothing was heard. */
    public double mean(int channel) {
        return whole(L + channel) / frames;
    }

    /** Mean of the channel's squared samples, DC included. NaN where nothing was heard. */
    public double meanSquare(int channel) {
        return whole(LL + channel) / frames;
    }

    /** Correlation of left and right over the whole, -1 to 1; NaN where there is one channel, or one of them is still. */
    public double correlation() {
        return channels == 1 ? Double.NaN : pearson(frames, whole(L), whole(R), whole(LL), whole(RR), whole(LR));
    }

    /**
     * The lowest correlation of any 3 s that are no more than 20 dB below the level of the whole and in which neither channel is still;
     * NaN where there are none.
     */
    public double lowestCorrelation() {
        if (channels == 1) return Double.NaN;
        double gate = QUIET * (meanSquare(0) + meanSquare(1));
        double lowest = Double.NaN;
        for (int w = 0; w < windows; w++) {
            // Written so that the first number takes the place of NaN, and a window without a number never does.
            if (power[w] >= gate && !(correlation[w] >= lowest) && !Double.isNaN(correlation[w])) lowest = correlation[w];
        }
        return lowest;
    }

    private double whole(int sum) {
        return closed[sum] + open[sum];
    }

    private static double pearson(double n, double l, double r, double ll, double rr, double lr) {
        double varianceL = (ll - l * l / n) / n, varianceR = (rr - r * r / n) / n;
        if (!(varianceL > STILL && varianceR > STILL)) return Double.NaN;
        double rho = (lr - l * r / n) / n / Math.sqrt(varianceL * varianceR);
        return Math.max(-1, Math.min(1, rho));
    }

    private static void sum(double[] x, int from, int to, double[] sums) {
        double s = sums[L], q = sums[LL];
        for (int i = from; i < to; i++) {
            double v = x[i];
            s += v;
            q += v * v;
        }
        sums[L] = s;
        sums[LL] = q;
    }

    private static void sum(double[] x, double[] y, int from, int to, double[] sums) {
        double l = sums[L], r = sums[R], ll = sums[LL], rr = sums[RR], lr = sums[LR];
        for (int i = from; i < to; i++) {
            double v = x[i], w = y[i];
            l += v;
            r += w;
            ll += v * v;
            rr += w * w;
            lr += v * w;
        }
        sums[L] = l;
        sums[R] = r;
        sums[LL] = ll;
        sums[RR] = rr;
        sums[LR] = lr;
    }
}
