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

    /**
     * In whole tenths of a dB, for what is found by hearing: as it is told, so that it can be written in its place; and the same where what is heard
     * is another by a hair, so that nothing else is another then.
     */
    public static double tenths(double db) {
        return Math.rint(10 * db) / 10;
    }
}
