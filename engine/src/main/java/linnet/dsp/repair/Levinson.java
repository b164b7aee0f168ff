package linnet.dsp.repair;

import java.util.Arrays;

/** Linear prediction by the recursion of N. Levinson (1946) and J. Durbin (1960). */
final class Levinson {
    private Levinson() {}

    /**
     * Fills {@code a[0 … order]}, {@code a[0] = 1}, so that {@code Σ a[k] x[n-k]} is the error of prediction.
     *
     * @param r autocorrelation at lags 0 … order; {@code r[0]} above 0
     * @param scratch as long as {@code a}
     */
    static void predict(double[] r, double[] a, double[] scratch) {
        Arrays.fill(a, 0);
        a[0] = 1;
        double error = r[0];
        for (int k = 1; k < a.length; k++) {
            double sum = r[k];
            for (int i = 1; i < k; i++) sum += a[i] * r[k - i];
            double reflection = -sum / error;
            for (int i = 1; i < k; i++) scratch[i] = a[i] + reflection * a[k - i];
            System.arraycopy(scratch, 1, a, 1, k - 1);
            a[k] = reflection;
            error *= 1 - reflection * reflection;
            if (!(error > 0)) return;
        }
    }
}
