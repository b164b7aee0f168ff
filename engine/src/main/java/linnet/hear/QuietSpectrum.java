package linnet.hear;

import java.util.function.IntPredicate;

/** The mean power spectrum of the pauses, under a Hann window, half overlapping, of which every frame is quiet. */
final class QuietSpectrum {
    private final IntPredicate quiet;
    private final int hop;
    private final Windows windows;
    private final double[] sum;
    private int taken;

    /**
     * @param length of the window in samples, a power of two
     * @param hop samples in a frame of 10 ms
     * @param quiet whether such a frame lies in a pause
     */
    QuietSpectrum(int length, int hop, IntPredicate quiet) {
        this.quiet = quiet;
        this.hop = hop;
        windows = new Windows(length, 2);
        sum = new double[windows.bins()];
    }

    /** Hears the next {@code n} samples. */
    void add(double[] x, int n) {
        windows.add(x, n, this::hear);
    }

    private void hear(long start) {
        for (long f = start / hop; f * hop < start + windows.length(); f++) if (!quiet.test((int) f)) return;
        double[] power = windows.power();
        for (int k = 0; k < sum.length; k++) sum[k] += power[k];
        taken++;
    }

    double binHz(double rate) {
        return rate / windows.length();
    }

    int windows() {
        return taken;
    }

    /** Mean squares per bin. */
    double[] power() {
        double[] mean = new double[sum.length];
        double scale = windows.scale();
        for (int k = 0; k < mean.length; k++) mean[k] = scale * sum[k] / taken;
        return mean;
    }
}
