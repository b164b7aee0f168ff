package linnet.dsp.dynamics;

import linnet.dsp.Cell;

/**
 * A release in two stages that depends on the past, as a light-dependent resistor has it: two peak detectors in parallel,
 * one fast and one slow, whose sum is smoothed by the attack. After a short peak half of the reduction is gone in about
 * 60 ms and the rest follows slowly. The longer and the deeper the reduction was, the smaller is the fast share and the
 * slower the slow part.
 *
 * <p>Source of the two stages: G. McNally, "Dynamic Range Control of Digital Audio Signals", JAES 32(5), 1984. The rule
 * for the past is ours.
 */
final class Optical extends Ballistics {
    /** So long after the end of a peak as short as this, half of the reduction is back. */
    private static final double HALF_MS = 60, SHORT_MS = 20;
    /** Share of the fast detector in a reduction without past. */
    private static final double FAST_SHARE = 0.6;
    /** So many dB of reduction in the long run halve the fast share and double the slow time. */
    private static final double DOUBLING_DB = 6;
    private static final double SLOWEST_MS = 5000;
    /** How fast the past is taken in, and forgotten. */
    private static final double PAST_MS = 2500;

    private final double rate, holdMs;
    private final double pastPole;
    private double slowMs;
    private double attack, fastRelease, slowRelease, share;
    private double fast, slow, applied, past;

    /**
     * @param holdMs how long the key holds its peaks
     * @param cell samples from one call of {@link #settle()} to the next
     */
    Optical(double rate, double holdMs, int cell) {
        this.rate = rate;
        this.holdMs = holdMs;
        this.pastPole = pole(PAST_MS, rate / cell);
    }

    /** {@code releaseMs}: time constant of the slow part after a short peak. */
    @Override
    void times(double attackMs, double releaseMs) {
        slowMs = releaseMs;
        attack = pole(attackMs, rate);
        double t = HALF_MS - holdMs;
        double half = 0.5 * (1 - StrictMath.exp(-(SHORT_MS + holdMs) / attackMs));
        double slowLeft = (1 - FAST_SHARE) * left(attackMs, slowMs, t);
        fastRelease = pole(slowest(HALF_MS, fastMs -> FAST_SHARE * left(attackMs, fastMs, t) + slowLeft <= half), rate);
        remember();
    }

    private void remember() {
        double times = 1 + past / DOUBLING_DB;
        share = FAST_SHARE / times;
        slowRelease = pole(Math.min(SLOWEST_MS, slowMs * times), rate);
    }

    @Override
    void process(double[] reduction, int n) {
        double aA = attack, bA = 1 - attack, aF = fastRelease, bF = 1 - fastRelease, aS = slowRelease, bS = 1 - slowRelease;
        double w = share, f = fast, s = slow, y = applied;
        for (int i = 0; i < n; i++) {
            double x = reduction[i], rf = aF * f + bF * x, rs = aS * s + bS * x;
            f = x > rf ? x : rf;
            s = x > rs ? x : rs;
            y = aA * y + bA * (s + w * (f - s));
            reduction[i] = y;
        }
        fast = f;
        slow = s;
        applied = y;
    }

    /** What it remembers of the past turns nothing down. */
    @Override
    boolean rests() {
        return fast == 0 && slow == 0 && applied == 0;
    }

    /** Takes in the past too: it moves slowly enough for the grid of cells. */
    @Override
    void settle() {
        fast = Cell.settled(fast);
        slow = Cell.settled(slow);
        applied = Cell.settled(applied);
        past = Cell.settled(pastPole * past + (1 - pastPole) * applied);
        remember();
    }
}
