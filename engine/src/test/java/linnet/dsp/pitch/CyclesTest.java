package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import linnet.dsp.Samples;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** By what a periodic sound and a random one are: the correlation of a cycle with the next is 1, and that of noise small. */
class CyclesTest {
    private static final int AT = 24_000;

    private static Cycles of(double[] x, double rate, double hz) {
        return new Cycles(new Samples(rate, x), AT - 2400, AT + 2400, hz);
    }

    /** Whatever is below it, as long as the pitch is near. */
    @ParameterizedTest
    @CsvSource({"100, 100, 44100", "85, 100, 48000", "240, 200, 96000", "320, 300, 48000", "900, 900, 8000"})
    void cyclesOfAVoiceAreAlike(double hz, double near, double rate) {
        double[] x = new double[48_000];
        for (int i = 0; i < x.length; i++) {
            for (int k = 1; k < 8; k++) x[i] += Math.sin(2 * Math.PI * k * hz * i / rate + k) / k;
            x[i] += 3 * Math.sin(2 * Math.PI * 17 * i / rate);
        }
        assertEquals(1, of(x, rate, near).alike(AT), 0.03);
    }

    @Test
    void thoseOfNoiseAreNot() {
        Random random = new Random(4);
        double[] x = new double[48_000];
        for (int i = 0; i < x.length; i++) x[i] = random.nextGaussian();
        Cycles cycles = of(x, 48_000, 100);
        double sum = 0;
        for (int i = -20; i < 20; i++) sum += cycles.alike(AT + 100 * i) / 40;
        // The best of all lags: for noise in a band as wide about a half.
        assertTrue(sum < 0.7, "alike by " + sum);
    }

    @Test
    void inSilenceNothingIs() {
        assertEquals(0, of(new double[48_000], 48_000, 100).alike(AT));
    }
}
