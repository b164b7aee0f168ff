package linnet.hear;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.Decibels;
import linnet.dsp.Sound;
import linnet.dsp.loudness.Loudness;
import linnet.dsp.loudness.Moments;
import linnet.dsp.loudness.TruePeak;

/**
 * What meters read of a whole sound, mono or stereo, after ITU-R BS.1770-5, EBU Tech 3341 and EBU Tech 3342. Both channels of a
 * stereo sound weigh 1.0, so the same voice in both reads 3.01 LU more than in one.
 *
 * @param integrated LUFS, gated
 * @param momentaryMax LUFS of the loudest 400 ms, found on a grid of 10 ms
 * @param shortTermMax LUFS of the loudest 3 s, found on a grid of 10 ms
 * @param loudnessRange LU. Its confidence grows with the sound to 1 at a minute: on shorter ones the range is not thought a
 *     sound measure (EBU R 128 s1, from memory)
 * @param truePeak dBTP, the largest of all channels, by the interpolator that BS.1770-5 Annex 2 prints
 * @param samplePeak dBFS, the largest of all channels
 * @param crest dB by which the sample peak stands over the RMS of the channel that has the most; a sine has 3.01
 * @param dc mean of each channel, full scale is 1.0
 * @param correlation of left and right over the whole, -1 to 1, at zero lag, DC left out: 1 is mono, below 0 the sum to mono loses
 * @param lowestCorrelation over any 3 s no more than 20 dB below the level of the whole
 * @param momentary loudness of 400 ms, every 100 ms; its highest value may be below {@code momentaryMax}
 * @param shortTerm loudness of 3 s, every 100 ms; its highest value may be below {@code shortTermMax}
 */
public record Meters(
        Measured<Double> integrated,
        Measured<Double> momentaryMax,
        Measured<Double> shortTermMax,
        Measured<Double> loudnessRange,
        Measured<Double> truePeak,
        Measured<Double> samplePeak,
        Measured<Double> crest,
        List<Measured<Double>> dc,
        Measured<Double> correlation,
        Measured<Double> lowestCorrelation,
        Measured<LoudnessSeries> momentary,
        Measured<LoudnessSeries> shortTerm) {
    private static final int BLOCK = 4800;
    private static final double MOMENTARY = 0.4, SHORT_TERM = 3;
    private static final double LONG = 60;
    private static final String EMPTY = "there is no sound in it", SILENT = "it is silent";
    private static final String SHORTER = "it is shorter than 0.4 s", SHORT = "it is shorter than 3 s";
    private static final String QUIET = "it is never louder than -70 LUFS";

    /** Reads the sound once, in blocks; memory grows by a few numbers per 100 ms. */
    public static Meters of(Sound sound) {
        Hearing hearing = new Hearing(sound);
        double[][] x = new double[sound.channels()][BLOCK];
        for (long at = 0; at < sound.frames(); at += BLOCK) {
            int n = (int) Math.min(BLOCK, sound.frames() - at);
            sound.read(at, x, n);
            hearing.add(x, n);
        }
        return hearing.meters();
    }

    /** All meters at once, for who reads the sound anyway. */
    static final class Hearing {
        private final Sound sound;
        private final Loudness loudness;
        private final TruePeak peak;
        private final Moments moments;

        Hearing(Sound sound) {
            this.sound = sound;
            loudness = new Loudness(sound.rate(), sound.channels());
            peak = new TruePeak(sound.channels());
            moments = new Moments(sound.rate(), sound.channels());
        }

        /** The next samples of the sound. */
        void add(double[][] x, int n) {
            loudness.add(x, n);
            peak.add(x, n);
            moments.add(x, n);
        }

        /** When all of it was heard. */
        Meters meters() {
            double[] momentary = loudness.momentary(), shortTerm = loudness.shortTerm();
            String noMomentary = sound.frames() == 0 ? EMPTY : momentary.length == 0 ? SHORTER : SILENT;
            String noShortTerm = sound.frames() == 0 ? EMPTY : shortTerm.length == 0 ? SHORT : SILENT;
            String noPeak = sound.frames() == 0 ? EMPTY : SILENT;
            return new Meters(
                    measured(loudness.integrated(), 1, momentary.length == 0 ? noMomentary : QUIET),
                    measured(loudness.momentaryMax(), 1, noMomentary),
                    measured(loudness.shortTermMax(), 1, noShortTerm),
                    measured(loudness.range(), sound.frames() / sound.rate() / LONG, shortTerm.length == 0 ? noShortTerm : QUIET),
                    measured(peak.dbtp(), 1, noPeak),
                    measured(peak.dbfs(), 1, noPeak),
                    measured(peak.dbfs() - Decibels.ofPower(most(moments, sound.channels())), 1, noPeak),
                    dc(moments, sound.channels()),
                    measured(moments.correlation(), 1, noCorrelation(sound)),
                    measured(moments.lowestCorrelation(), 1, sound.channels() == 2 && shortTerm.length == 0 ? noShortTerm : noCorrelation(sound)),
                    series(MOMENTARY, momentary, noMomentary),
                    series(SHORT_TERM, shortTerm, noShortTerm));
        }
    }

    private static Measured<Double> measured(double value, double confidence, String otherwise) {
        return Double.isFinite(value) ? Measured.of(value, confidence) : Measured.not(otherwise);
    }

    private static double most(Moments moments, int channels) {
        return channels == 1 ? moments.meanSquare(0) : Math.max(moments.meanSquare(0), moments.meanSquare(1));
    }

    private static List<Measured<Double>> dc(Moments moments, int channels) {
        List<Measured<Double>> dc = new ArrayList<>();
        for (int c = 0; c < channels; c++) dc.add(measured(moments.mean(c), 1, EMPTY));
        return List.copyOf(dc);
    }

    private static String noCorrelation(Sound sound) {
        if (sound.channels() == 1) return "it has one channel";
        return sound.frames() == 0 ? EMPTY : "one of its channels is silent";
    }

    private static Measured<LoudnessSeries> series(double first, double[] lufs, String otherwise) {
        return lufs.length == 0 ? Measured.not(otherwise) : Measured.of(new LoudnessSeries(first, lufs), 1);
    }
}
