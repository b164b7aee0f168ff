package linnet.dsp.splice;

/**
 * The gains of two sounds where one gives way to the other, so that the level stays even. Two sounds of power 1 and correlation r, with
 * gains a and b, have the power a² + b² + 2rab; sine and cosine divided by the root of 1 + 2r·sin·cos make it 1 throughout. Strangers
 * (r = 0) are thus faded at constant power, and what is the same in both (r = 1) with gains that add up to 1, to the last bit or two. The
 * angle follows 3s² - 2s³, so that the fade has no corner where it begins or ends. Source: M. Fink, M. Holters, U. Zölzer,
 * "Signal-matched power-complementary cross-fading and dry-wet mixing", DAFx 2016 (from memory); at its ends it is common practice.
 */
public final class Crossfade {
    /** Two sounds that are against each other cannot be held up without lifting them beyond measure. */
    private static final double LEAST = -0.5;

    private final double correlation;
    private double leaving, coming;

    /** @param correlation of the two sounds over the fade, -1 to 1; below -0.5 it is taken for that */
    public Crossfade(double correlation) {
        this.correlation = Math.max(LEAST, Math.min(1, correlation));
    }

    /** @param share of the fade that is over, 0 to 1 */
    public void at(double share) {
        double angle = Math.PI / 2 * share * share * (3 - 2 * share);
        double sine = StrictMath.sin(angle), cosine = StrictMath.cos(angle), even = Math.sqrt(1 + 2 * correlation * sine * cosine);
        leaving = cosine / even;
        coming = sine / even;
    }

    /** Gain of the sound that goes. */
    public double leaving() {
        return leaving;
    }

    /** Gain of the sound that comes. */
    public double coming() {
        return coming;
    }
}
