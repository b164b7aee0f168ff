package linnet.draft;

import java.util.Locale;
import linnet.dsp.Decibels;
import linnet.hear.Bands;

/**
 * How strong a region of a voice is beside its core, 400 Hz to 2 kHz, in dB: sums of third octaves of the frames that are sung.
 *
 * @param boom 100 to 200 Hz
 * @param mud 200 to 400 Hz
 * @param edge 2 to 5 kHz
 * @param presence 3 to 5 kHz
 * @param air 10 to 16 kHz; minus infinity where the sampling rate holds none
 */
record Tone(double boom, double mud, double edge, double presence, double air) {
    static Tone of(Bands voice) {
        double core = sum(voice, 400, 2000);
        return new Tone(sum(voice, 100, 160) - core, sum(voice, 200, 315) - core, sum(voice, 2500, 4000) - core, sum(voice, 3150, 5000) - core,
                sum(voice, 10_000, 16_000) - core);
    }

    /** Level of the bands whose centres lie between these, ends included. */
    private static double sum(Bands bands, double from, double to) {
        double power = 0;
        for (int k = 0; k < bands.hz().length; k++) if (bands.hz()[k] >= 0.99 * from && bands.hz()[k] <= 1.01 * to) power += Decibels.power(bands.dbfs()[k]);
        return Decibels.ofPower(power);
    }

    static String db(double value) {
        return String.format(Locale.ROOT, "%.1f dB", Math.abs(value));
    }
}
