package linnet.dsp.loudness;

import java.util.Arrays;
import linnet.dsp.Decibels;

/**
 * Loudness after ITU-R BS.1770-5 and EBU Tech 3341, and its range after EBU Tech 3342, of a mono sound or a stereo pair. All
 * of it rests on the K-weighted power of stretches of 100 ms.
 *
 * <ul>
 *   <li>Integrated: blocks of 400 ms that overlap by 75 %, an absolute gate at -70 LUFS, then a relative gate 10 LU below the
 *       mean of what passed the first.
 *   <li>Momentary and short-term: the last 400 ms and the last 3 s, no gate. As series they are read every 100 ms; their
 *       maxima every 10 ms, since a burst of 400 ms that falls between two readings 100 ms apart would be 0.6 LU too low.
 *   <li>Range: the 10th to the 95th percentile of the short-term series, over an absolute gate at -70 LUFS and a relative gate 20 LU
 *       below the mean of what passed the first.
 * </ul>
 *
 * <p>Only whole windows count: before the first 400 ms there is no momentary loudness, before the first 3 s nothing short-term. Memory:
 * one number per 100 ms.
 */
public final class Loudness {
    /** Stretches of 100 ms in a momentary and in a short-term window. */
    private static final int MOMENTARY = 4, SHORT_TERM = 30;
    private static final int PARTS = 10;
    private static final double ABSOLUTE_GATE = power(-70);
    private static final double INTEGRATED_GATE = Decibels.power(-10), RANGE_GATE = Decibels.power(-20);
    private static final double LOW = 0.10, HIGH = 0.95;
    /** By which a sine of 997 Hz reads its own level. */
    private static final double OFFSET = -0.691;

    private final KWeighting[] weighting;
    /** Samples in 100 ms; and where each tenth of it ends, to the nearest sample. */
    private final int hop;
    private final int[] ends = new int[PARTS];
    private int filled, part;
    private double sum;
    /** Sums of squares of the last ten parts. */
    private final double[] parts = new double[PARTS];
    /** For each of the ten phases, the power of the last 30 stretches of 100 ms that ended in it. */
    private final double[][] recent = new double[PARTS][SHORT_TERM];
    private double momentaryMax, shortTermMax;
    /** Power of every stretch of 100 ms, one after the other. */
    private double[] hops = new double[512];
    private int count;

    /**
     * @param rate in Hz
     * @param channels 1, or 2 for a stereo pair; each weighs 1.0
     */
    public Loudness(double rate, int channels) {
        if (channels < 1 || channels > 2) throw new IllegalArgumentException("channels: " + channels);
        weighting = new KWeighting[channels];
        for (int c = 0; c < channels; c++) weighting[c] = new KWeighting(rate);
        hop = (int) Math.round(rate / 10);
        for (int p = 0; p < PARTS; p++) ends[p] = ((p + 1) * hop + PARTS / 2) / PARTS;
    }

    /** Hears the next {@code n} samples of each channel; any {@code n} that the arrays hold. */
    public void add(double[][] x, int n) {
        int from = 0;
        while (from < n) {
            int to = Math.min(n, from + ends[part] - filled);
            sum = weighting.length == 1
                    ? weighting[0].addSquares(x[0], from, to, sum)
                    : KWeighting.addSquares(weighting[0], weighting[1], x[0], x[1], from, to, sum);
            filled += to - from;
            from = to;
            if (filled == ends[part]) endPart();
        }
    }

    private void endPart() {
        parts[part] = sum;
        sum = 0;
        double[] same = recent[part];
        int newest = count % SHORT_TERM;
        same[newest] = total(parts) / hop;
        boolean hopEnds = part == PARTS - 1;
        // A window that ends within a hop is whole only if it began at the first sample or later.
        int whole = hopEnds ? count + 1 : count;
        if (whole >= MOMENTARY) {
            double power = 0;
            for (int k = 0; k < MOMENTARY; k++) power += same[(newest + SHORT_TERM - k) % SHORT_TERM];
            momentaryMax = Math.max(momentaryMax, power / MOMENTARY);
        }
        if (whole >= SHORT_TERM) shortTermMax = Math.max(shortTermMax, total(same) / SHORT_TERM);
        if (hopEnds) endHop(same[newest]);
        else part++;
    }

    private void endHop(double power) {
        if (count == hops.length) hops = Arrays.copyOf(hops, 2 * count);
        hops[count++] = power;
        for (KWeighting w : weighting) w.settle();
        filled = 0;
        part = 0;
    }

    /**
     * The loudness in LUFS of all that was added so far. Negative infinity where it is not measurable: less than 400 ms,
     * or nothing above the absolute gate.
     */
    public double integrated() {
        return integrated(windows(MOMENTARY));
    }

    private static double integrated(double[] blocks) {
        return loudness(mean(gated(blocks, INTEGRATED_GATE)));
    }

    /**
     * The same of a sound that was heard in two pieces: by this up to a whole stretch of 100 ms, and by the other from some stretches before that.
     *
     * @param twice stretches of 100 ms that both have heard; of these this one's count
     */
    public double integrated(Loudness other, int twice) {
        double[] all = Arrays.copyOf(hops, count + other.count - twice);
        System.arraycopy(other.hops, twice, all, count, other.count - twice);
        return integrated(windows(all, all.length, MOMENTARY));
    }

    /** The loudest 400 ms, in LUFS; negative infinity where there are none, or only silence. */
    public double momentaryMax() {
        return loudness(momentaryMax);
    }

    /** The loudest 3 s, in LUFS; negative infinity where there are none, or only silence. */
    public double shortTermMax() {
        return loudness(shortTermMax);
    }

    /** Loudness of 400 ms in LUFS, the first ending at 0.4 s and then one every 100 ms; negative infinity for silence. */
    public double[] momentary() {
        return Arrays.stream(windows(MOMENTARY)).map(Loudness::loudness).toArray();
    }

    /** Loudness of each 100 ms in LUFS, one after the other; negative infinity for silence. */
    public double[] stretches() {
        return Arrays.stream(windows(1)).map(Loudness::loudness).toArray();
    }

    /** Loudness of 3 s in LUFS, the first ending at 3 s and then one every 100 ms; negative infinity for silence. */
    public double[] shortTerm() {
        return Arrays.stream(windows(SHORT_TERM)).map(Loudness::loudness).toArray();
    }

    /** The loudness range in LU; NaN where it is not measurable: less than 3 s, or nothing above the absolute gate. */
    public double range() {
        double[] kept = gated(windows(SHORT_TERM), RANGE_GATE);
        if (kept.length == 0) return Double.NaN;
        Arrays.sort(kept);
        return loudness(percentile(kept, HIGH)) - loudness(percentile(kept, LOW));
    }

    /** Mean power of every window of this many hops, in time order. */
    private double[] windows(int length) {
        return windows(hops, count, length);
    }

    private static double[] windows(double[] hops, int count, int length) {
        double[] power = new double[Math.max(0, count - length + 1)];
        for (int i = 0; i < power.length; i++) {
            for (int k = i; k < i + length; k++) power[i] += hops[k];
            power[i] /= length;
        }
        return power;
    }

    /** What is above the absolute gate, and of that what is above this share of its mean. */
    private static double[] gated(double[] power, double share) {
        double[] audible = Arrays.stream(power).filter(p -> p > ABSOLUTE_GATE).toArray();
        double gate = share * mean(audible);
        return Arrays.stream(audible).filter(p -> p > gate).toArray();
    }

    /** 0 where there are none. */
    private static double mean(double[] power) {
        return power.length == 0 ? 0 : total(power) / power.length;
    }

    /** In time order or at least always in the same, so that the bits are the same. */
    private static double total(double[] power) {
        double sum = 0;
        for (double p : power) sum += p;
        return sum;
    }

    private static double percentile(double[] sorted, double p) {
        return sorted[(int) Math.round((sorted.length - 1) * p)];
    }

    private static double loudness(double power) {
        return OFFSET + Decibels.ofPower(power);
    }

    private static double power(double lufs) {
        return Decibels.power(lufs - OFFSET);
    }
}
