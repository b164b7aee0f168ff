package linnet.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import linnet.dsp.Decibels;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import org.junit.jupiter.api.Test;

/** Loudness of a sine of 997 Hz is its RMS in dBFS plus 3.01 in one channel (ITU-R BS.1770-5), so every gain is known. */
class LevelledTest {
    private static double[] sine(double db) {
        double[] x = new double[5 * 48_000];
        for (int i = 0; i < x.length; i++) x[i] = Decibels.gain(db) * Math.sin(2 * Math.PI * 997 * i / 48_000.0);
        return x;
    }

    private static Sound mono(double db) {
        return new Samples(48_000, sine(db));
    }

    @Test
    void allAreTurnedDownToTheQuietest() {
        Levelled levelled = new Levelled(List.of(mono(-6), mono(-20), mono(-11.5)));
        assertEquals(-14, levelled.gainDb(0), 0.01);
        assertEquals(0, levelled.gainDb(1));
        assertEquals(-8.5, levelled.gainDb(2), 0.01);
    }

    /** Two speakers play a mono sound; the same sound as a stereo file is not louder. */
    @Test
    void monoCountsAsItIsHeardBesideStereo() {
        Levelled levelled = new Levelled(List.of(mono(-12), new Samples(48_000, sine(-12), sine(-12))));
        assertEquals(0, levelled.gainDb(0), 1e-9);
        assertEquals(0, levelled.gainDb(1), 1e-9);
    }

    @Test
    void nothingPassesFullScaleEvenWhereAllOfThemDo() {
        Levelled levelled = new Levelled(List.of(mono(6), mono(9)));
        assertEquals(-6, levelled.gainDb(0), 0.3);
        assertEquals(-3, levelled.gainDb(1) - levelled.gainDb(0), 0.01);
        assertTrue(levelled.highestDbtp() <= 0);
    }

    @Test
    void silenceIsNotMatchedAndMovesNoOther() {
        Levelled levelled = new Levelled(List.of(new Samples(48_000, new double[5 * 48_000]), mono(-10), mono(-16)));
        assertFalse(levelled.meters(0).integrated().known());
        assertEquals(0, levelled.gainDb(0));
        assertEquals(-6, levelled.gainDb(1), 0.01);
        assertEquals(0, levelled.gainDb(2));
    }
}
