package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class CorrectionTest {
    private static final int HOP = 480;

    /** Sounds throughout but from 35_000 to 40_000. */
    private static PitchTrack track() {
        float[] hz = new float[400];
        Arrays.fill(hz, 220);
        Arrays.fill(hz, 73, 83, 0);
        return new PitchTrack(HOP, hz);
    }

    private static Held straight() {
        return new Held(track(), 48_000, 0, 400);
    }

    private static Correction.Pull pull(long from, long to, double cents) {
        return new Correction.Pull(straight(), from, to, cents, 0, 0);
    }

    private static Correction of(double speed, Correction.Pull... pulls) {
        return new Correction(track(), speed, List.of(pulls));
    }

    @Test
    void whereNothingIsMovedTheRatioIsOneToTheBit() {
        Correction c = of(3840, pull(40_000, 60_000, -30));
        for (long t : new long[] {-5, 0, 9_999, 35_039, 35_040, 39_839, 192_000, 1_000_000}) assertEquals(1.0, c.ratio(t), "at " + t);
        assertNotEquals(1.0, c.ratio(50_000));
        assertEquals(1.0, of(3840).ratio(5));
        assertEquals(1.0, of(3840, pull(40_000, 60_000, 0)).ratio(50_000));
    }

    /** In a stretch of voice with a moved note all is set anew, and what is left alone stays within a thousandth of a cent. */
    @Test
    void aStretchIsMovedAsAWholeOrNotAtAll() {
        Correction c = of(3840, pull(10_000, 20_000, 40), pull(20_000, 30_000, 0));
        for (long t = 0; t < 35_040; t += 7) assertNotEquals(1.0, c.ratio(t), "at " + t);
        for (long t : new long[] {0, 9_000, 25_000, 29_999, 31_000}) assertEquals(1, c.ratio(t), 1e-6, "at " + t);
        for (long t = 35_040; t < 192_000; t += 7) assertEquals(1.0, c.ratio(t), "at " + t);
    }

    @Test
    void aNoteIsMovedByItsCents() {
        Correction c = of(3840, pull(10_000, 30_000, 40));
        assertEquals(40, c.cents(20_000));
        assertEquals(Math.pow(2, 40 / 1200.0), c.ratio(20_000), 1e-8);
        assertEquals(40, c.cents(29_999));
    }

    /** From a rest it begins where it was sung, is half way after half of the time, and there after all of it. */
    @ParameterizedTest
    @ValueSource(doubles = {480, 1920, 3840, 7200})
    void reachesTheTargetInItsTime(double speed) {
        Correction c = of(speed, pull(10_000, 30_000, 40));
        assertEquals(0, c.cents(10_000), 1e-9);
        assertEquals(20, c.cents(10_000 + (long) speed / 2), 0.1);
        assertEquals(40, c.cents(10_000 + (long) speed), 1e-9);
        for (long t = 10_000; t < 10_000 + speed; t++) assertTrue(c.cents(t + 1) >= c.cents(t));
    }

    @Test
    void withoutTimeItIsThereAtOnce() {
        Correction c = of(0, pull(10_000, 30_000, 40), pull(30_000, 50_000, -20));
        assertEquals(40, c.cents(10_000));
        assertEquals(40, c.cents(29_999));
        assertEquals(-20, c.cents(30_000));
    }

    /** On one breath one distance becomes the next around the border, without a corner or a leap. */
    @Test
    void gluesNotesOnOneBreath() {
        Correction c = of(3840, pull(10_000, 30_000, 40), pull(30_000, 50_000, -20), pull(50_000, 52_000, 30));
        assertEquals(10, c.cents(30_000), 0.1);
        assertEquals(40, c.cents(30_000 - 1921), 1e-9);
        assertEquals(-20, c.cents(30_000 + 1921), 1e-9);
        double steepest = 0;
        for (long t = 10_000; t < 51_999; t++) steepest = Math.max(steepest, Math.abs(c.cents(t + 1) - c.cents(t)));
        // The last is short: from -20 to 30 in 2000 samples, one and a half times as steep in the middle.
        assertEquals(1.5 * 50 / 2000, steepest, 0.002);
    }

    @Test
    void aNoteLeftAloneBesideAMovedOneIsReachedSmoothly() {
        Correction c = of(3840, pull(10_000, 30_000, 40), pull(30_000, 50_000, 0));
        assertEquals(20, c.cents(30_000), 0.1);
        assertEquals(0, c.cents(32_000));
    }

    /** Two seconds that drift by 80 cents and swing by half a semitone, six times a second. */
    private static PitchTrack swinging() {
        float[] hz = new float[200];
        for (int f = 0; f < 200; f++) hz[f] = (float) Semitones.hz(57 + 0.4 * ((f + 0.5) / 100 - 1) + 0.5 * Math.sin(2 * Math.PI * 6 * (f + 0.5) / 100));
        return new PitchTrack(HOP, hz);
    }

    /** Half of the drift and all of the swing are taken back; the rest stays. */
    @Test
    void takesDriftAndSwingBack() {
        PitchTrack track = swinging();
        Held held = new Held(track, 48_000, 0, 200);
        Correction c = new Correction(track, 0, List.of(new Correction.Pull(held, 0, 96_000, 0, 0.5, 0)));
        Correction flat = new Correction(track, 0, List.of(new Correction.Pull(held, 0, 96_000, 0, 0, 1)));
        for (int f = 40; f < 160; f++) {
            long middle = f * HOP + HOP / 2;
            assertEquals(-20 * ((f + 0.5) / 100 - 1), c.cents(middle), 2);
            assertEquals(-50 * Math.sin(2 * Math.PI * 6 * (f + 0.5) / 100), flat.cents(middle), 5);
        }
    }

    /** A note shorter than twice the time is where it should be in its middle; from note to note it takes half of the shorter one on either side. */
    @Test
    void shortNotesTakeShorter() {
        Correction c = of(3840, pull(10_000, 12_000, 40), pull(12_000, 50_000, -20), pull(60_000, 60_600, 30));
        assertEquals(20, c.cents(10_500), 1e-9);
        assertEquals(40, c.cents(11_000), 1e-9);
        // Half a cosine, nearly: 3 x^2 - 2 x^3 of the way after x of the time.
        assertEquals(40 - 60 * 0.15625, c.cents(11_500), 1e-9);
        assertEquals(10, c.cents(12_000), 1e-9);
        assertEquals(40 - 60 * 0.84375, c.cents(12_500), 1e-9);
        assertEquals(-20, c.cents(13_000), 1e-9);
        assertEquals(30 * 0.15625, c.cents(60_075), 1e-9);
        assertEquals(30, c.cents(60_300), 1e-9);
    }

    /** Drift and swing between two frames lie on straight lines from the middle of one to that of the next. */
    @Test
    void driftAndSwingAreReadBetweenFrames() {
        PitchTrack track = swinging();
        Held held = new Held(track, 48_000, 0, 200);
        Correction c = new Correction(track, 0, List.of(new Correction.Pull(held, 0, 96_000, 12, 0.5, 0.25)));
        for (int f = 40; f < 160; f++) {
            for (int into : new int[] {0, 100, 300, 479}) {
                double share = into / (double) HOP, drift = (1 - share) * held.driftCents(f) + share * held.driftCents(f + 1);
                double swing = (1 - share) * held.swingCents(f) + share * held.swingCents(f + 1);
                assertEquals(12 - 0.5 * drift - 0.25 * swing, c.cents(f * HOP + HOP / 2 + into), 1e-9);
            }
        }
    }
}
