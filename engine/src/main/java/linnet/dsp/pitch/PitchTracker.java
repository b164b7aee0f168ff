package linnet.dsp.pitch;

import java.util.Arrays;
import java.util.function.IntPredicate;

/**
 * Follows the pitch of a single voice between 55 Hz and 1.2 kHz, every 10 ms. Each frame offers its likely periods
 * ({@link Yin}, on a signal decimated to about 12 kHz) and the choice to be unvoiced; the track is the cheapest path through
 * all frames (A. Viterbi, 1967), where a leap costs by its size. So an octave error must pay twice, going and coming
 * back. The costs are judged by ear and by hand-corrected tracks, not taken from a paper.
 */
public final class PitchTracker {
    private static final double LOWEST = 55, MIDDLE = 200, HIGHEST = 1200;
    private static final int CHOICES = 6;
    /** A frame less periodic than this offers no period. */
    private static final double LIMIT = 0.5;
    private static final double UNVOICED = 0.3, TURN = 0.1, LEAP_PER_OCTAVE = 1, LEAP_AT_MOST = 0.6;
    private static final double PER_OCTAVE = 0.05;
    private static final int BLOCK = 480;

    private final int hop, factor, centre;
    private final IntPredicate worth;
    private final Decimator decimator;
    private final Yin yin;
    private final double[] slow;
    private final double[] frame, block = new double[BLOCK];
    /** Where {@code slow[0]} lies among the decimated samples; it starts early, with silence, so that the first frame is whole. */
    private long start;
    private int held;
    private long heard;

    private final double[] period = new double[CHOICES], price = new double[CHOICES];
    private final double[] cost = new double[CHOICES + 1], next = new double[CHOICES + 1];
    /** Per frame and choice, the pitch as log2 of Hz; choice 0 is to be unvoiced. */
    private float[] octave = new float[1024 * (CHOICES + 1)], fine = new float[1024 * (CHOICES + 1)];
    private byte[] from = new byte[1024 * (CHOICES + 1)];
    private int frames;

    /**
     * @param rate in Hz
     * @param worth whether a frame can hold a voice at all; the others are called unvoiced unheard, which costs no time
     */
    public PitchTracker(double rate, IntPredicate worth) {
        this.worth = worth;
        hop = (int) Math.round(rate / 100);
        factor = Math.max(1, (int) Math.round(rate / 12000));
        decimator = new Decimator(factor, BLOCK);
        yin = new Yin(rate / factor, LOWEST, HIGHEST);
        frame = new double[yin.length()];
        slow = new double[yin.length() + 4 * BLOCK];
        centre = yin.centre(MIDDLE);
        held = centre;
        start = -held;
        Arrays.fill(cost, Double.POSITIVE_INFINITY);
        cost[0] = 0;
    }

    /** Hears the next {@code n} samples. */
    public void add(double[] x, int n) {
        for (int at = 0; at < n; at += BLOCK) {
            int m = Math.min(BLOCK, n - at);
            System.arraycopy(x, at, block, 0, m);
            take(m);
        }
        heard += n;
    }

    private void take(int n) {
        held += decimator.decimate(block, n, slow, held);
        while (true) {
            long first = Math.round((frames + 0.5) * hop / factor) - centre;
            if (first + yin.length() > start + held) break;
            if (worth.test(frames)) {
                System.arraycopy(slow, (int) (first - start), frame, 0, frame.length);
                yin.hear(frame);
                step(yin.periods(LIMIT, PER_OCTAVE, period, price));
            } else {
                step(0);
            }
        }
        int passed = (int) Math.min(held, Math.max(0, Math.round((frames + 0.5) * hop / factor) - centre - start));
        held -= passed;
        start += passed;
        System.arraycopy(slow, passed, slow, 0, held);
    }

    /** Extends the cheapest path to each choice of the next frame. */
    private void step(int periods) {
        int base = frames * (CHOICES + 1), last = base - CHOICES - 1;
        if (base == octave.length) {
            octave = Arrays.copyOf(octave, 2 * octave.length);
            fine = Arrays.copyOf(fine, 2 * fine.length);
            from = Arrays.copyOf(from, 2 * from.length);
        }
        for (int to = 0; to <= CHOICES; to++) {
            double own = to == 0 ? UNVOICED : Double.POSITIVE_INFINITY;
            if (to > 0 && to <= periods) {
                own = price[to - 1];
                octave[base + to] = (float) period[to - 1];
                fine[base + to] = (float) yin.fine(period[to - 1]);
            }
            double best = Double.POSITIVE_INFINITY;
            int bestFrom = 0;
            for (int was = 0; was <= CHOICES && own < Double.POSITIVE_INFINITY; was++) {
                if (cost[was] == Double.POSITIVE_INFINITY) continue;
                double move;
                if (was == 0 || to == 0) move = was == to ? 0 : TURN;
                else move = Math.min(LEAP_AT_MOST, LEAP_PER_OCTAVE * Math.abs(octave[base + to] - octave[last + was]));
                if (cost[was] + move < best) {
                    best = cost[was] + move;
                    bestFrom = was;
                }
            }
            next[to] = best + own;
            from[base + to] = (byte) bestFrom;
        }
        // Only differences between the paths count; kept small, they keep their digits over a long take.
        double least = Double.POSITIVE_INFINITY;
        for (double c : next) least = Math.min(least, c);
        for (int i = 0; i <= CHOICES; i++) cost[i] = next[i] - least;
        frames++;
    }

    /** The track of all that was added, one frame for each hop begun. Call once, at the end. */
    public PitchTrack finish() {
        int wanted = (int) ((heard + hop - 1) / hop);
        Arrays.fill(block, 0);
        while (frames < wanted) take(BLOCK);
        float[] track = new float[wanted], finer = new float[wanted];
        int choice = 0;
        for (int c = 1; c <= CHOICES; c++) if (cost[c] < cost[choice]) choice = c;
        for (int f = frames - 1; f >= 0; f--) {
            if (f < wanted && choice > 0) {
                track[f] = (float) StrictMath.pow(2, octave[f * (CHOICES + 1) + choice]);
                finer[f] = (float) StrictMath.pow(2, fine[f * (CHOICES + 1) + choice]);
            }
            choice = from[f * (CHOICES + 1) + choice];
        }
        return new PitchTrack(hop, track, finer);
    }
}
