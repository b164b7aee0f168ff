package linnet.dsp;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** Levels by their definition, and what counts as silence. */
class DecibelsTest {
    @Test
    void twentyForAmplitudesAndTenForPowers() {
        assertEquals(10, Decibels.gain(20), 1e-12);
        assertEquals(0.5, Decibels.gain(-6.020599913279624), 1e-12);
        assertEquals(100, Decibels.power(20), 1e-12);
        assertEquals(0.5, Decibels.power(-3.010299956639812), 1e-12);
        assertEquals(-6.020599913279624, Decibels.ofGain(0.5), 1e-12);
        assertEquals(-3.010299956639812, Decibels.ofPower(0.5), 1e-12);
        assertEquals(Double.NEGATIVE_INFINITY, Decibels.ofGain(0));
        assertEquals(Double.NEGATIVE_INFINITY, Decibels.ofPower(0));
    }

    @Test
    void aStateIsZeroedWhereItIsSmallerThanSilence() {
        for (double sign : new double[] {1, -1}) {
            assertEquals(0, Cell.settled(sign * Math.nextDown(Cell.SILENCE)));
            assertEquals(sign * Cell.SILENCE, Cell.settled(sign * Cell.SILENCE));
            assertEquals(sign * 0.5, Cell.settled(sign * 0.5));
        }
        assertTrue(Cell.SILENCE > 1e100 * Double.MIN_NORMAL);
    }

    /** Lines of 64 bytes, of which the header of an array takes 16: as many as are needed and no more. */
    @Test
    void arraysFillWholeLinesOfTheCache() {
        for (int n = 1; n < 50; n++) {
            int length = CacheLines.array(n).length;
            assertTrue(length >= n && length < n + 8 && (length + 2) % 8 == 0, n + " became " + length);
        }
    }
}
