package linnet.dsp.loudness;

import java.util.Arrays;
import linnet.dsp.Cell;
import linnet.dsp.Decibels;

/**
 * True peak after ITU-R BS.1770-5, Annex 2: the largest magnitude of the samples and of the signal oversampled four times
 * by the interpolator that the standard prints (48 taps, four phases of twelve). Its ripple lets a steady tone read up to 0.22 dB high;
 * a limiter needs a longer one.
 *
 * <p>It is used at every rate. The standard asks only that 192 kHz be reached, so it would allow less from 96 kHz on. But how far a peak
 * hides between the readings depends on the band as a share of the rate: near half of it, 0.7 dB at four times, 3 dB at twice. At
 * twice even an ideal interpolator would fail cases 21 and 23 of EBU Tech 3341 at 96 kHz.
 *
 * <p>Phases 3 and 2 are phases 0 and 1 in reverse. So, with the twelve samples folded about their middle into sums and
 * differences, a phase is {@code even + odd} and its mirror {@code even - odd}, and the larger magnitude of the two is
 * {@code |even| + |odd|}: half the work for the same number.
 */
public final class TruePeak {
    private static final int TAPS = 12;
    private static final double[] PHASE_0 = {
        0.0017089843750, 0.0109863281250, -0.0196533203125, 0.0332031250000, -0.0594482421875, 0.1373291015625,
        0.9721679687500, -0.1022949218750, 0.0476074218750, -0.0266113281250, 0.0148925781250, -0.0083007812500
    };
    private static final double[] PHASE_1 = {
        -0.0291748046875, 0.0292968750000, -0.0517578125000, 0.0891113281250, -0.1665039062500, 0.4650878906250,
        0.7797851562500, -0.2003173828125, 0.1015625000000, -0.0582275390625, 0.0330810546875, -0.0189208984375
    };
    private static final double[] EVEN_0 = folded(PHASE_0, +1), ODD_0 = folded(PHASE_0, -1);
    private static final double[] EVEN_1 = folded(PHASE_1, +1), ODD_1 = folded(PHASE_1, -1);

    /** How far a reading can lie above the samples near it. */
    public static final Overshoot OVERSHOOT = Overshoot.of(TAPS / 2 - 1, PHASE_0, PHASE_1);

    private final double[] samplePeaks;
    private final double[][] history;
    /** Twelve copies of the block, each one sample later: C2 vectorises only loops with one index in all arrays. */
    private final double[][] late = new double[TAPS][Cell.LENGTH];
    private final double[] even = new double[Cell.LENGTH], odd = new double[Cell.LENGTH];
    private double peak;

    public TruePeak(int channels) {
        samplePeaks = new double[channels];
        history = new double[channels][TAPS - 1 + Cell.LENGTH];
    }

    /** Hears the next {@code n} samples of each channel; any {@code n} that the arrays hold. */
    public void add(double[][] x, int n) {
        for (int c = 0; c < history.length; c++) {
            for (int from = 0; from < n; from += Cell.LENGTH) scan(x[c], from, Math.min(Cell.LENGTH, n - from), c);
        }
    }

    private void scan(double[] x, int from, int n, int channel) {
        double[] recent = history[channel];
        System.arraycopy(x, from, recent, TAPS - 1, n);
        double highest = Overshoot.highest(recent, TAPS - 1 + n);
        samplePeaks[channel] = Math.max(samplePeaks[channel], highest);
        boolean reaches = OVERSHOOT.mayReach(peak, highest, recent, TAPS - 1 + n);
        if (reaches) for (int k = 0; k < TAPS; k++) System.arraycopy(recent, TAPS - 1 - k, late[k], 0, n);
        System.arraycopy(recent, n, recent, 0, TAPS - 1);
        if (!reaches) return;
        for (int k = 0; k < TAPS / 2; k++) fold(late[k], late[TAPS - 1 - k], n);
        double[] sum0 = late[0], sum1 = late[1], sum2 = late[2], sum3 = late[3], sum4 = late[4], sum5 = late[5];
        double[] dif0 = late[11], dif1 = late[10], dif2 = late[9], dif3 = late[8], dif4 = late[7], dif5 = late[6];
        fir(even, EVEN_0, sum0, sum1, sum2, sum3, sum4, sum5, n);
        fir(odd, ODD_0, dif0, dif1, dif2, dif3, dif4, dif5, n);
        peak = largestSum(even, odd, n, peak);
        fir(even, EVEN_1, sum0, sum1, sum2, sum3, sum4, sum5, n);
        fir(odd, ODD_1, dif0, dif1, dif2, dif3, dif4, dif5, n);
        peak = largestSum(even, odd, n, peak);
    }

    /** True peak in dBTP; negative infinity for silence. */
    public double dbtp() {
        return Math.max(dbfs(), Decibels.ofGain(peak));
    }

    /** Sample peak in dBFS; negative infinity for silence. */
    public double dbfs() {
        return Decibels.ofGain(Arrays.stream(samplePeaks).max().orElse(0));
    }

    /** The same of one channel. */
    public double dbfs(int channel) {
        return Decibels.ofGain(samplePeaks[channel]);
    }

    /** Samples before and after the two that are read between which a reading depends on. */
    public static final int BESIDE = TAPS / 2 - 1;

    /** What it reads at the four points between a sample and the next: the largest magnitude. Reaches {@link #BESIDE} samples beyond both. */
    public static double between(double[] x, int at) {
        double even0 = 0, odd0 = 0, even1 = 0, odd1 = 0;
        for (int k = 0, a = at + TAPS / 2, b = at - BESIDE; k < TAPS / 2; k++, a--, b++) {
            double sum = x[a] + x[b], dif = x[a] - x[b];
            even0 += EVEN_0[k] * sum;
            odd0 += ODD_0[k] * dif;
            even1 += EVEN_1[k] * sum;
            odd1 += ODD_1[k] * dif;
        }
        return Math.max(Math.abs(even0) + Math.abs(odd0), Math.abs(even1) + Math.abs(odd1));
    }

    /** The half taps of the sum ({@code sign} +1) or of the difference (-1) of a phase and its mirror. */
    private static double[] folded(double[] phase, int sign) {
        double[] half = new double[TAPS / 2];
        for (int k = 0; k < half.length; k++) half[k] = (phase[k] + sign * phase[TAPS - 1 - k]) / 2;
        return half;
    }

    private static void fold(double[] a, double[] b, int n) {
        for (int i = 0; i < n; i++) {
            double p = a[i], q = b[i];
            a[i] = p + q;
            b[i] = p - q;
        }
    }

    private static void fir(
            double[] y, double[] h, double[] a, double[] b, double[] c, double[] d, double[] e, double[] f, int n) {
        double h0 = h[0], h1 = h[1], h2 = h[2], h3 = h[3], h4 = h[4], h5 = h[5];
        for (int i = 0; i < n; i++) {
            y[i] = h0 * a[i] + h1 * b[i] + h2 * c[i] + h3 * d[i] + h4 * e[i] + h5 * f[i];
        }
    }

    private static double largestSum(double[] even, double[] odd, int n, double largest) {
        for (int i = 0; i < n; i++) {
            double a = Math.abs(even[i]) + Math.abs(odd[i]);
            largest = a > largest ? a : largest;
        }
        return largest;
    }
}
