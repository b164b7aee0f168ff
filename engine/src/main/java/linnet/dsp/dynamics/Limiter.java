package linnet.dsp.dynamics;

import java.util.Arrays;
import linnet.dsp.Cell;
import linnet.dsp.Lag;

/**
 * A look-ahead limiter of true peaks. With the wanted gain {@code g[n] = min(1, c / peak[n])}, its smallest value over the
 * look-ahead is averaged over the same look-ahead: every average then holds the gain that the peak needs when the peak
 * comes out, and gets there in a smooth curve. The release slows rises only, before the minimum, so it can never let a
 * peak through. While nothing is over the ceiling the signal is delayed and otherwise untouched, to the bit.
 *
 * <p>Source: references to the sliding minimum in {@link SlidingMinimum}; the smoothing by averages is textbook. The ceiling
 * is kept to a margin of {@value #MARGIN_DB} dB, which covers what eight-times interpolation under-reads.
 */
public final class Limiter {
    /** How far under the ceiling peaks are held, in dB. */
    private static final double MARGIN_DB = 0.15;

    private final int lookahead;
    private final double rate;
    private final Lag[] lags;
    private final PeakInterpolator[] interpolators;
    private final SlidingMinimum minimum;
    private final Average first, second;
    private final double[] peak = new double[Cell.LENGTH];
    private final double[] gain = new double[Cell.LENGTH];
    private double ceiling = 1;
    private double rise;
    private double held = 1;
    /** Samples since the wanted gain was last below 1; once the averages are full of ones the gain is exactly 1. */
    private int sinceBelow = Integer.MAX_VALUE / 2;

    private double lastGain = 1;

    /** Mean of the last values; full of ones in the beginning. */
    private static final class Average {
        private final double[] ring;
        private int at;
        private double sum;

        Average(int length) {
            ring = new double[length];
            Arrays.fill(ring, 1);
            sum = length;
        }

        double next(double value) {
            sum += value - ring[at];
            ring[at] = value;
            if (++at == ring.length) at = 0;
            return sum / ring.length;
        }

        /** Forgets the rounding of past sums. */
        void rest() {
            Arrays.fill(ring, 1);
            sum = ring.length;
        }
    }

    /**
     * @param rate samples per second
     * @param channels 1 or 2; they share one gain, so the image stays
     * @param lookaheadMs time in which the gain goes down ahead of a peak
     */
    public Limiter(double rate, int channels, double lookaheadMs) {
        this.rate = rate;
        lookahead = Math.max(2, (int) Math.round(lookaheadMs * 1e-3 * rate));
        lags = new Lag[channels];
        interpolators = new PeakInterpolator[channels];
        for (int c = 0; c < channels; c++) {
            lags[c] = new Lag(latency());
            interpolators[c] = new PeakInterpolator();
        }
        minimum = new SlidingMinimum(lookahead + 1);
        // Two averages in a row make a curve without corners; together they are as long as the look-ahead.
        first = new Average((lookahead + 2) / 2);
        second = new Average(lookahead + 2 - (lookahead + 2) / 2);
    }

    public int latency() {
        return lookahead + PeakInterpolator.LATENCY;
    }

    /** To be called before the first block, and between cells whenever a value has moved. */
    public void set(double ceilingDbtp, double releaseMs) {
        ceiling = StrictMath.pow(10, (ceilingDbtp - MARGIN_DB) / 20);
        rise = 1 - StrictMath.exp(-1e3 / (releaseMs * rate));
    }

    /** In place; as many channels as it was made for. */
    public void process(double[][] x, int n) {
        Arrays.fill(peak, 0, n, 0);
        for (int c = 0; c < lags.length; c++) {
            interpolators[c].process(x[c], peak, n, ceiling);
            lags[c].process(x[c], n);
        }
        if (!follow(n)) return;
        for (int c = 0; c < lags.length; c++) times(x[c], gain, n);
    }

    /** Finds the gain of each sample; false if it is 1 throughout. */
    private boolean follow(int n) {
        boolean works = false;
        int full = 2 * lookahead + 4;
        for (int i = 0; i < n; i++) {
            double wanted = peak[i] > ceiling ? ceiling / peak[i] : 1;
            held = wanted < held ? wanted : held + (wanted - held) * rise;
            // So near to 1 nobody hears the last step, and the signal is whole again.
            if (held > 1 - 1e-9) held = 1;
            sinceBelow = held < 1 ? 0 : sinceBelow + (sinceBelow < full ? 1 : 0);
            double g = second.next(first.next(minimum.next(held)));
            if (sinceBelow == full) {
                first.rest();
                second.rest();
                sinceBelow++;
            }
            gain[i] = sinceBelow >= full ? 1 : g;
            works |= sinceBelow < full;
        }
        lastGain = gain[n - 1];
        return works;
    }

    private static void times(double[] x, double[] gain, int n) {
        for (int i = 0; i < n; i++) x[i] *= gain[i];
    }

    /** By how many dB the gain stood below unity at the last sample. */
    public double reductionDb() {
        return -20 * StrictMath.log10(lastGain);
    }
}
