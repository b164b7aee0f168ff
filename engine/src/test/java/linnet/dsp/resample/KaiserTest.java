package linnet.dsp.resample;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** Kaiser's formulae, and tabled values of the Bessel function (Abramowitz and Stegun, table 9.8, from memory). */
class KaiserTest {
    @Test
    void theBesselFunctionIsTheTabledOne() {
        assertEquals(1, Kaiser.bessel(0));
        assertEquals(1.2660658777520084, Kaiser.bessel(1), 1e-14);
        assertEquals(27.239871823604442, Kaiser.bessel(5), 1e-12);
        assertEquals(2815.716628466254, Kaiser.bessel(10), 1e-9);
    }

    @Test
    void theWindowIsOneInTheMiddleAndLeastAtItsEnds() {
        assertEquals(1, Kaiser.at(0, 5));
        for (double end : new double[] {-1, 1}) assertEquals(1 / 27.239871823604442, Kaiser.at(end, 5), 1e-14);
        assertEquals(Kaiser.bessel(4) / Kaiser.bessel(5), Kaiser.at(0.6, 5), 1e-14);
    }

    /** β = 0.1102 (A - 8.7); and (A - 7.95) / (2.285 Δω) taps and one, rounded up. */
    @Test
    void theDesignIsKaisers() {
        assertEquals(5.65326, Kaiser.beta(60), 1e-9);
        assertEquals(60, Kaiser.taps(50, 2 * Math.PI * 0.05));
        assertEquals(229, Kaiser.taps(60, 0.1));
        assertEquals(1, Kaiser.sinc(0));
        assertEquals(2 / Math.PI, Kaiser.sinc(0.5), 1e-15);
        assertTrue(Math.abs(Kaiser.sinc(3)) < 1e-15);
    }
}
