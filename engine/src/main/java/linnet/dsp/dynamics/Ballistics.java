package linnet.dsp.dynamics;

/** How the gain follows what the {@link GainComputer} wants: attack and release, on the reduction in dB. */
abstract class Ballistics {
    /** @param attackMs to 63.2 % of a rise; {@code releaseMs} as the subclass says */
    abstract void times(double attackMs, double releaseMs);

    /** Replaces each wanted reduction by the one to be applied. */
    abstract void process(double[] reduction, int n);

    /** To be called at the end of each cell. */
    abstract void settle();

    /** The coefficient of a one-pole that comes within 1/e of a step after that time. */
    static double pole(double ms, double rate) {
        return StrictMath.exp(-1 / (ms * 1e-3 * rate));
    }
}
