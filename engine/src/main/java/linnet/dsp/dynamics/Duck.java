package linnet.dsp.dynamics;

import linnet.dsp.Cell;
import linnet.dsp.Decibels;

/**
 * Makes room for the dry voice: lowers an effect by a set depth while the voice is present and lets it rise in the gaps.
 * Present means that its peaks, which fade slowly beside the periods of the lowest voice, reach the threshold; 6 dB below it
 * is absent; between the two the depth goes in proportion. The gain moves with the attack and release of common practice.
 */
public final class Duck {
    /** Time to 63.2 % of the way down. */
    public static final double ATTACK_MS = 10;
    /** Time to 63.2 % of the way up. */
    public static final double RELEASE_MS = 250;
    /**
     * Time in which a peak fades to 36.8 %: two periods of 66 Hz. So it falls by 4.4 dB from one to the next, less than the 6 dB between present and absent.
     */
    private static final double FADE_MS = 30;

    private final double attack, release, fade;
    private double least, slope, depth;
    private double peak, reduction;

    /** @param rate samples per second */
    public Duck(double rate) {
        attack = -StrictMath.expm1(-1000 / (ATTACK_MS * rate));
        release = -StrictMath.expm1(-1000 / (RELEASE_MS * rate));
        fade = Ballistics.pole(FADE_MS, rate);
    }

    /**
     * From the next cell on.
     *
     * @param depthDb     how far a present voice lowers the effect, 0 or more; 0 leaves it alone, exactly
     * @param thresholdDb peak level, dBFS, at which the voice counts as wholly present
     */
    public void set(double depthDb, double thresholdDb) {
        depth = 1 - Decibels.gain(-depthDb);
        double full = Decibels.gain(thresholdDb);
        least = full / 2;
        slope = 1 / (full - least);
    }

    /** Hears n samples of the dry voice and gives the gain of each; false, and no gains, where nothing is to be ducked. */
    public boolean follow(double[] l, double[] r, double[] gain, int n) {
        if (depth == 0 && reduction == 0) return false;
        double attack = this.attack, release = this.release, fade = this.fade, least = this.least, slope = this.slope;
        double depth = this.depth, peak = this.peak, reduction = this.reduction;
        for (int i = 0; i < n; i++) {
            double level = Math.max(Math.abs(l[i]), Math.abs(r[i]));
            peak *= fade;
            peak = level > peak ? level : peak;
            double presence = (peak - least) * slope;
            double wanted = depth * (presence < 0 ? 0 : presence > 1 ? 1 : presence);
            reduction += (wanted - reduction) * (wanted > reduction ? attack : release);
            gain[i] = 1 - reduction;
        }
        this.peak = peak;
        this.reduction = reduction;
        return true;
    }

    /** Hears a cell of silence: as {@link #follow} and {@link #settle}, for an effect that is silent itself. */
    public void rest(double[] silence, double[] scratch) {
        if (!rests()) follow(silence, silence, scratch, Cell.LENGTH);
        settle();
    }

    /** Whether it would give a gain of 1 in silence; at the border of a cell. */
    public boolean rests() {
        return peak == 0 && reduction == 0;
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
