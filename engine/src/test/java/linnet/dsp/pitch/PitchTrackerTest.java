package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.util.Arrays;
import java.util.Random;
import linnet.Voices;
import linnet.audio.WavFile;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class PitchTrackerTest {
    /** Sawtooth and sine by formula. The step of a whole lag at 12 kHz is 25 cents at 175 Hz and 150 at 1.1 kHz. */
    @Tag("listening")
    @ParameterizedTest
    @CsvSource({"44100, 1", "48000, 1", "88200, 1", "96000, 1", "48000, 60", "22050, 60", "192000, 60"})
    void followsASteadyTone(double rate, int harmonics) {
        for (double hz = 58; hz < 1150; hz *= 1.0595) {
            double[] x = tone(rate, hz, harmonics, 0.4);
            float[] track = track(rate, x, x.length).hz();
            assertEquals(40, track.length);
            for (int f = 3; f < 37; f++) assertEquals(0, cents(track[f], hz), 10, rate + " Hz, frame " + f + " of " + hz);
        }
    }

    /** Every second harmonic four times as strong: the octave above is the stronger tone, but it is not the pitch. */
    @Test
    void isNotFooledByAStrongSecondHarmonic() {
        double[] x = tone(48000, 150, 40, 0.4), octave = tone(48000, 300, 20, 0.4);
        for (int i = 0; i < x.length; i++) x[i] += 2 * octave[i];
        float[] track = track(48000, x, x.length).hz();
        for (int f = 3; f < 37; f++) assertEquals(0, cents(track[f], 150), 10);
    }

    /** A vibrato as singers have: 6 Hz, 71 cents each way (E. Prame, JASA 96(4), 1994 and 102(1), 1997). */
    @Test
    void followsAVibratoInTime() {
        double rate = 48000;
        double[] x = new double[(int) rate];
        double phase = 0;
        for (int i = 0; i < x.length; i++) {
            phase += vibrato(i / rate) / rate;
            for (int h = 1; h < 20; h++) x[i] += Math.sin(2 * Math.PI * h * phase) / h;
        }
        PitchTrack track = track(rate, x, x.length);
        for (int f = 5; f < 95; f++) {
            // A frame averages over some 30 ms, which flattens a 6 Hz vibrato by a few per cent.
            assertEquals(0, cents(track.hz()[f], vibrato((f + 0.5) * track.hop() / rate)), 12, "frame " + f);
        }
    }

    @Test
    void findsNoPitchInNoiseOrSilence() {
        double[] x = new Random(3).doubles(48000, -1, 1).toArray();
        float[] track = track(48000, x, x.length).hz();
        int voiced = 0;
        for (float hz : track) if (hz > 0) voiced++;
        assertEquals(0, voiced);
        assertArrayEquals(new float[100], track(48000, new double[48000], 480).hz());
    }

    @Test
    void leavesOutFramesThatAreNotWorthIt() {
        double[] x = tone(48000, 220, 20, 0.4);
        WholeTrack tracker = new WholeTrack(48000, f -> f >= 20);
        tracker.add(x, x.length);
        PitchTrack track = tracker.finish();
        assertFalse(track.voiced(19));
        assertTrue(track.voiced(20));
        assertFalse(track.voiced(-1) || track.voiced(40));
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 7, 64, 479, 4800})
    void givesTheSameBitsHoweverTheSoundIsCut(int cut) {
        double[] x = tone(44100, 180, 20, 0.3);
        Random random = new Random(4);
        for (int i = 0; i < x.length; i++) x[i] += 0.3 * random.nextGaussian();
        assertArrayEquals(track(44100, x, x.length).hz(), track(44100, x, cut).hz());
    }

    @ParameterizedTest
    @ValueSource(ints = {0, 1, 3, 17, 29, 30, 60})
    void givesTheSameBitsInTwoStretches(int middle) {
        for (double rate : new double[] {8000, 44100, 48000, 96000}) {
            double[] x = tone(rate, 180, 20, 0.3);
            Random random = new Random(5);
            for (int i = 0; i < x.length; i++) x[i] += 0.3 * random.nextGaussian();
            PitchTrack whole = track(rate, x, x.length), halves = inStretches(rate, x, middle);
            assertArrayEquals(whole.hz(), halves.hz(), "at " + rate);
            assertArrayEquals(whole.fine(), halves.fine(), "at " + rate);
        }
    }

    /** Both stretches hear no more than they say they want. */
    private static PitchTrack inStretches(double rate, double[] x, int middle) {
        PitchFrames first = new PitchFrames(rate, f -> true, 0, middle), second = new PitchFrames(rate, f -> true, middle, Integer.MAX_VALUE);
        int hop = (int) Math.round(rate / 100), frames = (x.length + hop - 1) / hop;
        for (PitchFrames stretch : new PitchFrames[] {first, second}) {
            for (int at = (int) stretch.from(); at < x.length && !stretch.isWhole(); at += 100) {
                stretch.add(Arrays.copyOfRange(x, at, Math.min(x.length, at + 100)), Math.min(100, x.length - at));
            }
            stretch.finish(frames);
        }
        return PitchTracker.track(frames, f -> true, first, second);
    }

    /**
     * Pitch of a folk song corrected by hand (vocadito, 2021). The annotation has 64 % of the frames voiced, and an
     * independent difference-function tracker agrees within 50 cents on 99.7 % and within 25 on 98.5 %.
     */
    @Test
    void agreesWithAHandCorrectedTrack() throws IOException {
        Voices.assumePresent();
        double[][] rows = Files.readAllLines(Voices.file("male_sing_vocadito01_f0.csv")).stream()
                .map(r -> Arrays.stream(r.split(",")).mapToDouble(Double::parseDouble).toArray())
                .toArray(double[][]::new);
        PitchTrack track;
        try (WavFile voice = WavFile.open(Voices.file("male_sing_vocadito01.wav"))) {
            double[][] x = new double[1][(int) voice.frames()];
            voice.read(0, x, x[0].length);
            track = track(voice.rate(), x[0], x[0].length);
        }
        int reference = 0, both = 0, near = 0, nearer = 0, voiced = 0;
        for (int f = 0; f < track.frames(); f++) {
            double place = (f + 0.5) * track.hop() / 256;
            int row = (int) place;
            if (row + 1 >= rows.length) break;
            if (track.voiced(f)) voiced++;
            double a = rows[row][1], b = rows[row + 1][1];
            if (a == 0 || b == 0) continue;
            reference++;
            if (!track.voiced(f)) continue;
            both++;
            double off = Math.abs(cents(track.hz()[f], a + (b - a) * (place - row)));
            if (off < 50) near++;
            if (off < 25) nearer++;
        }
        assertTrue(both > 0.95 * reference, "found " + both + " of " + reference);
        assertTrue(both > 0.97 * voiced, "invented " + (voiced - both) + " of " + voiced);
        assertTrue(near >= 0.995 * both && nearer >= 0.985 * both, "near " + near + " and " + nearer + " of " + both);
    }

    private static PitchTrack track(double rate, double[] x, int cut) {
        WholeTrack tracker = new WholeTrack(rate, f -> true);
        for (int from = 0; from < x.length; from += cut) {
            int n = Math.min(cut, x.length - from);
            tracker.add(Arrays.copyOfRange(x, from, from + n), n);
        }
        return tracker.finish();
    }

    private static double[] tone(double rate, double hz, int harmonics, double seconds) {
        double[] x = new double[(int) (rate * seconds)];
        for (int h = 1; h <= harmonics && h * hz < 0.45 * rate && h * hz < 9000; h++) {
            for (int i = 0; i < x.length; i++) x[i] += Math.sin(2 * Math.PI * h * hz * i / rate) / h;
        }
        return x;
    }

    private static double vibrato(double seconds) {
        return 220 * Math.pow(2, 71 / 1200.0 * Math.sin(2 * Math.PI * 6 * seconds));
    }

    private static double cents(double hz, double reference) {
        return 1200 * Math.log(hz / reference) / Math.log(2);
    }
}
