package linnet.dsp.dynamics;

import linnet.dsp.Cell;
import linnet.dsp.Decibels;
import linnet.dsp.Lag;

/**
 * Makes room for the dry voice: lowers an effect by a set depth while the voice is present and lets it rise in the gaps.
 * Present means that its peaks, which fade slowly beside the periods of the lowest voice, reach the threshold; 6 dB below it
 * is absent; between the two the depth goes in proportion. The gain moves with the attack and release of common practice.
 *
 * <p>Gaps of up to {@value #BRIDGE_MS} ms, such as the closure of a stop, are no gaps: nothing rises in them, and in longer ones it does from their
 * beginning on. So the effect comes out {@link #latency} late. That is the closing of mathematical morphology: the presence counts as the smallest that
 * the greatest of the last so many hops is in the next so many (J. Serra, Image Analysis and Mathematical Morphology, 1982; from memory). A hop is as
 * present as its highest peak.
 */
public final class Duck {
    /** Time to 63.2 % of the way down. */
    public static final double ATTACK_MS = 10;
    /** Time to 63.2 % of the way up. */
    public static final double RELEASE_MS = 250;
    /** Shorter gaps are between words; common practice. */
    public static final double BRIDGE_MS = 300;
    /**
     * Time in which a peak fades to 36.8 %: two periods of 66 Hz. So it falls by 4.4 dB from one to the next, less than the 6 dB between present and absent.
     */
    private static final double FADE_MS = 30;
    /** Samples from one presence to the next: a whole number of them fills a cell. */
    private static final int HOP = 32;

    private final double attack, release, fade;
    /** The greatest presence of the last hops, as the smallest of what is turned over; and the smallest of that. */
    private final SlidingMinimum greatest, smallest;
    private final Lag left, right, late;
    private final double[] gain = new double[Cell.LENGTH];
    private double least, slope, depth;
    private double peak, reduction;
    private double highest; // peak of the hop so far
    private int heard; // samples of the hop so far
    private double reached, bridged; // the greatest presence of the last hops, and the smallest of that

    /**
     * @param rate samples per second
     * @param behind samples by which the effect is itself late for the voice
     */
    public Duck(double rate, int behind) {
        attack = -StrictMath.expm1(-1000 / (ATTACK_MS * rate));
        release = -StrictMath.expm1(-1000 / (RELEASE_MS * rate));
        fade = Ballistics.pole(FADE_MS, rate);
        int hops = latency(rate) / HOP;
        greatest = new SlidingMinimum(hops);
        smallest = new SlidingMinimum(hops);
        // Before the beginning nobody sings.
        greatest.next(0);
        smallest.next(0);
        left = new Lag(latency(rate));
        right = new Lag(latency(rate));
        late = new Lag(behind);
    }

    /** By how many samples an effect that is ducked is later than it was. */
    public static int latency(double rate) {
        // A gap lies between hops that are present: those inside it, and one more.
        return HOP * (1 + (int) Math.round(BRIDGE_MS * rate / 1000 / HOP));
    }

    /**
     * From the next cell on.
     *
     * @param depthDb     how far a present voice lowers the effect, 0 or more; 0 leaves it as loud as it is
     * @param thresholdDb peak level, dBFS, at which the voice counts as wholly present
     */
    public void set(double depthDb, double thresholdDb) {
        depth = 1 - Decibels.gain(-depthDb);
        double full = Decibels.gain(thresholdDb);
        least = full / 2;
        slope = 1 / (full - least);
    }

    /** Hears n samples of the dry voice. */
    public void hear(double[] l, double[] r, int n) {
        for (int from = 0; from < n; ) {
            int to = Math.min(n, from + HOP - heard);
            follow(l, r, from, to);
            heard += to - from;
            from = to;
            if (heard == HOP) endHop();
        }
        late.process(gain, n);
    }

    private void follow(double[] l, double[] r, int from, int to) {
        double attack = this.attack, release = this.release, fade = this.fade, wanted = depth * bridged;
        double peak = this.peak, highest = this.highest, reduction = this.reduction;
        for (int i = from; i < to; i++) {
            double level = Math.max(Math.abs(l[i]), Math.abs(r[i]));
            peak *= fade;
            peak = level > peak ? level : peak;
            highest = peak > highest ? peak : highest;
            reduction += (wanted - reduction) * (wanted > reduction ? attack : release);
            gain[i] = reduction;
        }
        this.peak = peak;
        this.highest = highest;
        this.reduction = reduction;
    }

    private void endHop() {
        reached = -greatest.next(-Math.max(0, Math.min(1, (highest - least) * slope)));
        bridged = smallest.next(reached);
        highest = 0;
        heard = 0;
    }

    /** Lowers the n samples of the effect that belong to what was {@link #hear heard} last. */
    public void lower(double[] x, int n) {
        lower(left, x, n);
    }

    /** Both sides likewise. */
    public void lower(double[] l, double[] r, int n) {
        lower(left, l, n);
        lower(right, r, n);
    }

    private void lower(Lag lag, double[] x, int n) {
        lag.process(x, n);
        for (int i = 0; i < n; i++) x[i] -= x[i] * gain[i];
    }

    /** Hears a cell of silence: as {@link #hear} and {@link #settle}, for an effect that is silent itself. */
    public void rest(double[] silence) {
        if (peak != 0 || reached != 0 || reduction != 0 || !late.isSilent()) hear(silence, silence, Cell.LENGTH);
        settle();
    }

    /** Whether nothing of the effect is still to come; at the border of a cell. */
    public boolean rests() {
        return left.isSilent() && right.isSilent();
    }

    /** By how many dB the effect was lowered at the last sample. */
    public double reductionDb() {
        return -Decibels.ofGain(1 - reduction);
    }

    /** Zeroes what has died away, at the end of a cell. */
    public void settle() {
        peak = Cell.settled(peak);
        reduction = Cell.settled(reduction);
    }
}
