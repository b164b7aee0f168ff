package linnet.dsp.dynamics;

import java.util.Arrays;
import java.util.List;
import linnet.dsp.Approximation;
import linnet.dsp.Cell;
import linnet.dsp.Decibels;
import linnet.dsp.Lag;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Butterworth;

/**
 * A noise gate that hears what is to come: it lowers the pauses of a voice to a floor, opens a look-ahead before the key
 * rises over the threshold, and closes a hold after it has fallen below the threshold less the hysteresis.
 *
 * <p>The key is the mean square of the signal above {@value #KEY_HZ} Hz, so rumble holds nothing open, and a steady tone reads
 * its RMS. Opening early and closing late are separate: the look-ahead never shortens an ending. A pause shorter than
 * {@value #SHORTEST_PAUSE_MS} ms is not worth closing for and stays open; with that the gate cannot chatter, whatever the
 * settings. The gain moves exponentially in dB, 63.2 % of the way in the attack or release time, and is exactly 1 once
 * open, so an open gate is a bit-exact delay. Two channels share one gain, that of the louder.
 *
 * <p>Why so far ahead: an unvoiced stop is heard up to 75 ms before the vowel that opens the gate (L. Lisker, A. Abramson,
 * "A cross-language study of voicing in initial stops", Word 20, 1964). The thresholds after D. Giannoulis, M. Massberg,
 * J. Reiss, "Digital dynamic range compressor design", JAES 60(6), 2012; hold and hysteresis are common practice.
 */
public final class Gate {
    /** Corner of the fourth-order high-pass before the detector, in Hz. */
    public static final double KEY_HZ = 100;

    /** Time of the mean square, in ms: short beside a syllable, long beside a period of the voice. */
    static final double KEY_MS = 10;

    /** The gate stays open through pauses shorter than this, in ms. */
    public static final double SHORTEST_PAUSE_MS = 150;

    /** The gain arrives where it is going when it is this near, in dB. */
    private static final double ARRIVED = 1e-6;

    /** Samples; longer than any hold. */
    private static final int LONG_AGO = 1 << 30;

    private final double rate;
    private final int latency, shortestPause;
    private final Key left, right;
    private final Lag leftDelay, rightDelay;
    private final double[] key = new double[Cell.LENGTH], other = new double[Cell.LENGTH], gain = new double[Cell.LENGTH];

    private double openAt, closeBelow, floorDb, closed, attack, release;
    private int hold;

    private boolean above; // the key, in hysteresis
    private int sinceAbove = LONG_AGO; // samples since it was
    private int awake; // samples since the end of the last real pause; counts no further than it matters
    private boolean open;
    private double away; // what the gain has still to go, in dB
    private double gainDb = Double.NaN;
    private boolean turned; // whether the last block was turned down anywhere

    /**
     * @param rate samples per second
     * @param lookaheadMs how long before its key the gate opens
     */
    public Gate(double rate, double lookaheadMs) {
        this.rate = rate;
        latency = latency(rate, lookaheadMs);
        shortestPause = frames(SHORTEST_PAUSE_MS, rate);
        left = new Key(rate);
        right = new Key(rate);
        leftDelay = new Lag(latency);
        rightDelay = new Lag(latency);
    }

    /** Look-ahead and shortest pause, in samples: whether a pause is long is known only at its end. */
    public static int latency(double rate, double lookaheadMs) {
        return frames(lookaheadMs, rate) + frames(SHORTEST_PAUSE_MS, rate);
    }

    public int latency() {
        return latency;
    }

    /**
     * To be called before the first block, and between cells whenever a value has moved.
     *
     * @param thresholdDb RMS in dBFS at which the gate opens
     * @param hysteresisDb how far below that it closes, 0 or more
     * @param floorDb gain of the closed gate, 0 or less
     * @param attackMs time to open, to 63.2 % in dB
     * @param holdMs how long it stays open after the key has fallen
     * @param releaseMs time to close, to 63.2 % in dB
     */
    public void set(double thresholdDb, double hysteresisDb, double floorDb, double attackMs, double holdMs, double releaseMs) {
        openAt = Decibels.power(thresholdDb);
        closeBelow = Decibels.power(thresholdDb - hysteresisDb);
        if (Double.isNaN(gainDb)) gainDb = floorDb; // it begins closed
        else if (!open && floorDb != this.floorDb) away = gainDb - floorDb;
        this.floorDb = floorDb;
        closed = Approximation.gain(floorDb);
        attack = Ballistics.pole(attackMs, rate);
        release = Ballistics.pole(releaseMs, rate);
        hold = frames(holdMs, rate);
    }

    /** Mono, in place. */
    public void process(double[] x, int n) {
        left.listen(x, key, n);
        leftDelay.process(x, n);
        turned = follow(left.lowest, left.highest, n);
        if (turned) times(x, gain, n);
    }

    /** Stereo, in place. */
    public void process(double[] l, double[] r, int n) {
        left.listen(l, key, n);
        right.listen(r, other, n);
        for (int i = 0; i < n; i++) key[i] = Math.max(key[i], other[i]);
        leftDelay.process(l, n);
        rightDelay.process(r, n);
        turned = follow(Math.max(left.lowest, right.lowest), Math.max(left.highest, right.highest), n);
        if (turned) {
            times(l, gain, n);
            times(r, gain, n);
        }
    }

    /** Opens and closes for another signal as it did in the last block of this one. */
    public Follower follower() {
        return new Follower();
    }

    /** A signal of its own, with the gain of this gate; it is given blocks right after the gate, of the same length. */
    public final class Follower implements Led {
        private final Lag left = new Lag(latency()), right = new Lag(latency());

        private Follower() {}

        @Override
        public void process(double[] x, int n) {
            left.process(x, n);
            if (turned) times(x, gain, n);
        }

        @Override
        public void process(double[] l, double[] r, int n) {
            process(l, n);
            right.process(r, n);
            if (turned) times(r, gain, n);
        }

        @Override
        public boolean rests() {
            return left.isSilent() && right.isSilent();
        }
    }

    /** To be called at the end of each cell. */
    public void settle() {
        left.settle();
        right.settle();
        if (Math.abs(away) >= ARRIVED) return;
        away = 0;
        gainDb = target();
    }

    /** Whether it is closed for good and silence leaves it as silence; at the border of a cell. The floor and the hold must stand. */
    public boolean rests() {
        return !open && away == 0 && awake == 0 && !above && sinceAbove > hold + latency() && left.rests() && right.rests() && leftDelay.isSilent()
                && rightDelay.isSilent();
    }

    /** As {@link #process} and {@link #settle} of a cell of silence. */
    public void rest() {
        sinceAbove = Math.min(sinceAbove + Cell.LENGTH, LONG_AGO);
        Arrays.fill(gain, closed);
        turned = true;
        settle();
    }

    /** By how many dB the gain stood below unity at the last sample. */
    public double reductionDb() {
        return -gainDb;
    }

    /**
     * Fills the gains of n samples; false if they are all 1.
     *
     * @param lowest no key is below it
     * @param highest no key is above it
     */
    private boolean follow(double lowest, double highest, int n) {
        int longest = hold + latency(); // of silence that does not close the gate, as heard a latency ahead
        // Most blocks change nothing: a voice goes on, or a pause does.
        boolean goesOn = above && lowest >= closeBelow && awake > shortestPause;
        boolean pauses = !above && highest < openAt && sinceAbove > longest;
        if (pauses) {
            sinceAbove = Math.min(sinceAbove + n, LONG_AGO);
            awake = 0;
        }
        int from = 0;
        if (goesOn || pauses) turn(goesOn);
        else from = decide(longest, n);
        if (from == 0 && away == 0) {
            if (!open) Arrays.fill(gain, 0, n, closed);
            return !open;
        }
        glide(from, n);
        Approximation.gains(gain, gain, n);
        return true;
    }

    /** Follows the key through a block in which something may change; the index from which the gain has still to glide. */
    private int decide(int longest, int n) {
        int from = 0;
        for (int i = 0; i < n; i++) {
            above = key[i] >= (above ? closeBelow : openAt);
            sinceAbove = above ? 0 : Math.min(sinceAbove + 1, LONG_AGO);
            awake = sinceAbove > longest ? 0 : Math.min(awake + 1, shortestPause + 1);
            if (awake > shortestPause == open) continue;
            glide(from, i);
            from = i;
            turn(!open);
        }
        return from;
    }

    private void turn(boolean opens) {
        if (opens == open) return;
        open = opens;
        away = gainDb - target();
    }

    private double target() {
        return open ? 0 : floorDb;
    }

    /** Writes the gain in dB for these samples. */
    private void glide(int from, int to) {
        double target = target(), pole = open ? attack : release, rest = away;
        for (int i = from; i < to; i++) {
            rest *= pole;
            gain[i] = target + rest;
        }
        away = rest;
        gainDb = target + rest;
    }

    private static void times(double[] x, double[] gain, int n) {
        for (int i = 0; i < n; i++) x[i] *= gain[i];
    }

    private static int frames(double ms, double rate) {
        return (int) Math.round(ms * 1e-3 * rate);
    }

    /** Running mean square of one channel above {@link #KEY_HZ}. */
    private static final class Key {
        private final Biquad p, q;
        private final double forget, perSquare, leastLeft;
        private double x1, dx1, y1, dy1, y2, z1, z2, power; // states
        private double lowest, highest;

        Key(double rate) {
            List<Biquad> highPass = Butterworth.highPass(rate, KEY_HZ, 4);
            p = highPass.get(0);
            q = highPass.get(1);
            forget = Ballistics.pole(KEY_MS, rate);
            leastLeft = StrictMath.pow(forget, Cell.LENGTH) * (1 - 1e-9); // less, to be sure of rounding
            double gain = p.b0() * q.b0();
            perSquare = (1 - forget) * gain * gain;
        }

        /**
         * Both sections and the mean in one loop: each waits for itself on every sample, and side by side they fill each other's
         * waits. Direct form I waits least. The numerator of a high-pass is its gain times (1 - z⁻¹)²: two differences; the gains
         * are left to the square.
         */
        void listen(double[] x, double[] key, int n) {
            double pa1 = p.a1(), pa2 = p.a2(), qa1 = q.a1(), qa2 = q.a2(), a = forget, b = perSquare;
            double v1 = x1, d1 = dx1, s1 = y1, s2 = y2, e1 = dy1, t1 = z1, t2 = z2, m = power;
            for (int i = 0; i < n; i++) {
                double v = x[i], d = v - v1, y = ((d - d1) - pa2 * s2) - pa1 * s1, e = y - s1, z = ((e - e1) - qa2 * t2) - qa1 * t1;
                v1 = v;
                d1 = d;
                s2 = s1;
                s1 = y;
                e1 = e;
                t2 = t1;
                t1 = z;
                m = a * m + b * (z * z);
                key[i] = m;
            }
            // No mean falls faster than it forgets: from the first and the last, what none can pass.
            lowest = power * leastLeft;
            highest = m / leastLeft;
            x1 = v1;
            dx1 = d1;
            y1 = s1;
            y2 = s2;
            dy1 = e1;
            z1 = t1;
            z2 = t2;
            power = m;
        }

        void settle() {
            x1 = Cell.settled(x1);
            dx1 = Cell.settled(dx1);
            y1 = Cell.settled(y1);
            y2 = Cell.settled(y2);
            dy1 = Cell.settled(dy1);
            z1 = Cell.settled(z1);
            z2 = Cell.settled(z2);
            power = Cell.settled(power);
        }

        boolean rests() {
            return x1 == 0 && dx1 == 0 && y1 == 0 && y2 == 0 && dy1 == 0 && z1 == 0 && z2 == 0 && power == 0;
        }
    }
}
