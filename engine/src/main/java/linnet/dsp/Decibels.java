package linnet.dsp;

/** Levels and factors, the same bits on every machine; for hot loops there is {@link Approximation}. */
public final class Decibels {
    private Decibels() {}

    /** The factor of amplitude: {@code 10^(db/20)}. */
    public static double gain(double db) {
        return StrictMath.pow(10, db / 20);
    }

    /** The factor of power: {@code 10^(db/10)}. */
    public static double power(double db) {
        return StrictMath.pow(10, db / 10);
    }

    /** Of an amplitude or gain, 0 or more; zero is negative infinity. */
    public static double ofGain(double gain) {
        return 20 * StrictMath.log10(gain);
    }

    /** Of a power, 0 or more; zero is negative infinity. */
    public static double ofPower(double power) {
        return 10 * StrictMath.log10(power);
    }
}
