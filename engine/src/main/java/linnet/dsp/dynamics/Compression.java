package linnet.dsp.dynamics;

/**
 * How a compressor is set.
 *
 * @param release how it gives back
 * @param level what it takes for the level of its key
 * @param keyHighPassHz below this the key is not heard (12 dB/oct); 0 for all of it
 * @param thresholdDb in dBFS: of a sample for the peak detector, of the RMS for the other, which reads a full-scale sine as -3.01
 * @param ratio dB in for each dB out above the knee; infinity for a limiter
 * @param kneeDb width of the knee around the threshold
 * @param attackMs to 63.2 % of a reduction that rises in a step
 * @param releaseMs for a plain release of the peak detector to 63.2 % of the way back (but no faster than the attack); in two stages, time constant of the
 *     slow one
 * @param mostDb of reduction: louder than what asks for that, dB for dB; or {@link #NO_BOUND}
 * @param lookaheadMs how long before the sound that asks for it a reduction is there
 */
public record Compression(
        Release release, Level level, double keyHighPassHz, double thresholdDb, double ratio, double kneeDb, double attackMs, double releaseMs, double mostDb,
        double lookaheadMs) {

    /** For {@code mostDb}. */
    public static final double NO_BOUND = Double.POSITIVE_INFINITY;

    static final int HOLD_MS = 12;
    private static final double QUICKEST_ATTACK_MS = 0.02, QUICKEST_RELEASE_MS = 5;

    public enum Release {
        PLAIN,
        /** Half of the reduction is back 60 ms after a short peak; the rest, and more of it after a long reduction, takes its time. */
        TWO_STAGE
    }

    public enum Level {
        /** The highest sample of the last {@value Compression#HOLD_MS} ms: the period of a low voice. */
        PEAK,
        /** Mean square over 10 ms. It rises and falls in a time of its own, which comes on top of attack and release: how long that is goes by the levels. */
        RMS
    }

    public Compression withThreshold(double db) {
        return new Compression(release, level, keyHighPassHz, db, ratio, kneeDb, attackMs, releaseMs, mostDb, lookaheadMs);
    }

    /** One that goes by peaks and is done with a sound as soon as that is over: it never wants less off what goes on. */
    public Compression atOnce() {
        return new Compression(Release.PLAIN, Level.PEAK, keyHighPassHz, thresholdDb, ratio, kneeDb, QUICKEST_ATTACK_MS, QUICKEST_RELEASE_MS, mostDb,
                lookaheadMs);
    }

    public Compression lookingAhead(double ms) {
        return new Compression(release, level, keyHighPassHz, thresholdDb, ratio, kneeDb, attackMs, releaseMs, mostDb, ms);
    }

    /** How long the key holds its peaks: less if the release is to be shorter than four such times. */
    double holdMs() {
        if (level == Level.RMS) return 0;
        return release == Release.TWO_STAGE ? HOLD_MS : Math.min(HOLD_MS, releaseMs / 4);
    }

    /** @param cell samples from one call of {@code settle} to the next */
    Ballistics ballistics(double rate, int cell) {
        Ballistics b = release == Release.PLAIN ? new Decoupled(rate, holdMs()) : new Optical(rate, holdMs(), cell);
        b.times(attackMs, releaseMs);
        return b;
    }

    /** Samples by which a signal comes later that is looked ahead of: whole hops of {@link Lookahead}. */
    public static int latency(double rate, double lookaheadMs) {
        return Lookahead.hops(rate, lookaheadMs) * Lookahead.hop(rate);
    }

    /** Or null. */
    Lookahead lookahead(double rate) {
        return lookaheadMs == 0 ? null : new Lookahead(Lookahead.hop(rate), Lookahead.hops(rate, lookaheadMs));
    }

    GainComputer computer() {
        return new GainComputer(thresholdDb, ratio, kneeDb, mostDb);
    }
}
