package linnet.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import linnet.dsp.Samples;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Against what a sine of known level is: RMS 3.01 dB below its height in the band that holds it, its height in the picture. */
class SpectrumTest {
    @ParameterizedTest
    @ValueSource(ints = {8000, 44_100, 48_000, 96_000})
    void aSineReadsItsLevel(int rate) {
        double[] x = new double[4 * rate];
        for (int i = 0; i < x.length; i++) x[i] = 0.5 * Math.sin(2 * Math.PI * 1000 * i / rate);
        Spectrum spectrum = new Spectrum(new Samples(rate, x), 0.5);
        double[] hz = Spectrum.bandsHz(rate), bands = spectrum.bands();
        for (int k = 0; k < hz.length; k++) {
            if (Math.abs(hz[k] - 1000) < 1) assertEquals(-12.04 - 3.01, bands[k], 0.05);
            else assertTrue(bands[k] < -50, hz[k] + " Hz: " + bands[k]);
        }
        byte[] picture = spectrum.picture();
        double highest = Spectrum.highestHz(rate);
        int row = (int) (Spectrum.ROWS * (1 - Math.log(1000 / Spectrum.LOWEST_HZ) / Math.log(highest / Spectrum.LOWEST_HZ)));
        int loudest = 0;
        for (int r = 0; r < Spectrum.ROWS; r++) if (level(picture, r) > level(picture, loudest)) loudest = r;
        // A bin is wider than a row, so the rows it covers share its level.
        assertEquals(row, loudest, 5);
        // A Hann window may read a sine between two bins 1.42 dB low.
        assertEquals(-12.04 - 0.7, level(picture, row), 1);
    }

    private static double level(byte[] picture, int row) {
        return Spectrum.FLOOR_DB + Spectrum.STEP_DB * (picture[row * Spectrum.COLUMNS + Spectrum.COLUMNS / 2] & 0xFF);
    }
}
