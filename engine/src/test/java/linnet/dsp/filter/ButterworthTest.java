package linnet.dsp.filter;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.io.IOException;
import java.util.List;
import org.junit.jupiter.api.Test;

class ButterworthTest {
    @Test
    void equalsTheGeneralLibrary() throws IOException {
        for (String[] row : Vectors.rows("butterworth")) {
            double[] v = Vectors.doubles(row, 1);
            Cascade filter = new Cascade(row[0].equals("low-pass") ? Butterworth.lowPass(v[0], v[2], (int) v[1])
                    : Butterworth.highPass(v[0], v[2], (int) v[1]));
            Response r = filter.response(v[3]);
            double size = Math.max(1e-6, Math.hypot(v[4], v[5]));
            assertEquals(v[4], r.re(), 1e-9 * size, String.join(",", row));
            assertEquals(v[5], r.im(), 1e-9 * size, String.join(",", row));
        }
    }

    /** Source: poles on a circle, 1/(2 sin(π(2k+1)/(2n))), low q first. */
    @Test
    void lowQualitiesComeFirst() {
        assertArrayEquals(new double[] {0.541196100146, 1.306562964876}, Butterworth.qualities(4), 1e-12);
        assertArrayEquals(new double[] {0.509795579104, 0.601344886935, 0.899976223136, 2.562915447742}, Butterworth.qualities(8), 1e-12);
        assertArrayEquals(new double[] {1}, Butterworth.qualities(3), 1e-12);
    }

    /** What an effect hears: second order on either side, and nothing where its end is open. */
    @Test
    void aBandHasItsTwoCornersAndOpenEnds() {
        Cascade band = new Cascade(Butterworth.band(48000, 200, 5000));
        assertEquals(-3.0103, band.responseDb(200), 0.01);
        assertEquals(-3.0103, band.responseDb(5000), 0.01);
        assertEquals(0, band.responseDb(1000), 0.02);
        assertEquals(new Cascade(Biquad.highPass(48000, 200, Math.sqrt(0.5))).responseDb(20),
                new Cascade(Butterworth.band(48000, 200, 24000)).responseDb(20), 1e-9);
        assertEquals(0, new Cascade(Butterworth.band(48000, 0, 24000)).responseDb(20), 0.0);
        assertEquals(1, Butterworth.band(48000, 0, 5000).size());
        assertEquals(0, Butterworth.band(48000, 0, 0.49 * 48000).size(), "no low-pass at the highest there is");
        assertEquals(List.of(Biquad.highPass(48000, 0.49 * 48000, Math.sqrt(0.5))), Butterworth.band(48000, 30000, 30000));
    }

    @Test
    void refusesAnOrderBelowOne() {
        assertThrows(IllegalArgumentException.class, () -> Butterworth.lowPass(48000, 100, 0));
    }
}
