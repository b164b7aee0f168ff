package linnet.dsp.splice;

import linnet.dsp.Decibels;

/**
 * How two sounds compare over the same stretch, all channels taken together.
 *
 * @param correlation -1 to 1; 0 where one of them is silent
 * @param before mean power of the first
 * @param after mean power of the second
 */
public record Overlap(double correlation, double before, double after) {
    /** Below -90 dBFS nobody hears how far below. */
    private static final double INAUDIBLE = 1e-9;

    /** @param lag samples by which the second is read later */
    public static Overlap of(double[][] first, double[][] second, int from, int n, int lag) {
        double ab = 0, aa = 0, bb = 0;
        for (int c = 0; c < first.length; c++) {
            double[] a = first[c], b = second[c];
            for (int i = from; i < from + n; i++) {
                ab += a[i] * b[i + lag];
                aa += a[i] * a[i];
                bb += b[i + lag] * b[i + lag];
            }
        }
        double both = Math.sqrt(aa * bb), samples = Math.max(1, (double) n * first.length);
        return new Overlap(both > 0 ? Math.max(-1, Math.min(1, ab / both)) : 0, aa / samples, bb / samples);
    }

    /** By how many dB the second is louder. */
    public double step() {
        return Decibels.ofPower(Math.max(INAUDIBLE, after)) - Decibels.ofPower(Math.max(INAUDIBLE, before));
    }

    /**
     * The lag, no longer than {@code most} to either side, at which the second is most like the first: where both are voiced, pitch period
     * on pitch period. Between lags that are as good the shortest is taken.
     */
    public static int lag(double[][] first, double[][] second, int from, int n, int most) {
        double[] power = new double[n + 2 * most + 1];
        for (int i = 0; i < n + 2 * most; i++) {
            double sum = 0;
            for (double[] b : second) sum += b[from - most + i] * b[from - most + i];
            power[i + 1] = power[i] + sum;
        }
        int best = 0;
        double highest = Double.NEGATIVE_INFINITY;
        for (int k = 0; k <= 2 * most; k++) {
            int lag = k % 2 == 0 ? k / 2 : -(k + 1) / 2;
            double under = Math.sqrt(Math.max(0, power[most + lag + n] - power[most + lag])),
                    here = under > 0 ? product(first, second, from, n, lag) / under : 0;
            if (here > highest + 1e-9 * Math.abs(highest) || k == 0) {
                highest = here;
                best = lag;
            }
        }
        return best;
    }

    private static double product(double[][] first, double[][] second, int from, int n, int lag) {
        double sum = 0;
        for (int c = 0; c < first.length; c++) {
            double[] a = first[c], b = second[c];
            for (int i = from; i < from + n; i++) sum += a[i] * b[i + lag];
        }
        return sum;
    }
}
