package linnet.dsp.dynamics;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.function.LongPredicate;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.dsp.Beside;
import linnet.dsp.Cell;
import linnet.dsp.Decibels;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.dsp.Tape;
import linnet.dsp.dynamics.Compression.Level;
import linnet.dsp.dynamics.Compression.Release;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Oracle: the slow and obvious median of what a detector with the found threshold takes off, sample by sample, sorted. */
@Tag("listening")
class AimTest {
    private static final List<Compression> LAWS = List.of(
            new Compression(Release.PLAIN, Level.PEAK, 60, 0, 6, 3, 0.5, 60, Compression.NO_BOUND, 0),
            new Compression(Release.PLAIN, Level.PEAK, 0, 0, 10, 0, 0.02, 50, Compression.NO_BOUND, 0),
            new Compression(Release.PLAIN, Level.RMS, 60, 0, 3, 6, 10, 120, Compression.NO_BOUND, 0),
            new Compression(Release.TWO_STAGE, Level.PEAK, 60, 0, 3, 12, 10, 800, Compression.NO_BOUND, 0),
            new Compression(Release.PLAIN, Level.PEAK, 60, 0, 6, 3, 0.5, 60, Compression.NO_BOUND, 90));

    @Test
    void reachesTheWantedReductionOnInventedSignals() {
        for (Sound sound : List.of(sung(48000, 1), sung(44100, 2), sung(96000, 1))) {
            for (Compression law : LAWS) check(sound, law);
        }
    }

    @Test
    void reachesTheWantedReductionOnRealVoices() throws Exception {
        Voices.assumePresent();
        for (String name : List.of(
                "female_sing_nit004_take1.wav", "male_sing_vocadito01.wav", "male_sing_hot_vocadito10.wav", "male_sing_pjs063.wav")) {
            try (WavFile voice = WavFile.open(Voices.file(name))) {
                for (Compression law : LAWS) check(voice, law);
            }
        }
    }

    static Aim.Found threshold(Playback arriving, LongPredicate counts, Compression law, double wantedDb) {
        return Aim.threshold(arriving, () -> counts, law, wantedDb, Tape.IN_MEMORY, Beside.ONE_AFTER_THE_OTHER);
    }

    private static void check(Sound sound, Compression law) {
        LongPredicate loud = loudFrames(sound);
        for (double wanted : new double[] {1, 4, 10}) {
            Aim.Found found = threshold(Playback.of(sound), loud, law, wanted);
            assertTrue(found.reached(), "not reached: " + found + " " + law);
            assertEquals(Math.rint(10 * found.thresholdDb()) / 10, found.thresholdDb(), "as it is told");
            assertEquals(wanted, median(sound, loud, law.withThreshold(found.thresholdDb())), 0.3, found + " " + law);
        }
    }

    /** Four minutes that grow from soft to loud: no stretch of them is like the whole. */
    @Test
    void hearsALongTakeInStretches() {
        double[] phrase = sung(12000, 1).data()[0], x = new double[30 * phrase.length];
        for (int i = 0; i < x.length; i++) x[i] = phrase[i % phrase.length] * StrictMath.pow(10, -1 + (double) i / x.length);
        Samples sound = new Samples(12000, x);
        for (Compression law : List.of(LAWS.get(0), LAWS.get(3))) check(sound, law);
        long[] played = {0};
        threshold(counting(Playback.of(sound), played), i -> true, LAWS.get(0), 3);
        assertTrue(played[0] <= 2.1 * x.length, "the track and three hearings of a third");
    }

    /** Soft verses and loud choruses, held evenly: by where the stretches fall, their median lies in the one and that of the whole in the other. */
    @ParameterizedTest
    @CsvSource({"40, 19, 16", "40, 19, 6", "28, 13, 12", "34, 16, 9", "56, 27, 12"})
    void hearsSoftVersesAndLoudChoruses(double seconds, double soft, double softer) {
        double rate = 12000;
        double[] x = new double[(int) (240 * rate)];
        for (int i = 0; i < x.length; i++) {
            double t = i / rate, level = t % 5 > 4.6 ? 1e-4 : t % seconds < soft ? 0.3 * Decibels.gain(-softer) : 0.3;
            x[i] = level * (Math.sin(2 * Math.PI * 220 * t) + 0.5 * Math.sin(2 * Math.PI * 440 * t));
        }
        for (Compression law : List.of(LAWS.get(0), LAWS.get(3), LAWS.get(4))) check(new Samples(rate, x), law);
    }

    /** As little as a step can be asked for: what the track is wrong by is more than that. */
    @Test
    void aHairIsFoundToo() {
        for (Compression law : LAWS) {
            Aim.Found found = threshold(Playback.of(sung(48000, 1)), i -> true, law, 0.1);
            assertTrue(found.reached(), found + " " + law);
        }
    }

    private static Playback counting(Playback playback, long[] frames) {
        return new Playback() {
            @Override
            public double rate() {
                return playback.rate();
            }

            @Override
            public int channels() {
                return playback.channels();
            }

            @Override
            public long frames() {
                return playback.frames();
            }

            @Override
            public void play(long from, long to, Listener listener) {
                frames[0] += to - from;
                playback.play(from, to, listener);
            }
        };
    }

    /**
     * The track hears a little more than the detector takes off; just under its bound it must not be asked for more than that, or only the lowest threshold is
     * left.
     */
    @Test
    void anAimJustUnderTheBoundIsFound() {
        for (Compression free : LAWS) {
            for (double bound : new double[] {3.3, 3.5, 4}) {
                Compression law = new Compression(free.release(), free.level(), free.keyHighPassHz(), 0, free.ratio(), free.kneeDb(), free.attackMs(),
                        free.releaseMs(), bound, free.lookaheadMs());
                Aim.Found found = threshold(Playback.of(sung(48000, 1)), i -> true, law, 3);
                assertTrue(found.reached() && found.thresholdDb() > -60, bound + " dB, " + free + ": " + found);
            }
        }
    }

    @Test
    void saysSoWhenNoThresholdReachesIt() {
        Compression gentle = new Compression(Release.PLAIN, Level.PEAK, 0, 0, 1.1, 6, 1, 60, Compression.NO_BOUND, 0);
        Aim.Found found = threshold(Playback.of(sung(48000, 1)), i -> true, gentle, 20);
        assertFalse(found.reached());
        assertTrue(found.medianDb() > 3 && found.medianDb() < 9, "nearest: " + found);
        assertFalse(threshold(Playback.of(new Samples(48000, new double[48000])), i -> true, LAWS.get(0), 3).reached());
        assertFalse(threshold(Playback.of(sung(48000, 1)), i -> false, LAWS.get(0), 3).reached());
    }

    /** Eight seconds of pulses at a low pitch with phrases, swells and pauses. */
    private static Samples sung(double rate, int channels) {
        double[][] x = new double[channels][(int) (8 * rate)];
        SplittableRandom random = new SplittableRandom(3);
        for (double[] channel : x) {
            for (int i = 0; i < channel.length; i++) {
                double t = i / rate;
                double swell = t % 2 < 1.5 ? 0.1 + 0.3 * StrictMath.sin(t * 3) * StrictMath.sin(t * 3) : 0;
                double phase = 110 * t - Math.floor(110 * t);
                channel[i] = swell * StrictMath.exp(-5 * phase) * StrictMath.sin(12 * Math.PI * phase) + 1e-4 * random.nextDouble();
            }
        }
        return new Samples(rate, x);
    }

    /** Frames of 10 ms whose power is less than 25 dB under the loudest. */
    private static LongPredicate loudFrames(Sound sound) {
        double[] power = new double[(int) (sound.frames() / Cell.LENGTH) + 1];
        long[] at = {0};
        Playback.of(sound).play((x, n) -> {
            for (int i = 0; i < n; i++) power[(int) (at[0] / Cell.LENGTH)] += x[0][i] * x[0][i];
            at[0] += n;
        });
        double limit = Arrays.stream(power).max().orElseThrow() * StrictMath.pow(10, -2.5);
        return i -> i >= 0 && power[(int) (i / Cell.LENGTH)] > limit;
    }

    private static double median(Sound sound, LongPredicate counts, Compression law) {
        Detector detector = new Detector(sound.rate(), law);
        List<Double> all = new ArrayList<>();
        long[] at = {0};
        Playback.of(sound).play((x, n) -> {
            if (sound.channels() == 1) detector.process(x[0], n);
            else detector.process(x[0], x[1], n);
            detector.settle();
            for (int i = 0; i < n; i++) if (counts.test(at[0] + i - detector.latency())) all.add(detector.reduction()[i]);
            at[0] += n;
        });
        all.sort(null);
        return all.get(all.size() / 2);
    }
}
