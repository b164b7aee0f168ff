package linnet.dsp.reverb;

/**
 * The loss of one trip through a delay line: a gain and a one-pole low-pass, gain (1 - pole) / (1 - pole z^-1), that
 * together take as many dB from a trip of D samples as the wanted decay asks for: 10^(-3 D / (rate T(f))), the comb law
 * of M. R. Schroeder (1962), for every line and frequency alike (J.-M. Jot, A. Chaigne, "Digital delay networks for
 * designing artificial reverberators", AES 1991).
 *
 * <p>The filter is solved to be exact at two frequencies. At {@link #MID} the decay is the one asked for. At {@link #HIGH}
 * it is shorter by the damping; in between 1/T grows about as f squared, as it does in air. A trip that is long against the decay would
 * need a steeper low-pass than one pole is; there less is taken ({@link #STEEPEST}), so that at 0.8 a room of 0.4 s is shorter by
 * about 0.55 and one of 1.4 s by 0.7.
 *
 * @param gain loop gain at DC, below 1
 * @param pole 0 (no damping) up to, not including, 1
 */
record Absorption(double gain, double pole) {
    /** Hz at which the decay is exact. Between 500 Hz and 2 kHz the law stays within 3 % of it at the usual damping. */
    static final double MID = 1300;
    /** Hz to which the damping refers. */
    static final double HIGH = 8000;
    /** The share used of what a pole at 1 could take from the highs against the mids: with more the lows would bloom. */
    private static final double STEEPEST = 0.45;

    /**
     * @param samples length of the trip
     * @param decay seconds to fall by 60 dB at {@link #MID}
     * @param damping how much shorter the decay is at {@link #HIGH}: 0 (not) to 0.8
     */
    static Absorption of(double rate, double samples, double decay, double damping) {
        double mid = 3 * StrictMath.log(10) * samples / (rate * decay);
        double highHz = Math.min(HIGH, 0.4 * rate);
        double shorter = damping / (1 - damping) * (highHz / HIGH) * (highHz / HIGH);
        double cosMid = StrictMath.cos(2 * Math.PI * MID / rate), cosHigh = StrictMath.cos(2 * Math.PI * highHz / rate);
        double lowPass = Math.min(mid * shorter, STEEPEST * 0.5 * StrictMath.log((1 - cosHigh) / (1 - cosMid)));
        double gain = StrictMath.exp(-mid);
        if (lowPass == 0) return new Absorption(gain, 0);
        // |1 - b e^-jw|^2 at the two frequencies stand in the ratio of the losses: a quadratic in b whose roots are mutual inverses.
        double ratio = StrictMath.exp(-2 * lowPass);
        double half = (cosMid - ratio * cosHigh) / (1 - ratio);
        double pole = 1 / (half + Math.sqrt(half * half - 1));
        return new Absorption(gain * Math.sqrt(1 - 2 * pole * cosMid + pole * pole) / (1 - pole), pole);
    }

    /** Gain of a trip at {@link #MID}. */
    double mid(double rate) {
        double cos = StrictMath.cos(2 * Math.PI * MID / rate);
        return gain * (1 - pole) / Math.sqrt(1 - 2 * pole * cos + pole * pole);
    }
}
