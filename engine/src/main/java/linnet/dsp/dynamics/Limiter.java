package linnet.dsp.dynamics;

import java.util.Arrays;
import linnet.dsp.Cell;
import linnet.dsp.Decibels;
import linnet.dsp.Lag;

/**
 * A look-ahead limiter that holds the true peak under a ceiling. The gain that each sample needs is the ceiling over the
 * largest magnitude around it, between the samples too; the gain applied is the smallest of these over a window, let go
 * slowly, then averaged twice over half a window each. Every average holds only gains low enough for the sample it is
 * applied to, so the ceiling is kept without clipping, and the gain moves in curves without corners. While nothing is over
 * the ceiling the signal is delayed and otherwise untouched, to the bit.
 *
 * <p>The averages are sums of whole numbers: they neither drift nor depend on how the signal is cut, and come back to
 * exactly 1.
 *
 * <p>Source: true peak, ITU-R BS.1770-5, Annex 2; the minimum, {@link SlidingMinimum}; the smoothing by averages is textbook.
 */
public final class Limiter {
    /**
     * How far under the ceiling peaks are held, in dB: for what lies between eight points to a sample, and for the gain that
     * moves meanwhile. What the meter of ITU-R BS.1770 reads is held under the ceiling by less: its interpolator reads a tone up to 0.22 dB too
     * high, and by it a print is judged.
     */
    static final double MARGIN_DB = 0.15;

    /** For dither, which adds less than 0.001 dB at 16 bits, and the moving gain. */
    private static final double METER_DB = 0.01;
    private static final double METER = Decibels.gain(METER_DB - MARGIN_DB);

    /** The gain a sample needs holds for so many neighbours on either side: a peak between samples is made of them too. */
    private static final int AROUND = 2;

    /** A gain of 1 as a whole number: its sums stay below 2^63 for averages over 10 000 samples. */
    private static final long ONE = 1L << 36;

    /** The gain is back at 1 when it is this near. */
    private static final double ARRIVED = 1e-9;

    private final double rate;
    private final int latency, memory;
    private final Lag[] lags;
    private final PeakInterpolator[] interpolators;
    private final SlidingMinimum lowest;
    private final RunningSum first, second;
    private final double whole; // the second average's sum at a gain of 1
    private final double[] peak = new double[Cell.LENGTH], gain = new double[Cell.LENGTH];

    private double ceiling, rise;
    private double held = 1;
    private int atRest; // samples since the gain was last held below 1, as far as anything remembers it
    private double last = 1;
    private boolean turned; // whether the last block was, anywhere

    /**
     * @param rate samples per second
     * @param channels 1 or 2; they share one gain, so the image stays
     * @param lookaheadMs time in which the gain goes down ahead of a peak
     */
    public Limiter(double rate, int channels, double lookaheadMs) {
        this.rate = rate;
        int smooth = smooth(rate, lookaheadMs);
        first = new RunningSum((smooth + 1) / 2, ONE);
        second = new RunningSum(smooth + 1 - first.length(), ONE * first.length());
        whole = (double) ONE * first.length() * second.length();
        lowest = new SlidingMinimum(smooth + 2 * AROUND);
        memory = smooth + 2 * AROUND + first.length() + second.length();
        latency = latency(rate, lookaheadMs);
        lags = new Lag[channels];
        interpolators = new PeakInterpolator[channels];
        for (int c = 0; c < channels; c++) {
            lags[c] = new Lag(latency);
            interpolators[c] = new PeakInterpolator();
        }
    }

    /** Samples over which the gain is smoothed. */
    private static int smooth(double rate, double lookaheadMs) {
        return Math.max(1, (int) Math.round(lookaheadMs * 1e-3 * rate));
    }

    /** In samples: the look-ahead and what the interpolator needs. */
    public static int latency(double rate, double lookaheadMs) {
        return PeakInterpolator.LATENCY + smooth(rate, lookaheadMs) - 1 + AROUND;
    }

    public int latency() {
        return latency;
    }

    /**
     * To be called before the first block, and between cells whenever a value has moved.
     *
     * @param ceilingDbtp highest true peak
     * @param releaseMs time in which 63.2 % of the reduction is let go
     */
    public void set(double ceilingDbtp, double releaseMs) {
        ceiling = Decibels.gain(ceilingDbtp - MARGIN_DB);
        rise = 1 - Ballistics.pole(releaseMs, rate);
    }

    /** In place; as many channels as it was made for. */
    public void process(double[][] x, int n) {
        Arrays.fill(peak, 0, n, 0);
        boolean canBeOver = false;
        for (int c = 0; c < lags.length; c++) {
            canBeOver |= interpolators[c].process(x[c], peak, n, ceiling, METER);
            lags[c].process(x[c], n);
        }
        turned = canBeOver || atRest != memory;
        if (!turned) return;
        follow(n);
        for (int c = 0; c < lags.length; c++) times(x[c], gain, n);
    }

    /** Turns another signal down as the last block of this one was. */
    public Follower follower() {
        return new Follower();
    }

    /** A signal of its own, with the gain of this limiter. */
    public final class Follower implements Led {
        private final Lag[] own = new Lag[lags.length];

        private Follower() {
            for (int c = 0; c < own.length; c++) own[c] = new Lag(latency);
        }

        @Override
        public void process(double[] x, int n) {
            follow(x, 0, n);
        }

        @Override
        public void process(double[] l, double[] r, int n) {
            follow(l, 0, n);
            follow(r, 1, n);
        }

        private void follow(double[] x, int channel, int n) {
            own[channel].process(x, n);
            if (turned) times(x, gain, n);
        }

        @Override
        public boolean rests() {
            for (Lag lag : own) if (!lag.isSilent()) return false;
            return true;
        }
    }

    /** Whether silence leaves it as silence, wherever its settings move. */
    public boolean rests() {
        if (atRest != memory) return false;
        for (int c = 0; c < lags.length; c++) if (!lags[c].isSilent() || !interpolators[c].rests()) return false;
        return true;
    }

    /** As {@link #process} of a cell of silence. */
    public void rest() {
        turned = false;
        for (PeakInterpolator p : interpolators) p.rest();
    }

    /** Finds the gain of each sample. */
    private void follow(int n) {
        for (int i = 0; i < n; i++) {
            double wanted = peak[i] > ceiling ? ceiling / peak[i] : 1;
            double least = lowest.next(wanted);
            double up = held + (least - held) * rise;
            held = least - up < ARRIVED ? least : up; // down at once, up slowly
            atRest = held < 1 ? 0 : Math.min(atRest + 1, memory);
            gain[i] = second.next(first.next((long) (held * ONE))) / whole;
        }
        last = gain[n - 1];
    }

    private static void times(double[] x, double[] gain, int n) {
        for (int i = 0; i < n; i++) x[i] *= gain[i];
    }

    /** By how many dB the gain stood below unity at the last sample. */
    public double reductionDb() {
        return last == 1 ? 0 : -Decibels.ofGain(last);
    }
}
