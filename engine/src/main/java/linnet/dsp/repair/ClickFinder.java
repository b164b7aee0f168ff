package linnet.dsp.repair;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.IntPredicate;
import linnet.dsp.Approximation;
import linnet.dsp.SoundingEnds;
import linnet.dsp.Stretches;
import linnet.dsp.filter.Biquad;
import linnet.dsp.pitch.Decimator;

/**
 * Finds clicks of the mouth: places where the error of linear prediction stands out of what it is around them. The prediction takes
 * formants away, so a click inside a vowel is not hidden by them (S. Godsill, P. Rayner, "Digital Audio Restoration", 1998). The pulses
 * of the larynx come again within 20 ms, before and after; so they never stand out of both sides, however strong. Nor does the beginning
 * of a word, or hiss. What is left to mistake are the bursts of consonants: where no pitch is, a click must stand out further, and
 * furthest near words. The figures were tried on real voices with and without clicks laid on.
 *
 * <p>It hears one channel, block after block, and keeps two numbers for each quarter of a millisecond. Who wants to know of some places only pays for
 * them and what they are compared with.
 */
public final class ClickFinder {
    /** A place; {@code heightDb} is how far it stands out, in dB. */
    public record Click(long from, long to, double heightDb) {}

    /** In a frame of the pitch track, 10 ms. */
    static final int CELLS = 40;
    private static final double SLOW_RATE = 48_000, FRAME_SECONDS = 0.0427, ORDER_SECONDS = 0.00067;
    private static final double BAND = 1000;
    /** In cells: what is compared on either side, and the click's own rise and fall, which are not. */
    private static final int BESIDE = 90, RISE = 4, FALL = 20, LONG_FALL = 160;
    /** Bits of rounding, as a power: below this nothing was recorded. */
    private static final double SILENCE = 1e-14;
    /** Beside singing: closer than that to a word, in frames, it may be a consonant. */
    private static final int NEAR_AFTER = 15, NEAR_BEFORE = 4, STEADY = 2;
    /** In dB. */
    private static final double IN_VOWEL = 7, IN_PAUSE = 8, IN_WORD = 7, AT_EDGE = 15;
    /** In dB, between the geometric means of both sides: an edge of a word rises, or ends, by more. A burst stands at an edge. */
    private static final double RISES = 4.5, ENDS = -14;
    private static final int SIDE = 80;
    /** In dB over what is usual: so far a click is followed as it fades. */
    private static final double STILL = 3;
    /** Beside the power of its peak: a strong click rings on in the error of prediction, which is no part of it. */
    private static final double FAR_BELOW = 1e-3;
    /** In cells: what is closer is one click. */
    private static final int GAP = 4;
    private static final int BLOCK = 480;
    /** In cells: what is judged needs so many after it, with a frame of silence that is added at the end, and so many before it. */
    private static final int AHEAD = 2 * (LONG_FALL + BESIDE), BEHIND = RISE + BESIDE + 1;

    /** Null for everywhere. */
    private final Stretches where;
    private final int hop, factor, slowHop, frame, order;
    private final Decimator decimator;
    private final double[] window, windowed, autocorrelation, prediction, scratch;
    private final Biquad high;
    private double s1, s2;
    /** Slow samples; the first {@code frame/4 + order} lie before the hop that is analysed. */
    private final double[] held;
    private final double[] error;
    private final double[] block = new double[BLOCK];
    private int filled;
    private long heard;
    /** Slow samples analysed. */
    private long analysed;
    private double cellSum, cellPeak;
    private int cellCount, cells;
    /** From the cell {@code base} on. */
    private float[] errors = new float[1 << 14], peaks = new float[1 << 14];
    private int base;
    private final SoundingEnds ends = new SoundingEnds();
    /** The cell that is judged next. */
    private int next = BESIDE;
    private final List<Click> found = new ArrayList<>();
    /** Null where they are not said before the first sample. */
    private IntPredicate voiced, sung;
    private double least;

    /** @param rate in Hz; high ones are brought down to about 48 kHz, as clicks end at 10 kHz */
    public ClickFinder(double rate) {
        this(rate, null);
    }

    /** @param where clicks are looked for, in samples */
    public ClickFinder(double rate, Stretches where) {
        this.where = where;
        hop = (int) Math.round(rate / 100);
        factor = Math.max(1, (int) Math.round(rate / SLOW_RATE));
        double slow = rate / factor;
        decimator = factor == 1 ? null : new Decimator(factor, BLOCK);
        slowHop = (int) (FRAME_SECONDS * slow / 4) * 2;
        frame = 2 * slowHop;
        order = (int) Math.round(ORDER_SECONDS * slow);
        window = new double[frame];
        for (int i = 0; i < frame; i++) window[i] = 0.5 - 0.5 * StrictMath.cos(2 * Math.PI * (i + 0.5) / frame);
        windowed = new double[frame + order];
        autocorrelation = new double[order + 1];
        prediction = new double[order + 1];
        scratch = new double[order + 1];
        high = Biquad.highPass(slow, BAND, Biquad.BUTTERWORTH);
        held = new double[frame + order + BLOCK + 2];
        error = new double[slowHop];
        filled = slowHop / 2 + order;
    }

    /** Hears the next {@code n} samples. */
    public void add(double[] x, int n) {
        ends.add(x, n);
        for (int at = 0; at < n; ) {
            int m = Math.min(Math.min(BLOCK, n - at), factor * (held.length - 1 - filled));
            if (decimator == null) {
                System.arraycopy(x, at, held, filled, m);
                filled += m;
            } else {
                System.arraycopy(x, at, block, 0, m);
                filled += decimator.decimate(block, m, held, filled);
            }
            at += m;
            while (filled >= frame + order) analyse();
        }
        heard += n;
    }

    /** The next hop, told from a frame around it. */
    private void analyse() {
        int first = order + slowHop / 2;
        if (isCompared()) predict(first);
        else Arrays.fill(error, 0);
        cells(first);
        System.arraycopy(held, slowHop, held, 0, filled - slowHop);
        filled -= slowHop;
    }

    /** Whether anything in this hop is compared with what lies in a place that is wanted. */
    private boolean isCompared() {
        int cell = hop / CELLS + 1;
        return where == null || where.meets(analysed * factor - (LONG_FALL + BESIDE + 2) * cell, (analysed + slowHop) * factor + (RISE + BESIDE + 2) * cell);
    }

    private void predict(int first) {
        for (int i = 0; i < frame; i++) windowed[i] = window[i] * held[order + i];
        correlate();
        if (autocorrelation[0] > SILENCE * frame) {
            // White noise far below, so that a band that holds nothing at all does not count.
            autocorrelation[0] *= 1 + 1e-9;
            Levinson.predict(autocorrelation, prediction, scratch);
        } else {
            Arrays.fill(prediction, 0);
            prediction[0] = 1;
        }
        System.arraycopy(held, first, error, 0, slowHop);
        int k = 1;
        for (; k + 3 <= order; k += 4) fourTaps(first - k);
        for (; k <= order; k++) {
            double a = prediction[k];
            for (int i = 0; i < slowHop; i++) error[i] += a * held[first - k + i];
        }
    }

    /** Four terms of the prediction at a time, in their order, so that the error is fetched and laid down once for them. */
    private void fourTaps(int from) {
        int k = order + slowHop / 2 - from;
        double a = prediction[k], b = prediction[k + 1], c = prediction[k + 2], d = prediction[k + 3];
        for (int i = 0; i < slowHop; i++) error[i] = error[i] + a * held[from + i] + b * held[from - 1 + i] + c * held[from - 2 + i] + d * held[from - 3 + i];
    }

    /** Eight lags at a time share the samples: as many sums as do not wait for each other. What lies past the frame is silence. */
    private void correlate() {
        for (int k = 0; k <= order; k += 8) {
            double a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0;
            int there = Math.min(frame, windowed.length - k - 7);
            for (int i = 0; i < there; i++) {
                double v = windowed[i];
                a += v * windowed[i + k];
                b += v * windowed[i + k + 1];
                c += v * windowed[i + k + 2];
                d += v * windowed[i + k + 3];
                e += v * windowed[i + k + 4];
                f += v * windowed[i + k + 5];
                g += v * windowed[i + k + 6];
                h += v * windowed[i + k + 7];
            }
            double[] sums = {a, b, c, d, e, f, g, h};
            System.arraycopy(sums, 0, autocorrelation, k, Math.min(8, order + 1 - k));
        }
    }

    /** Squares of the error, and peaks above the band, of the hop that begins there. */
    private void cells(int first) {
        for (int from = 0; from < slowHop; ) {
            // A cell ends with the first sample at or past its end.
            long end = ((cells + 1L) * hop + factor * CELLS - 1) / (factor * CELLS);
            int to = (int) Math.min(slowHop, from + end - analysed);
            hear(first, from, to);
            cellCount += to - from;
            analysed += to - from;
            from = to;
            if (analysed == end) endCell();
        }
    }

    /** The section is written out, as its output is only looked at: a cascade over a copy takes as long, and has other last bits. */
    private void hear(int first, int from, int to) {
        double b0 = high.b0(), b1 = high.b1(), b2 = high.b2(), a1 = high.a1(), a2 = high.a2();
        double s1 = this.s1, s2 = this.s2, sum = cellSum, peak = cellPeak;
        for (int i = from; i < to; i++) {
            double x = held[first + i], e = error[i], y = b0 * x + s1;
            s1 = b1 * x + s2 - a1 * y;
            s2 = b2 * x - a2 * y;
            sum += e * e;
            double v = Math.abs(y);
            peak = v > peak ? v : peak;
        }
        this.s1 = s1;
        this.s2 = s2;
        cellSum = sum;
        cellPeak = peak;
    }

    private void endCell() {
        if (cells - base == errors.length) makeRoom();
        errors[cells - base] = (float) (cellSum / cellCount);
        peaks[cells++ - base] = (float) cellPeak;
        cellSum = 0;
        cellPeak = 0;
        cellCount = 0;
        // As an amplitude it lies 280 dB down, far below any peak that counts.
        if (Math.abs(s1) + Math.abs(s2) < SILENCE) {
            s1 = 0;
            s2 = 0;
        }
    }

    /**
     * Says by what clicks are told. Who says so before the first sample needs no more memory for an hour than for seconds.
     *
     * @param voiced whether a frame of 10 ms has a pitch
     * @param sung whether it belongs to a phrase
     * @param least amplitude above 1 kHz of the weakest click worth a mark; weaker ones are not heard beside the voice
     */
    public ClickFinder judging(IntPredicate voiced, IntPredicate sung, double least) {
        this.voiced = voiced;
        this.sung = sung;
        this.least = least;
        return this;
    }

    /** All clicks of what was added, or of the places that are wanted, in order of time. Call once, at the end. */
    public List<Click> find() {
        finish();
        // What the take begins or ends with was cut, and may have been longer or not alone.
        judge(cells - BESIDE);
        found.removeIf(c -> c.from() >= ends.to() - sample(BESIDE));
        return found;
    }

    /** Judges the cells up to that one. */
    private void judge(int to) {
        next = (int) Math.max(next, ends.isSounding() ? Math.min(to, ends.from() * CELLS / hop + BESIDE) : to);
        for (; next < to; next++) {
            int c = next;
            double here = error(c);
            if (!(here > error(c - 1) && here >= error(c + 1) && peak(c) > least) || where != null && !where.meets(sample(c), sample(c + 1))) continue;
            double needed = needed(c, voiced, sung);
            double most = here / Approximation.gain(2 * needed);
            double before = Math.max(SILENCE, before(c, most));
            if (before > most) continue;
            double beside = Math.max(before, after(c + FALL, most));
            int longest = FALL;
            if (beside > most && needed == IN_PAUSE) {
                longest = LONG_FALL;
                beside = Math.max(before, after(c + LONG_FALL, most));
            }
            if (beside > most || needed < IN_PAUSE && atEdge(c) && 10 * StrictMath.log10(here / beside) < AT_EDGE) continue;
            if (!found.isEmpty() && found.get(found.size() - 1).to() > sample(c)) continue;
            found.add(new Click(sample(start(c, beside)), sample(end(c, c + longest, beside)), 10 * StrictMath.log10(here / beside)));
        }
    }

    /** Makes room for more cells: those that are judged are dropped, but for what the next are compared with. */
    private void makeRoom() {
        if (voiced == null) {
            errors = Arrays.copyOf(errors, 2 * errors.length);
            peaks = Arrays.copyOf(peaks, 2 * peaks.length);
            return;
        }
        judge(cells - AHEAD);
        int from = next - BEHIND, n = cells - from;
        System.arraycopy(errors, from - base, errors, 0, n);
        System.arraycopy(peaks, from - base, peaks, 0, n);
        base = from;
    }

    private double error(int cell) {
        return errors[cell - base];
    }

    /**
     * What stands out of a stretch that is known to hold clicks.
     *
     * @param to the sample after the last that is stronger than all beside the stretch
     * @param faded from there it is no stronger than what is usual beside the stretch
     */
    record Standing(long from, long to, long faded, double heightDb) {}

    /**
     * What stands out of both sides of a stretch that is known to hold clicks, wherever in it. Call once, at the end, instead of the other, and without
     * {@link #judging}.
     *
     * @param neededDb how far
     * @param longest how long after its beginning it may still fade, in samples
     */
    List<Standing> within(long from, long to, double neededDb, double longest) {
        finish();
        int first = (int) Math.max(0, from * CELLS / hop), last = (int) Math.min(cells, (to * CELLS + hop - 1) / hop);
        double beside = SILENCE, usual = 0;
        int count = 0;
        for (int i = Math.max(0, first - RISE - BESIDE); i < Math.min(cells, last + FALL + BESIDE); i++) {
            if (i >= first - RISE && i < last + FALL) continue;
            beside = Math.max(beside, error(i));
            usual += level(i);
            count++;
        }
        double least = beside * Approximation.gain(2 * neededDb);
        double faint = count == 0 ? SILENCE : Approximation.gain(2 * (usual / count + STILL));
        List<Standing> found = new ArrayList<>();
        for (int c = first; c < last; c++) {
            if (error(c) < least) continue;
            int end = c + 1;
            double most = error(c);
            for (int i = c + 1; i < Math.min(last, end + GAP); i++) {
                if (error(i) < Math.max(beside, most * FAR_BELOW)) continue;
                end = i + 1;
                most = Math.max(most, error(i));
            }
            int faded = end, farthest = (int) Math.min(cells, c + longest * CELLS / hop);
            for (int i = end; i < Math.min(farthest, faded + GAP); i++) if (error(i) > Math.max(faint, most * FAR_BELOW)) faded = i + 1;
            found.add(new Standing(sample(c), sample(end), sample(faded), 10 * StrictMath.log10(most / beside)));
            c = end + GAP - 1;
        }
        return found;
    }

    /** The last samples need some silence behind them. */
    private void finish() {
        long all = heard;
        double[] silence = new double[BLOCK];
        while (analysed * factor < all) add(silence, BLOCK);
        heard = all;
        cells = (int) Math.min(cells, all * CELLS / hop);
    }

    private double peak(int c) {
        int at = c - base;
        return Math.max(Math.max(peaks[at - 1], peaks[at]), Math.max(peaks[at + 1], peaks[at + 2]));
    }

    private static double needed(int cell, IntPredicate voiced, IntPredicate sung) {
        int f = cell / CELLS;
        boolean vowel = true;
        for (int i = f - STEADY; i <= f + STEADY; i++) vowel &= voiced.test(i);
        if (vowel) return IN_VOWEL;
        for (int i = f - NEAR_BEFORE; i <= f + NEAR_AFTER; i++) if (sung.test(i)) return IN_WORD;
        return IN_PAUSE;
    }

    private boolean atEdge(int c) {
        double change = 0;
        for (int i = 0; i < SIDE; i++) change += level(c + FALL + 1 + i) - level(c - RISE - 1 - i);
        change /= SIDE;
        return change > RISES || change < ENDS;
    }

    private double level(int cell) {
        return Approximation.DB_PER_OCTAVE / 2 * Approximation.log2(error(Math.max(0, Math.min(cells - 1, cell))) + SILENCE);
    }

    /** The strongest cell that comes before; as soon as it is known to be above {@code enough}, no further. */
    private double before(int c, double enough) {
        double most = 0;
        for (int i = c - RISE - 1; i >= Math.max(0, c - RISE - BESIDE) && most <= enough; i--) most = Math.max(most, error(i));
        return most;
    }

    private double after(int c, double enough) {
        double most = 0;
        for (int i = c + 1; i <= Math.min(cells - 1, c + BESIDE) && most <= enough; i++) most = Math.max(most, error(i));
        return most;
    }

    /** The cell before the first that stands out. */
    private int start(int c, double beside) {
        int start = c;
        for (int i = c - 1; i >= c - RISE; i--) if (error(i) > beside) start = i;
        return start - 1;
    }

    /** The cell after the last that stands out. */
    private int end(int c, int last, double beside) {
        int end = c + 1;
        for (int i = c + 1; i <= Math.min(cells - 1, last); i++) if (error(i) > Math.max(beside, error(c) * FAR_BELOW)) end = i + 1;
        return end;
    }

    private long sample(int cell) {
        return (long) cell * hop / CELLS;
    }
}
