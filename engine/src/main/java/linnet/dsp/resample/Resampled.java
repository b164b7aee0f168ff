package linnet.dsp.resample;

import java.util.Arrays;
import org.apache.commons.math3.util.ArithmeticUtils;
import linnet.dsp.CacheLines;
import linnet.dsp.Sound;

/**
 * A sound at another rate: a polyphase windowed sinc, linear in phase, its delay taken out to the sample. With the lower of
 * the two rates called r, everything up to 0.4535 r (20 kHz at 44.1 kHz) passes within 0.01 dB, and what lies above r/2 is
 * at least 120 dB down, so nothing folds back. Length out is length in times the ratio, rounded up.
 *
 * <p>Source: the Kaiser window of {@link Kaiser}; A. Oppenheim, R. Schafer, "Discrete-Time Signal Processing", changing the
 * rate by a rational factor. Threads read it one at a time.
 *
 * <p>Every up-th output has the same phase, and its input lies just down samples on. So a stretch of the sound is made phase by
 * phase: with the input sorted by its place modulo down, each tap of a phase weighs a row of neighbours, in loops of a known length, of
 * which the compiler makes vectors. Outputs side by side need almost the same rows, so a few rows are weighed for all of a group while
 * they are in the first cache. The stretches lie on a fixed grid, so that a piece has the same bits however it is asked for.
 */
public final class Resampled implements Sound {
    private static final double PASS = 20_000 / 44_100.0;
    private static final double STOP = 0.5;
    /** A little more than the promised 120 dB: the window's law is an estimate. */
    private static final double ATTENUATION_DB = 126;
    /** Rows, and outputs that they are weighed for, in one loop: more are too many to become vectors. */
    private static final int TAPS_AT_ONCE = 4, TOGETHER = 2;
    /** Outputs side by side that are worked on with the same rows. */
    private static final int GROUP = 8;
    /**
     * Outputs of one phase in a stretch: six up to the beginning of a line of the cache, then sixteen vectors of eight. In a shorter
     * loop what comes before and after its vectors takes as long as they do; all rows must lie within a processor's second cache.
     */
    private static final int ROW = 134;
    /** Of fewer phases each is there several times: else the rows would be made for a few outputs only. */
    private static final int FEWEST_PHASES = 32;

    private final Sound source;
    private final double rate;
    /** Output sample k stands at input time k · down / up. */
    private final int up, down;
    private final int taps;
    /**
     * {@code weights[k]} are those of output k of a stretch for the rows from the place of the first output of its group on; what fills the last group up
     * weighs nothing.
     */
    private final double[][] weights;

    /** {@code rows[j][m]} is the input {@code j + m · down} after the first that the stretch needs. */
    private final double[][] rows;
    private final double[][] sums = new double[GROUP][];
    private final double[][] fetched, stretch;
    private long made = -1;

    /** @param rate whole samples per second; the source's own must be whole too */
    public Resampled(Sound source, double rate) {
        this.source = source;
        this.rate = rate;
        Ratio ratio = Ratio.of(source.rate(), rate);
        int times = ratio.times;
        up = ratio.up;
        down = ratio.down;
        double lower = Math.min(1, (double) up / down); // of the two rates, re that of the input
        taps = taps(lower);
        double cutoff = (PASS + STOP) * lower; // of half the input rate
        int farthest = (int) (((GROUP - 1L) * down + up - 1) / up); // between the places of a group
        int groups = (up + GROUP - 1) / GROUP;
        weights = new double[groups * GROUP][(taps + farthest + TAPS_AT_ONCE - 1) / TAPS_AT_ONCE * TAPS_AT_ONCE];
        double[][] phases = new double[up / times][];
        for (int p = 0; p < phases.length; p++) phases[p] = phase((double) p / phases.length, cutoff);
        for (int k = 0; k < up; k++) {
            double[] h = phases[(int) ((long) k * down % up) / times];
            System.arraycopy(h, 0, weights[k], place(k) - place(k - k % GROUP), taps);
        }
        rows = new double[place((groups - 1) * GROUP) + weights[0].length][];
        for (int j = 0; j < rows.length; j++) rows[j] = CacheLines.array(ROW);
        for (int k = 0; k < GROUP; k++) sums[k] = CacheLines.array(ROW); // right after the rows, so that they begin alike
        fetched = new double[source.channels()][(ROW - 1) * down + rows.length];
        stretch = new double[source.channels()][ROW * up];
    }

    /** What a conversion between two rates keeps in memory; it grows with what remains of the rates where all that they share is taken out. */
    public static long bytes(double from, double to, int channels) {
        Ratio r = Ratio.of(from, to);
        long inputs = r.down + taps(Math.min(1, (double) r.up / r.down));
        return Double.BYTES * (r.up * (inputs - r.down) + ROW * (inputs + channels * ((long) r.down + r.up)));
    }

    private static int taps(double lower) {
        double transition = 2 * Math.PI * (STOP - PASS) * lower;
        return (Kaiser.taps(ATTENUATION_DB, transition) + TAPS_AT_ONCE - 1) / TAPS_AT_ONCE * TAPS_AT_ONCE;
    }

    /** Every up outputs take the time of down inputs; both are {@code times} the least numbers of which that is so. */
    private record Ratio(int up, int down, int times) {
        static Ratio of(double inputRate, double outputRate) {
            long from = Math.round(inputRate), to = Math.round(outputRate), common = ArithmeticUtils.gcd(from, to);
            int phases = (int) (to / common), times = (FEWEST_PHASES + phases - 1) / phases;
            return new Ratio(phases * times, (int) (from / common) * times, times);
        }
    }

    private double[] phase(double fraction, double cutoff) {
        double[] h = new double[taps];
        double beta = Kaiser.beta(ATTENUATION_DB);
        double dc = 0;
        for (int t = 0; t < taps; t++) {
            double x = t - (taps / 2 - 1) - fraction;
            h[t] = Kaiser.sinc(cutoff * x) * Kaiser.at(x / (taps / 2.0), beta);
            dc += h[t];
        }
        for (int t = 0; t < taps; t++) h[t] /= dc;
        return h;
    }

    @Override
    public double rate() {
        return rate;
    }

    @Override
    public int channels() {
        return source.channels();
    }

    @Override
    public long frames() {
        return (source.frames() * up + down - 1) / down;
    }

    @Override
    public synchronized void read(long from, double[][] into, int n) {
        int length = stretch[0].length;
        for (int done = 0, run; done < n; done += run) {
            long which = (from + done) / length;
            int within = (int) ((from + done) % length);
            run = Math.min(n - done, length - within);
            if (which != made) make(which);
            for (int c = 0; c < stretch.length; c++) System.arraycopy(stretch[c], within, into[c], done, run);
        }
    }

    private void make(long which) {
        fetch(which * ROW * down - (taps / 2 - 1));
        for (int c = 0; c < stretch.length; c++) {
            for (int j = 0; j < rows.length; j++) sort(fetched[c], j, down, rows[j]);
            for (int k = 0; k < up; k += GROUP) {
                weigh(k);
                for (int p = 0; p < Math.min(GROUP, up - k); p++) weave(sums[p], stretch[c], k + p, up);
            }
        }
        made = which;
    }

    /** Makes the sums of the outputs from k on. */
    private void weigh(int k) {
        for (double[] sum : sums) Arrays.fill(sum, 0);
        int there = weights[k].length;
        for (int t = 0, j = place(k); t < there; t += TAPS_AT_ONCE, j += TAPS_AT_ONCE) {
            for (int p = 0; p < GROUP; p += TOGETHER) {
                double[] h = weights[k + p], g = weights[k + p + 1];
                weigh(rows[j], rows[j + 1], rows[j + 2], rows[j + 3], h[t], h[t + 1], h[t + 2], h[t + 3], sums[p], g[t], g[t + 1], g[t + 2], g[t + 3],
                        sums[p + 1]);
            }
        }
    }

    /** Of the first input that output k of a stretch needs. */
    private int place(int k) {
        return (int) ((long) k * down / up);
    }

    /** Reads the input of a stretch; before its beginning and after its end there is silence. */
    private void fetch(long first) {
        int wanted = fetched[0].length;
        int before = (int) Math.min(wanted, Math.max(0, -first));
        int there = (int) Math.max(0, Math.min(wanted - before, source.frames() - Math.max(0, first)));
        source.read(Math.max(0, first), fetched, there);
        for (double[] x : fetched) {
            System.arraycopy(x, 0, x, before, there);
            Arrays.fill(x, 0, before, 0);
            Arrays.fill(x, before + there, wanted, 0);
        }
    }

    private static void sort(double[] x, int from, int step, double[] row) {
        for (int m = 0; m < ROW; m++) row[m] = x[from + m * step];
    }

    private static void weave(double[] sum, double[] y, int from, int step) {
        for (int m = 0; m < ROW; m++) y[from + m * step] = sum[m];
    }

    /** Four rows, weighed for two outputs. */
    private static void weigh(double[] a, double[] b, double[] c, double[] d,
            double ha, double hb, double hc, double hd, double[] sum, double ga, double gb, double gc, double gd, double[] next) {
        for (int m = 0; m < ROW; m++) {
            sum[m] += (ha * a[m] + hb * b[m]) + (hc * c[m] + hd * d[m]);
            next[m] += (ga * a[m] + gb * b[m]) + (gc * c[m] + gd * d[m]);
        }
    }
}
