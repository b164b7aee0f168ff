package linnet.dsp.dynamics;

/**
 * The static curve of a compressor: from the level of the key to the wanted reduction, both in dB, with a knee that joins
 * the two straight lines by a parabola.
 *
 * <p>Source: D. Giannoulis, M. Massberg, J. Reiss, "Digital Dynamic Range Compressor Design - A Tutorial and Analysis",
 * JAES 60(6), 2012, eq. 4.
 */
public final class GainComputer {
    private final double mostDb;
    private double thresholdDb, slope, kneeDb, curvature;

    /**
     * @param ratio 1 or more; infinity for a limiter
     * @param kneeDb width of the knee, 0 for a hard one
     * @param mostDb no reduction is wanted to be larger; or {@link Compression#NO_BOUND}
     */
    public GainComputer(double thresholdDb, double ratio, double kneeDb, double mostDb) {
        this.mostDb = mostDb;
        set(thresholdDb, ratio, kneeDb);
    }

    void set(double thresholdDb, double ratio, double kneeDb) {
        this.thresholdDb = thresholdDb;
        this.slope = 1 - 1 / ratio;
        this.kneeDb = kneeDb;
        this.curvature = kneeDb > 0 ? slope / (2 * kneeDb) : 0;
    }

    /** Replaces each level by the wanted reduction, which is 0 or more. */
    public void process(double[] db, int n) {
        reductions(db, n, kneeDb / 2 - thresholdDb, kneeDb, curvature, slope);
        if (mostDb < Compression.NO_BOUND) bound(db, n, mostDb);
    }

    /** The same for one level. */
    public double reduction(double db) {
        double[] x = {db};
        process(x, 1);
        return x[0];
    }

    private static void reductions(double[] db, int n, double toKnee, double knee, double curvature, double slope) {
        for (int i = 0; i < n; i++) {
            // |t| + t instead of a branch, so that the loop vectorises.
            double overStart = db[i] + toKnee;
            double overEnd = overStart - knee;
            double above = 0.5 * (overEnd + Math.abs(overEnd));
            double inKnee = 0.5 * (overStart + Math.abs(overStart)) - above;
            db[i] = curvature * inKnee * inKnee + slope * above;
        }
    }

    private static void bound(double[] db, int n, double most) {
        for (int i = 0; i < n; i++) db[i] = Math.min(db[i], most);
    }
}
