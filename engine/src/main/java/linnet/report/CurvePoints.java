package linnet.report;

import linnet.step.Curve;

/** A curve at points that lie evenly to the eye: by ratio over frequency, by dB over level. */
record CurvePoints(double[] x, double[] y) {
    static final double QUIETEST_DB = -80;
    private static final double LOWEST_HZ = 20;
    /** A notch goes down without end. */
    private static final double LEAST = -200;

    /** @param rate samples per second: a response is drawn up to just under its half */
    static CurvePoints of(Curve curve, double rate, int points) {
        boolean response = curve.axis() == Curve.Axis.FREQUENCY;
        double highest = Math.min(20_000, 0.499 * rate);
        double[] x = new double[points], y = new double[points];
        for (int i = 0; i < points; i++) {
            double share = i / (points - 1.0);
            x[i] = response ? LOWEST_HZ * Math.pow(highest / LOWEST_HZ, share) : QUIETEST_DB * (1 - share);
            y[i] = Math.max(LEAST, curve.of().applyAsDouble(x[i]));
        }
        return new CurvePoints(x, y);
    }
}
