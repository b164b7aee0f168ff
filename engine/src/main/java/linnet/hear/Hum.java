package linnet.hear;

import java.util.Arrays;
import linnet.dsp.Decibels;

/**
 * Hum of the mains in the pauses.
 *
 * @param hz of the mains: 50 or 60
 * @param dbfs of all harmonics together
 * @param harmonics the level of each that stands out
 */
public record Hum(double hz, double dbfs, Bands harmonics) {
    /** In bins of 2 Hz: what belongs to a line under a Hann window, and where the noise beside it is read. */
    private static final int LINE = 1, NEAR = 4, FAR = 7;
    private static final double HIGHEST = 500;
    /** Harmonics that both mains have, such as 300 Hz, cannot tell them apart. */
    private static final double BELOW = 300;
    /** Deviations of the noise: of one line that is counted, of all that prove the hum. */
    private static final double STANDS_OUT = 1.5, PROOF = 4.5;
    /** Under a Hann window with half overlap each mean of three bins has about this many degrees of freedom a window, halved. */
    private static final double FREEDOM = 1.5;

    /**
     * Looks for hum in a mean power spectrum.
     *
     * @param power mean squares per bin
     * @param windows that it is the mean of
     */
    static Measured<Hum> in(double[] power, double binHz, int windows) {
        double fifty = proof(power, binHz, windows, 50), sixty = proof(power, binHz, windows, 60);
        double proof = Math.max(fifty, sixty), mains = fifty > sixty ? 50 : 60;
        if (proof < PROOF) return Measured.not("no hum stands out of the noise in its pauses");
        double[] hz = new double[(int) (HIGHEST / mains)], dbfs = new double[hz.length];
        double total = 0;
        int n = 0;
        for (int h = 1; h <= hz.length; h++) {
            int bin = (int) Math.round(h * mains / binHz);
            double noise = noise(power, bin), line = line(power, bin) - noise;
            if (deviations(power, bin, windows) < STANDS_OUT) continue;
            hz[n] = h * mains;
            dbfs[n++] = Decibels.ofPower(line);
            total += line;
        }
        Bands harmonics = new Bands(Arrays.copyOf(hz, n), Arrays.copyOf(dbfs, n));
        return Measured.of(new Hum(mains, Decibels.ofPower(total), harmonics), 1 - PROOF / proof / 2);
    }

    /** How far the lines stand out of the noise, in its deviations: of the first, the first two, and so on, what proves most. */
    private static double proof(double[] power, double binHz, int windows, double mains) {
        double sum = 0, most = 0;
        for (int h = 1; h * mains < BELOW; h++) {
            sum += deviations(power, (int) Math.round(h * mains / binHz), windows);
            most = Math.max(most, sum / Math.sqrt(h));
        }
        return most;
    }

    private static double deviations(double[] power, int bin, int windows) {
        double noise = noise(power, bin);
        return noise > 0 ? (line(power, bin) / noise - 1) * Math.sqrt(FREEDOM * windows) : 0;
    }

    private static double line(double[] power, int bin) {
        double sum = 0;
        for (int k = bin - LINE; k <= bin + LINE; k++) sum += power[k];
        return sum;
    }

    /** What the bins of a line would hold of the noise around it. */
    private static double noise(double[] power, int bin) {
        double sum = 0;
        for (int d = NEAR; d <= FAR; d++) sum += power[bin - d] + power[bin + d];
        return sum / (2 * (FAR - NEAR + 1)) * (2 * LINE + 1);
    }
}
