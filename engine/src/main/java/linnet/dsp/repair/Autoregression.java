package linnet.dsp.repair;

/**
 * A sound told from its own past: {@code x[n] = Σ taps[k] · x[n - lags[k]] + e[n]}, e white. Lags 1 … p hold the formants; a few around
 * the period of the voice hold its pitch too (S. Vaseghi, P. Rayner, "Detection and suppression of impulsive noise in speech
 * communication systems", IEE Proc. I 137(1), 1990; from memory), so that a gap as long as a period is told from the periods beside it.
 *
 * @param lags in samples, rising, the least is 1
 * @param variance of e
 */
record Autoregression(int[] lags, double[] taps, double variance) {
    /** Beside the power of the sound: what keeps the equations of a pure tone solvable. */
    private static final double RIDGE = 1e-15;
    private static final double SILENT = 1e-20;

    /** Lags 1 … order, and those within {@code reach} of a period, if there is one. */
    static int[] lags(int order, int period, int reach) {
        int first = period == 0 ? 1 : Math.max(order + 1, period - reach), last = period == 0 ? 0 : period + reach;
        int[] lags = new int[order + Math.max(0, last - first + 1)];
        for (int k = 0; k < lags.length; k++) lags[k] = k < order ? k + 1 : first + k - order;
        return lags;
    }

    /**
     * Fits by least squares (the covariance method) to {@code x[from … to - 1]}, without any equation that a damaged sample stands in.
     * Source: S. Godsill, P. Rayner, "Digital Audio Restoration", 1998.
     *
     * @return null where too little is whole; beside digital silence a model that expects silence
     */
    static Autoregression fit(double[] x, int from, int to, boolean[] damaged, int[] lags) {
        int p = lags.length;
        Equations equations = new Equations(p);
        double[] past = new double[p];
        double power = 0;
        int rows = 0;
        int farthest = lags[p - 1];
        for (int n = Math.max(from, farthest); n < to; n++) {
            if (damaged[n] || anyDamaged(damaged, n, lags)) continue;
            for (int k = 0; k < p; k++) past[k] = x[n - lags[k]];
            equations.add(past, x[n]);
            power += x[n] * x[n];
            rows++;
        }
        if (rows < 2 * p) return null;
        if (!(power > 0)) return new Autoregression(lags, new double[p], SILENT);
        double[] right = equations.right().clone();
        double[] taps = equations.solved(RIDGE * power);
        if (taps == null) return null;
        double rest = power;
        for (int k = 0; k < p; k++) rest -= taps[k] * right[k];
        return new Autoregression(lags, taps, Math.max(rest, RIDGE * power) / rows);
    }

    private static boolean anyDamaged(boolean[] damaged, int n, int[] lags) {
        for (int lag : lags) if (damaged[n - lag]) return true;
        return false;
    }

    /** The farthest lag. */
    int reach() {
        return lags[lags.length - 1];
    }

    /**
     * What samples {@code from … to - 1} add to the squared error of all that comes of them, up to {@code end}: as a quadratic form
     * {@code u'Qu}, and {@code Q} times the samples themselves plus what the others bring, on the right. So the sample values that the
     * model would have had there differ from {@code x} by the solution of {@code Qc = right}. Source: A. Janssen, R. Veldhuis, L. Vries,
     * "Adaptive interpolation of discrete-time signals that can be modeled as autoregressive processes", IEEE TASSP 34(2), 1986.
     */
    Equations around(double[] x, int from, int to, int end) {
        int m = to - from;
        Equations equations = new Equations(m);
        int[] place = new int[lags.length + 1];
        double[] weight = new double[lags.length + 1];
        for (int n = Math.max(from, reach()); n < Math.min(end, to + reach()); n++) {
            double error = x[n];
            int count = 0;
            // The farthest first: places then rise.
            for (int k = lags.length - 1; k >= 0; k--) {
                int at = n - lags[k];
                error -= taps[k] * x[at];
                if (at < from || at >= to) continue;
                place[count] = at - from;
                weight[count++] = -taps[k];
            }
            if (n < to) {
                place[count] = n - from;
                weight[count++] = 1;
            }
            equations.add(place, weight, count, error);
        }
        return equations;
    }
}
