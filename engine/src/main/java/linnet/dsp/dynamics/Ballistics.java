package linnet.dsp.dynamics;

/** How the gain follows what the {@link GainComputer} wants: attack and release, on the reduction in dB. */
abstract class Ballistics {
    /**
     * Longest time that a reduction stands still before its release: the period of a low voice. Without it the gain would
     * follow the waveform of a low note between its peaks, and growl. A quarter of a release that is shorter than four such periods.
     */
    private static final double HOLD_MS = 10;

    /** @param attackMs to 63.2 % of a rise; {@code releaseMs} as the subclass says */
    abstract void times(double attackMs, double releaseMs);

    /** Replaces each wanted reduction by the one to be applied. */
    abstract void process(double[] reduction, int n);

    /** To be called at the end of each cell. */
    abstract void settle();

    static double holdMs(double releaseMs) {
        return Math.min(HOLD_MS, releaseMs / 4);
    }

    /** The coefficient of a one-pole that comes within 1/e of a step after that time. */
    static double pole(double ms, double rate) {
        return StrictMath.exp(-1 / (ms * 1e-3 * rate));
    }
}
