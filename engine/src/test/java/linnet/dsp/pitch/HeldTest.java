package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.function.DoubleUnaryOperator;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Pitch tracks by formula, so that mean, vibrato, scoop, fall and drift are known. */
class HeldTest {
    private static final double RATE = 48_000;
    private static final int HOP = 480;

    /** Semitones over time in seconds, each 10 ms. */
    private static PitchTrack track(double seconds, DoubleUnaryOperator semitones) {
        float[] hz = new float[(int) Math.round(seconds * RATE / HOP)];
        for (int f = 0; f < hz.length; f++) {
            double p = semitones.applyAsDouble((f + 0.5) * HOP / RATE);
            hz[f] = Double.isNaN(p) ? 0 : (float) Semitones.hz(p);
        }
        return new PitchTrack(HOP, hz);
    }

    private static Held held(PitchTrack track) {
        return new Held(track, RATE, 0, track.frames());
    }

    @Test
    void semitonesAreThoseOfTheKeyboard() {
        assertEquals(69, Semitones.of(440), 1e-7);
        assertEquals(60, Semitones.of(261.625565300599), 1e-7);
        assertEquals(36, Semitones.of(65.406391325150), 1e-7);
        assertEquals(523.251130601197, Semitones.hz(72), 1e-9);
    }

    /** Every rate and extent that singers have, with whole cycles and without. */
    @ParameterizedTest
    @CsvSource({"5, 30, 0.9", "5.6, 42, 0.5", "5.6, 42, 1.33", "6, 71, 0.7", "6.4, 100, 2.1", "7.5, 60, 0.61", "5.5, 123, 3.4"})
    void measuresAVibratoAndThePitchUnderIt(double hz, double cents, double seconds) {
        Held held = held(track(seconds, t -> 62.1 + cents / 100 * Math.sin(2 * Math.PI * hz * t + 1)));
        assertEquals(62.1, held.mean(), 0.03 + 0.0004 * cents);
        assertEquals(hz, held.vibratoHz(), 0.02 * hz);
        assertEquals(cents, held.vibratoCents(), 0.08 * cents);
    }

    /** It waits for 0.3 s and grows over half a second, as singers' do. */
    @ParameterizedTest
    @CsvSource({"5.6, 48, 1.1", "6.2, 60, 1.2", "5.2, 80, 2"})
    void findsAVibratoThatComesLate(double hz, double cents, double seconds) {
        Held held = held(track(seconds, t -> 57 + cents / 100 * Math.max(0, Math.min(1, (t - 0.3) / 0.5)) * Math.sin(2 * Math.PI * hz * t)));
        assertEquals(hz, held.vibratoHz(), 0.04 * hz);
        assertEquals(57, held.mean(), 0.05);
    }

    /** It wavers by 3 cents, fastest at its ends, as much above as below. */
    @ParameterizedTest
    @CsvSource({"0.06", "0.12", "0.3", "1", "4"})
    void aStraightNoteHasNone(double seconds) {
        Held held = held(track(seconds, t -> 64.2 + 0.03 * Math.sin(40 * (t - seconds / 2) * Math.abs(t - seconds / 2))));
        assertEquals(0, held.vibratoHz());
        assertEquals(0, held.vibratoCents());
        assertEquals(64.2, held.mean(), 0.02);
    }

    @Test
    void scoopAndFallAreNoPartOfThePitch() {
        Held held = held(track(0.8, t -> 60 - 1.2 * Math.exp(-t / 0.05) - (t > 0.7 ? 10 * (t - 0.7) : 0)));
        assertEquals(60, held.mean(), 0.04);
        assertEquals(-109, held.scoopCents(), 5);
        assertEquals(-95, held.fallCents(), 8);
        assertTrue(held.first() >= 5 && held.first() <= 12, held.first() + "");
        assertTrue(held.last() >= 70 && held.last() <= 75, held.last() + "");
    }

    /** Sinks by half a semitone over two seconds, under a vibrato. Taking the drift away leaves the mean. */
    @Test
    void hearsADriftUnderTheVibrato() {
        Held held = held(track(2, t -> 62 - 0.25 * (t - 1) + 0.6 * Math.sin(2 * Math.PI * 5.8 * t)));
        double sum = 0;
        for (int f = 30; f < 170; f++) {
            assertEquals(-25 * ((f + 0.5) / 100 - 1), held.driftCents(f), 4, "frame " + f);
            assertEquals(60 * Math.sin(2 * Math.PI * 5.8 * (f + 0.5) / 100), held.swingCents(f), 5, "frame " + f);
        }
        for (int f = held.first(); f < held.last(); f++) sum += held.driftCents(f);
        assertEquals(0, sum / (held.last() - held.first()), 1.5);
    }

    @Test
    void aShortNoteDoesNotDrift() {
        Held held = held(track(0.4, t -> 62 + t));
        for (int f = 0; f < 40; f++) assertEquals(0, held.driftCents(f));
    }

    @Test
    void gapsInThePitchAreBridged() {
        Held whole = held(track(1, t -> 62 + 0.5 * Math.sin(2 * Math.PI * 6 * t)));
        Held holed = held(track(1, t -> t > 0.41 && t < 0.44 ? Double.NaN : 62 + 0.5 * Math.sin(2 * Math.PI * 6 * t)));
        assertEquals(whole.mean(), holed.mean(), 0.02);
        assertEquals(whole.vibratoHz(), holed.vibratoHz(), 0.06);
        assertEquals(0.97, holed.voiced(), 0.011);
        assertEquals(0, holed.swingCents(42));
    }

    @Test
    void nothingSoundsWhereThereIsNoPitch() {
        Held held = held(track(0.3, t -> Double.NaN));
        assertFalse(held.sounds());
        assertTrue(Double.isNaN(held.mean()));
        assertEquals(0, held.driftCents(10));
        assertEquals(0, held.scoopCents());
        assertFalse(new Held(track(0.3, t -> 60), RATE, 90, 95).sounds());
    }

    /** What creaks or leaps is told from what is held. */
    @Test
    void unrestIsLowForVibratoAndHighForLeaps() {
        assertTrue(held(track(1, t -> 62 + 0.7 * Math.sin(2 * Math.PI * 6 * t))).unrestCents() < 15);
        assertTrue(held(track(1, t -> t > 0.2 && t < 0.25 || t > 0.61 && t < 0.68 ? 74 : 62)).unrestCents() > 30);
    }
}
