package linnet.dsp.repair;

import java.util.ArrayList;
import java.util.List;
import java.util.function.IntPredicate;
import linnet.dsp.Approximation;
import linnet.dsp.SoundingEnds;
import linnet.dsp.Stretches;

/**
 * Finds clicks of the mouth: places where the error of linear prediction ({@link PredictionError}) stands out of what it is around them. The
 * prediction takes formants away, so a click inside a vowel is not hidden by them. The pulses of the larynx come again within 20 ms, before
 * and after; so they never stand out of both sides, however strong. Nor does the beginning of a word, or hiss. What is left to mistake are the
 * bursts of consonants: where no pitch is, a click must stand out further, and furthest near words. The figures were tried on real voices
 * with and without clicks laid on.
 *
 * <p>It hears one channel, block after block, and needs no more memory for an hour than for seconds. Who wants to know of some places only pays for them and
 * what they are compared with.
 */
public final class ClickFinder {
    /** A place; {@code heightDb} is how far it stands out, in dB. */
    public record Click(long from, long to, double heightDb) {}

    /** In cells: what is compared on either side, and the click's own rise and fall, which are not. */
    static final int BESIDE = 90, RISE = 4, FALL = 20;
    private static final int LONG_FALL = 160;
    /** Beside singing: closer than that to a word, in frames, it may be a consonant. */
    private static final int NEAR_AFTER = 15, NEAR_BEFORE = 4, STEADY = 2;
    /** In dB. */
    private static final double IN_VOWEL = 7, IN_PAUSE = 8, IN_WORD = 7, AT_EDGE = 15;
    /** In dB, between the geometric means of both sides: an edge of a word rises, or ends, by more. A burst stands at an edge. */
    private static final double RISES = 4.5, ENDS = -14;
    private static final int SIDE = 80;
    /** Beside the power of its peak: a strong click rings on in the error of prediction, which is no part of it. */
    static final double FAR_BELOW = 1e-3;
    /** In cells: what is judged needs so many after it, with a frame of silence that is added at the end, and so many before it. */
    private static final int AHEAD = 2 * (LONG_FALL + BESIDE), BEHIND = RISE + BESIDE + 1;

    /** Null for everywhere. */
    private final Stretches where;
    private final PredictionError prediction;
    private final IntPredicate voiced, sung;
    private final double least;
    private final SoundingEnds ends = new SoundingEnds();
    /** The cell that is judged next. */
    private int next = BESIDE;
    private final List<Click> found = new ArrayList<>();

    /**
     * @param rate in Hz
     * @param where clicks are looked for, in samples; null for everywhere
     * @param voiced whether a frame of 10 ms has a pitch
     * @param sung whether it belongs to a phrase
     * @param least amplitude above 1 kHz of the weakest click worth a mark; weaker ones are not heard beside the voice
     */
    public ClickFinder(double rate, Stretches where, IntPredicate voiced, IntPredicate sung, double least) {
        this.where = where;
        this.voiced = voiced;
        this.sung = sung;
        this.least = least;
        prediction = new PredictionError(rate, where, RISE + BESIDE, LONG_FALL + BESIDE);
    }

    /** Hears the next {@code n} samples, and judges what has enough after it by then. */
    public void add(double[] x, int n) {
        ends.add(x, n);
        prediction.add(x, n);
        judge(prediction.cells() - AHEAD);
        prediction.forget(next - BEHIND);
    }

    /** All clicks of what was added, or of the places that are wanted, in order of time. Call once, at the end. */
    public List<Click> find() {
        prediction.finish();
        // What the take begins or ends with was cut, and may have been longer or not alone.
        judge(prediction.cells() - BESIDE);
        found.removeIf(c -> c.from() >= ends.to() - prediction.sample(BESIDE));
        return found;
    }

    /** Judges the cells up to that one. */
    private void judge(int to) {
        next = Math.max(next, ends.isSounding() ? Math.min(to, (int) prediction.cell(ends.from()) + BESIDE) : to);
        for (; next < to; next++) {
            int c = next;
            double here = prediction.error(c);
            if (!(here > prediction.error(c - 1) && here >= prediction.error(c + 1) && prediction.peak(c) > least)) continue;
            if (where != null && !where.meets(prediction.sample(c), prediction.sample(c + 1))) continue;
            double needed = needed(c);
            double most = here / Approximation.gain(2 * needed);
            double before = Math.max(PredictionError.SILENCE, before(c, most));
            if (before > most) continue;
            double beside = Math.max(before, after(c + FALL, most));
            int longest = FALL;
            if (beside > most && needed == IN_PAUSE) {
                longest = LONG_FALL;
                beside = Math.max(before, after(c + LONG_FALL, most));
            }
            if (beside > most || needed < IN_PAUSE && atEdge(c) && 10 * StrictMath.log10(here / beside) < AT_EDGE) continue;
            if (!found.isEmpty() && found.get(found.size() - 1).to() > prediction.sample(c)) continue;
            found.add(new Click(prediction.sample(start(c, beside)), prediction.sample(end(c, c + longest, beside)), 10 * StrictMath.log10(here / beside)));
        }
    }

    private double needed(int cell) {
        int f = cell / PredictionError.CELLS;
        boolean vowel = true;
        for (int i = f - STEADY; i <= f + STEADY; i++) vowel &= voiced.test(i);
        if (vowel) return IN_VOWEL;
        for (int i = f - NEAR_BEFORE; i <= f + NEAR_AFTER; i++) if (sung.test(i)) return IN_WORD;
        return IN_PAUSE;
    }

    private boolean atEdge(int c) {
        double change = 0;
        for (int i = 0; i < SIDE; i++) change += prediction.level(c + FALL + 1 + i) - prediction.level(c - RISE - 1 - i);
        change /= SIDE;
        return change > RISES || change < ENDS;
    }

    /** The strongest cell that comes before; as soon as it is known to be above {@code enough}, no further. */
    private double before(int c, double enough) {
        double most = 0;
        for (int i = c - RISE - 1; i >= Math.max(0, c - RISE - BESIDE) && most <= enough; i--) most = Math.max(most, prediction.error(i));
        return most;
    }

    private double after(int c, double enough) {
        double most = 0;
        for (int i = c + 1; i <= Math.min(prediction.cells() - 1, c + BESIDE) && most <= enough; i++) most = Math.max(most, prediction.error(i));
        return most;
    }

    /** The cell before the first that stands out. */
    private int start(int c, double beside) {
        int start = c;
        for (int i = c - 1; i >= c - RISE; i--) if (prediction.error(i) > beside) start = i;
        return start - 1;
    }

    /** The cell after the last that stands out. */
    private int end(int c, int last, double beside) {
        int end = c + 1;
        double least = Math.max(beside, prediction.error(c) * FAR_BELOW);
        for (int i = c + 1; i <= Math.min(prediction.cells() - 1, last); i++) if (prediction.error(i) > least) end = i + 1;
        return end;
    }
}
