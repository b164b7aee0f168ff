package linnet.dsp.pitch;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.IntPredicate;

/**
 * The likely periods of each frame in a stretch of a voice, by {@link Yin} on a signal decimated to about 12 kHz. A frame depends on the samples
 * around it and on nothing before, so stretches may be heard at once; {@link PitchTracker} finds the way through all of them.
 */
public final class PitchFrames {
    static final int CHOICES = 6;
    static final double LOWEST = 55, MIDDLE = 200, HIGHEST = 1200;
    /** A frame less periodic than this offers no period. */
    private static final double LIMIT = 0.5;
    private static final double PER_OCTAVE = 0.05;
    private static final int BLOCK = 480, PIECE = 1 << 12;

    private final int hop, factor, centre, first, end;
    private final long from;
    private final IntPredicate worth;
    private final Decimator decimator;
    private final Yin yin;
    private final double[] slow;
    private final double[] block = new double[BLOCK];
    /** Where {@code slow[0]} lies among the decimated samples of the take; before those is silence, so that the first frame is whole. */
    private long start;
    private int held;

    private final double[] period = new double[CHOICES], cost = new double[CHOICES];
    /** Per frame how many periods it may have, and where they begin among those of all frames. */
    private byte[] count = new byte[1024];
    private int[] begins = new int[1024];
    private int frames, periods;
    /** Of each period the pitch as log2 of Hz, the same more finely, and what it costs; in pieces, so that nothing is copied where they grow. */
    private final List<float[]> octave = new ArrayList<>(), fine = new ArrayList<>();
    private final List<double[]> price = new ArrayList<>();

    /**
     * @param rate in Hz
     * @param worth whether a frame of the take can hold a voice at all; the others are called unvoiced unheard, which costs no time
     * @param first frame of the take
     * @param end the frame after the last
     */
    public PitchFrames(double rate, IntPredicate worth, int first, int end) {
        this.worth = worth;
        this.first = first;
        this.end = end;
        hop = (int) Math.round(rate / 100);
        factor = Math.max(1, (int) Math.round(rate / 12000));
        decimator = new Decimator(factor, BLOCK);
        yin = new Yin(rate / factor, LOWEST, HIGHEST);
        slow = new double[yin.length() + 4 * BLOCK];
        centre = yin.centre(MIDDLE);
        long early = begin(0) - Decimator.REACH;
        if (early > 0) {
            start = early;
        } else {
            held = centre;
            start = -held;
        }
        from = Math.max(0, early) * factor;
    }

    /** The first sample of the take that it wants. */
    public long from() {
        return from;
    }

    /** Whether it wants no more. */
    public boolean isWhole() {
        return frames == end - first;
    }

    /** Hears the next {@code n} samples from {@link #from} on. */
    public void add(double[] x, int n) {
        for (int at = 0; at < n && !isWhole(); at += BLOCK) {
            int m = Math.min(BLOCK, n - at);
            System.arraycopy(x, at, block, 0, m);
            take(m);
        }
    }

    /** After the last sample of the take: what is still wanted up to a frame is silence. */
    public void finish(int until) {
        Arrays.fill(block, 0);
        while (first + frames < Math.min(until, end)) take(BLOCK);
    }

    /** The decimated sample at which a frame begins. */
    private long begin(int f) {
        return Math.round((first + f + 0.5) * hop / factor) - centre;
    }

    private void take(int n) {
        held += decimator.decimate(block, n, slow, held);
        for (; !isWhole(); frames++) {
            long at = begin(frames);
            if (at + yin.length() > start + held) break;
            if (frames == count.length) grow();
            if (!worth.test(first + frames)) continue;
            yin.hear(slow, (int) (at - start));
            count[frames] = (byte) yin.periods(LIMIT, PER_OCTAVE, period, cost);
            begins[frames] = periods;
            for (int k = 0; k < count[frames]; k++) add(period[k], yin.fine(period[k]), cost[k]);
        }
        int passed = (int) Math.min(held, Math.max(0, begin(frames) - start));
        held -= passed;
        start += passed;
        System.arraycopy(slow, passed, slow, 0, held);
    }

    private void grow() {
        count = Arrays.copyOf(count, 2 * count.length);
        begins = Arrays.copyOf(begins, 2 * begins.length);
    }

    private void add(double octave, double fine, double price) {
        int piece = periods / PIECE, at = periods++ % PIECE;
        if (at == 0) {
            this.octave.add(new float[PIECE]);
            this.fine.add(new float[PIECE]);
            this.price.add(new double[PIECE]);
        }
        this.octave.get(piece)[at] = (float) octave;
        this.fine.get(piece)[at] = (float) fine;
        this.price.get(piece)[at] = price;
    }

    int hop() {
        return hop;
    }

    /** How many there are so far. */
    int frames() {
        return frames;
    }

    /** How many periods a frame, counted from the first of the stretch, may have. */
    int count(int f) {
        return count[f];
    }

    float octave(int f, int k) {
        int at = begins[f] + k;
        return octave.get(at / PIECE)[at % PIECE];
    }

    float fine(int f, int k) {
        int at = begins[f] + k;
        return fine.get(at / PIECE)[at % PIECE];
    }

    double price(int f, int k) {
        int at = begins[f] + k;
        return price.get(at / PIECE)[at % PIECE];
    }
}
