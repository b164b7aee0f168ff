package linnet.dsp.align;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Optional;
import java.util.Random;
import linnet.dsp.Excerpt;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Sounds that were moved by a known number of samples. */
class OffsetTest {
    private static final int RATE = 48_000;

    /** Vowels of changing pitch, rich in harmonics, with noise: a slow, periodic signal that has many near peaks. */
    private static double[] voice(int seed) {
        Random random = new Random(seed);
        double[] x = new double[6 * RATE];
        double phase = 0, pitch = 200, colour = 0;
        for (int i = 0; i < x.length; i++) {
            if (i % 20_000 == 0) pitch = 150 + 200 * random.nextDouble();
            phase += pitch / RATE;
            colour += 0.2 * ((phase % 1 < 0.02 ? 1 : 0) - colour);
            x[i] = colour + 0.003 * random.nextGaussian();
        }
        return x;
    }

    @ParameterizedTest
    @CsvSource({"0, 1", "1, 1", "777, 1", "-777, 1", "47000, 1", "-47999, 1", "321, -0.2"})
    void aMovedCopyIsFound(long by, double gain) {
        double[] x = voice(1), louder = x.clone();
        for (int i = 0; i < x.length; i++) louder[i] *= gain;
        Sound later = new Excerpt(new Samples(RATE, louder), -by, x.length + by);
        assertEquals(Optional.of(new Offset(by, gain < 0)), Offset.between(new Samples(RATE, x), later));
    }

    /** A held vowel looks alike at every period: only what is not periodic in it, its breath, tells them apart. */
    @Test
    void aHeldVowelIsFound() {
        double[] x = new double[4 * RATE];
        Random random = new Random(7);
        for (int i = 0; i < x.length; i++) {
            for (int h = 1; h <= 10; h++) x[i] += 0.3 / h * Math.sin(2 * Math.PI * 220 * h * i / RATE);
            x[i] += 0.003 * random.nextGaussian();
        }
        assertEquals(Optional.of(new Offset(5000, false)), Offset.between(new Samples(RATE, x), new Excerpt(new Samples(RATE, x), -5000, x.length + 5000)));
    }

    /** Both end in the middle of a tone, one of them earlier in it: that click is no sound of the singer. */
    @Test
    void whereTheFilesAreCutDoesNotCount() {
        double[] x = new double[4 * RATE];
        for (int i = 0; i < x.length; i++) {
            double t = (double) i / RATE;
            x[i] = (float) (0.5 * (0.5 + 0.4 * Math.sin(7 * t * t)) * Math.sin(2 * Math.PI * (300 * t + 400 * t * t)));
        }
        Samples one = new Samples(RATE, x);
        assertEquals(Optional.of(new Offset(9000, false)), Offset.between(one, new Excerpt(one, -9000, x.length)));
    }

    /** A high-pass, a clipper and another noise, as an effects chain leaves them. */
    @Test
    void aProcessedCopyIsFoundWithinAMillisecond() {
        double[] x = voice(2), y = new double[x.length];
        Random random = new Random(3);
        double low = 0;
        for (int i = 0; i < x.length; i++) {
            low += 0.03 * (x[i] - low);
            y[i] = Math.tanh(6 * (x[i] - low)) + 0.003 * random.nextGaussian();
        }
        Offset offset = Offset.between(new Samples(RATE, x), new Excerpt(new Samples(RATE, y), -1000, x.length + 1000)).orElseThrow();
        assertEquals(1000, offset.frames(), RATE / 1000.0);
    }

    @Test
    void strangersAndSilenceShowNone() {
        for (int seed = 10; seed < 15; seed++) {
            assertTrue(Offset.between(new Samples(RATE, voice(seed)), new Samples(RATE, voice(seed + 100))).isEmpty());
        }
        assertTrue(Offset.between(new Samples(RATE, voice(1)), new Samples(RATE, new double[RATE])).isEmpty());
    }
}
