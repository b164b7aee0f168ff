package linnet.dsp.dynamics;

import java.util.function.DoublePredicate;

/** How the gain follows what the {@link GainComputer} wants: attack and release, on the reduction in dB. */
abstract class Ballistics {
    /** @param attackMs to 63.2 % of a rise; {@code releaseMs} as the subclass says */
    abstract void times(double attackMs, double releaseMs);

    /** Replaces each wanted reduction by the one to be applied. */
    abstract void process(double[] reduction, int n);

    /** To be called at the end of each cell. */
    abstract void settle();

    /** Whether nothing is left of any reduction; at the border of a cell. */
    abstract boolean rests();

    /** The coefficient of a one-pole that comes within 1/e of a step after that time. */
    static double pole(double ms, double rate) {
        return StrictMath.exp(-1 / (ms * 1e-3 * rate));
    }

    /** What is left of a full reduction at time t after it is no longer wanted, of a release followed by an attack's smoothing. */
    static double left(double attackMs, double releaseMs, double t) {
        double apart = releaseMs - attackMs;
        if (Math.abs(apart) < 1e-6 * attackMs) return (1 + t / attackMs) * StrictMath.exp(-t / attackMs);
        return (releaseMs * StrictMath.exp(-t / releaseMs) - attackMs * StrictMath.exp(-t / attackMs)) / apart;
    }

    /** The longest time constant up to {@code most} that is fast enough; 0 if none is. */
    static double slowest(double most, DoublePredicate fastEnough) {
        double low = 0;
        double high = most;
        for (int k = 0; k < 50; k++) {
            double middle = (low + high) / 2;
            if (fastEnough.test(middle)) low = middle;
            else high = middle;
        }
        return low;
    }
}
