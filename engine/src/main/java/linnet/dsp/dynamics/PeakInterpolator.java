package linnet.dsp.dynamics;

import linnet.dsp.Cell;
import linnet.dsp.Silence;
import linnet.dsp.loudness.Overshoot;
import linnet.dsp.loudness.TruePeak;
import linnet.dsp.resample.HalfBand;

/**
 * The largest magnitude of a signal from each sample to just before the next, between the samples too: eight times
 * oversampled by three half-band filters in a row (Kaiser windows), flat within 0.01 dB to 0.46 of the rate.
 *
 * <p>Source: ITU-R BS.1770 Annex 2 gives the method; the filter there has 0.24 dB of ripple, so a limiter needs this longer
 * one. At eight times the rate a peak is under-read by 0.14 dB at most, at 0.45 of the rate.
 */
final class PeakInterpolator {
    private static final double STOP_DB = 70;

    /** Long where the signal reaches up to the image, short where an octave and more lies between. */
    private static final int[] PAIRS = {52, 6, 4};

    /** Samples by which the magnitudes are late: each stage, by as many of its own input samples as it has pairs. */
    static final int LATENCY = PAIRS[0] + PAIRS[1] / 2 + PAIRS[2] / 4;

    /** Samples that can still be heard in the stages. */
    private static final int REACH = 2 * LATENCY;

    private static final Overshoot OVERSHOOT = overshoot().or(TruePeak.OVERSHOOT);

    private final HalfBand twice = new HalfBand(PAIRS[0], STOP_DB, Cell.LENGTH);
    private final HalfBand fourTimes = new HalfBand(PAIRS[1], STOP_DB, 2 * Cell.LENGTH);
    private final HalfBand eightTimes = new HalfBand(PAIRS[2], STOP_DB, 4 * Cell.LENGTH);
    private final double[] at2 = new double[2 * Cell.LENGTH], at4 = new double[4 * Cell.LENGTH], at8 = new double[8 * Cell.LENGTH];
    /** The samples that can still be heard, then the block. */
    private final double[] line = new double[REACH + Cell.LENGTH];
    private boolean stale; // the stages have not been given the last samples

    /**
     * Raises {@code peak[i]} to the magnitude from the sample {@link #LATENCY} before {@code x[i]} on; or returns false and
     * leaves all as they are, if none can be above {@code least}. What the meter of the standard reads there, which may be more, counts for {@code meter} of
     * itself. The filters have a finite memory, so what was left out is made up for later, to the same bits.
     */
    boolean process(double[] x, double[] peak, int n, double least, double meter) {
        System.arraycopy(x, 0, line, REACH, n);
        boolean canBe = OVERSHOOT.mayReach(least, Overshoot.highest(line, REACH + n), line, REACH + n);
        if (canBe) {
            if (stale) interpolate(line, REACH);
            interpolate(x, n);
            raise(peak, at8, n);
            for (int i = 0, at = REACH - LATENCY; i < n; i++, at++) peak[i] = Math.max(peak[i], meter * TruePeak.between(line, at));
        }
        stale = !canBe;
        System.arraycopy(line, n, line, 0, REACH);
        return canBe;
    }

    /** Whether only silence can still be heard. */
    boolean rests() {
        return Silence.in(line, REACH);
    }

    /** As {@link #process} of a cell of silence, which raises nothing. */
    void rest() {
        stale = true;
    }

    private void interpolate(double[] x, int n) {
        twice.up(x, at2, n);
        fourTimes.up(at2, at4, 2 * n);
        eightTimes.up(at4, at8, 4 * n);
    }

    private static void raise(double[] peak, double[] at8, int n) {
        for (int i = 0, k = 0; i < n; i++, k += 8) {
            double most = peak[i];
            for (int p = 0; p < 8; p++) {
                double v = Math.abs(at8[k + p]);
                most = v > most ? v : most;
            }
            peak[i] = most;
        }
    }

    /** Of the eight phases: their responses to an impulse, turned round. */
    private static Overshoot overshoot() {
        PeakInterpolator interpolator = new PeakInterpolator();
        double[] impulse = new double[REACH];
        impulse[0] = 1;
        interpolator.interpolate(impulse, REACH);
        double[][] phases = new double[8][REACH];
        for (int i = 0; i < 8 * REACH; i++) phases[i % 8][REACH - 1 - i / 8] = interpolator.at8[i];
        return Overshoot.of(REACH - 1 - LATENCY, phases);
    }
}
