package linnet.hear;

import linnet.dsp.Decibels;

/**
 * The mean spectrum of a singer's sibilants: frames without pitch that are far stronger above 3 kHz than below. Loud ones
 * count for more, as they do to the listener.
 */
final class Sibilants {
    private static final double LOW = 150, SPLIT = 3000, HIGH = 12000;
    /** 3 dB: a breath is stronger below the split, an s stands 10 dB and more above it. */
    private static final double DOMINANCE = 2;

    private final double binHz, scale;
    private final double[] sum;
    private final int low, split, end;
    private int frames;

    /**
     * @param binHz from one bin of the spectra to the next
     * @param scale from the power of a bin to the mean square of the signal in it
     */
    Sibilants(double binHz, int bins, double scale) {
        this.binHz = binHz;
        this.scale = scale;
        low = (int) Math.ceil(LOW / binHz);
        split = (int) Math.ceil(SPLIT / binHz);
        end = Math.min(bins, (int) (HIGH / binHz) + 1);
        sum = new double[Math.max(0, end)];
    }

    /** Takes a power spectrum of a frame without pitch, if it is one of a sibilant. */
    void add(double[] power) {
        double below = 0, above = 0;
        for (int k = low; k < split && k < end; k++) below += power[k];
        for (int k = split; k < end; k++) above += power[k];
        if (above <= DOMINANCE * below) return;
        for (int k = low; k < end; k++) sum[k] += power[k];
        frames++;
    }

    int frames() {
        return frames;
    }

    /** Mean level between 3 and 12 kHz, in dBFS. */
    double dbfs() {
        double power = 0;
        for (int k = split; k < end; k++) power += sum[k];
        return Decibels.ofPower(scale * power / frames);
    }

    /** Mean of the logarithm of frequency above 3 kHz, weighted by power, in Hz. */
    double centre() {
        double power = 0, moment = 0;
        for (int k = split; k < end; k++) {
            power += sum[k];
            moment += sum[k] * StrictMath.log(k * binHz);
        }
        return StrictMath.exp(moment / power);
    }
}
