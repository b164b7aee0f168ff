package linnet.dsp.dynamics;

import linnet.dsp.Cell;

/**
 * The smooth decoupled detector: a peak detector with release, then a one-pole with the attack's time constant.
 *
 * <pre>y1 = max(x, aR y1 + (1 - aR) x);  y = aA y + (1 - aA) y1</pre>
 *
 * In series they release more slowly than either, so the time constant of the first is chosen such that the pair has
 * given back 63.2 % at the release time, what the key holds included.
 *
 * <p>Source: Giannoulis, Massberg, Reiss, JAES 60(6), 2012, eq. 17.
 */
final class Decoupled extends Ballistics {
    private final double rate, holdMs;
    private double attack, release;
    private double peak, applied;

    /** @param holdMs how long the key holds its peaks */
    Decoupled(double rate, double holdMs) {
        this.rate = rate;
        this.holdMs = holdMs;
    }

    /** {@code releaseMs}: to 63.2 % of the way back. It can't be shorter than the attack. */
    @Override
    void times(double attackMs, double releaseMs) {
        double wantedMs = Math.max(0, releaseMs - holdMs);
        poles(attackMs, slowest(wantedMs, stage -> left(attackMs, stage, wantedMs) <= 1 / Math.E));
    }

    /** The bare time constants of both stages, in ms. */
    void poles(double attackMs, double releaseMs) {
        attack = pole(attackMs, rate);
        release = pole(releaseMs, rate);
    }

    @Override
    void process(double[] reduction, int n) {
        double aA = attack, bA = 1 - attack, aR = release, bR = 1 - release;
        double y1 = peak, y = applied;
        for (int i = 0; i < n; i++) {
            double x = reduction[i], r = aR * y1 + bR * x;
            y1 = x > r ? x : r;
            y = aA * y + bA * y1;
            reduction[i] = y;
        }
        peak = y1;
        applied = y;
    }

    @Override
    boolean rests() {
        return peak == 0 && applied == 0;
    }

    @Override
    void settle() {
        peak = Cell.settled(peak);
        applied = Cell.settled(applied);
    }
}
