package linnet.dsp.loudness;

import linnet.dsp.Decibels;

/** The largest magnitude among the samples of all channels. */
public final class SamplePeak {
    private double peak;

    /** Hears the next {@code n} samples of each channel. */
    public void add(double[][] x, int n) {
        for (double[] channel : x) peak = Math.max(peak, largest(channel, n));
    }

    /** In dBFS; negative infinity for silence. */
    public double dbfs() {
        return Decibels.ofGain(peak);
    }

    private static double largest(double[] x, int n) {
        double largest = 0;
        for (int i = 0; i < n; i++) {
            double a = Math.abs(x[i]);
            largest = a > largest ? a : largest;
        }
        return largest;
    }
}
