package linnet.demo;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Locale;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/** What is played under the song has nothing below what is heard, as a bounce of strings, bass and brushes has nothing there. */
class BedTest {
    private static final double RATE = Demo.RATE;

    private static double[][] bed;

    @BeforeAll
    static void played() {
        bed = Bed.play(SevenLanterns.whole(), RATE);
    }

    /** {@code check} tells of more than -60 dBFS. */
    @Test
    void hasNoOffset() {
        for (double[] side : bed) {
            double sum = 0;
            for (double v : side) sum += v;
            assertTrue(dbfs(sum / side.length) < -75, String.format(Locale.ROOT, "an offset of %.1f dBFS", dbfs(sum / side.length)));
        }
    }

    /** The mean of a second under the window of Hann, which lets through what is below 2 Hz: 40 dB under the peak of -7 dBFS nobody meets it. */
    @Test
    void doesNotSwingSlowly() {
        int second = (int) RATE;
        double most = 0;
        for (double[] side : bed) {
            for (int from = 0; from + second <= side.length; from += second / 4) {
                double mean = 0;
                for (int i = 0; i < second; i++) mean += side[from + i] * (1 - Math.cos(2 * Math.PI * (i + 0.5) / second)) / second;
                most = Math.max(most, Math.abs(mean));
            }
        }
        assertTrue(dbfs(most) < -47, String.format(Locale.ROOT, "it swings by %.1f dBFS", dbfs(most)));
    }

    private static double dbfs(double mean) {
        return 20 * Math.log10(Math.abs(mean));
    }
}
