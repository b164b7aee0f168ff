package linnet.dsp.pitch;

import linnet.dsp.Approximation;

/** Pitch on the ear's scale: semitones, where 69 is 440 Hz and 60 the C below it. */
public final class Semitones {
    private static final double OF_440 = StrictMath.log(440) / StrictMath.log(2);

    private Semitones() {}

    /** Within 2e-8 semitones. */
    public static double of(double hz) {
        return 69 + 12 * (Approximation.log2(hz) - OF_440);
    }

    public static double hz(double semitones) {
        return 440 * StrictMath.pow(2, (semitones - 69) / 12);
    }
}
