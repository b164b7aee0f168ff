package linnet.hear;

import linnet.dsp.Decibels;

/** Powers in cells of 1 ms, averaged so that the cycles of a voice do not show, and as levels. */
final class Smooth {
    private Smooth() {}

    /** The mean over {@code before} cells before each, itself, and {@code after} cells after it; at the ends, over those that are there. */
    static double[] mean(float[] power, int before, int after) {
        double[] sums = new double[power.length + 1];
        for (int i = 0; i < power.length; i++) sums[i + 1] = sums[i] + power[i];
        double[] mean = new double[power.length];
        for (int i = 0; i < power.length; i++) {
            int from = Math.max(0, i - before), to = Math.min(power.length, i + after + 1);
            // A difference of sums may come out a little below nothing.
            mean[i] = Math.max(0, sums[to] - sums[from]) / (to - from);
        }
        return mean;
    }

    /** In dB, no lower than {@code floor}. */
    static double[] levels(double[] power, double floor) {
        double least = Decibels.power(floor);
        double[] db = new double[power.length];
        for (int i = 0; i < power.length; i++) db[i] = power[i] > least ? Decibels.ofPower(power[i]) : floor;
        return db;
    }
}
