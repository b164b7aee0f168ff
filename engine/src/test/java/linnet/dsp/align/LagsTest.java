package linnet.dsp.align;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import linnet.dsp.Samples;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Noises of changing colour: each is as unlike the next as can be. */
class LagsTest {
    /** Syllables of a seed, with pauses; so much later. */
    private static Cepstra voice(double rate, long seed, double seconds, double later, double gain) {
        Random random = new Random(seed);
        double[] x = new double[(int) (seconds * rate)];
        double a = 0, b = 0, level = 0;
        double colour = 0;
        int n = (int) (seconds * rate), syllable = (int) (0.18 * rate), at = (int) Math.round(later * rate);
        for (int i = 0; i < n; i++) {
            if (i % syllable == 0) {
                colour = 300 * Math.pow(10, random.nextDouble());
                level = random.nextDouble() < 0.25 ? 0 : gain;
                a = b = 0;
            }
            // One resonance.
            double r = Math.exp(-Math.PI * 150 / rate), y = random.nextGaussian() + 2 * r * Math.cos(2 * Math.PI * colour / rate) * a - r * r * b;
            b = a;
            a = y;
            if (i + at >= 0 && i + at < n) x[i + at] = level * y;
        }
        return new Cepstra(new Samples(rate, x), s -> true);
    }

    @ParameterizedTest
    @CsvSource({"48000, 0", "48000, 0.7", "48000, -1.3", "44100, 3", "96000, -4.9", "44100, 0.02"})
    void theLagIsFoundWithinHalfOfTheGrid(double rate, double later) {
        Lags lags = new Lags(voice(rate, 1, 20, later, 0.01), voice(rate, 1, 20, 0, 0.003), (long) (5 * rate));
        assertEquals(later, lags.likeliest().orElseThrow() / rate, 0.0205);
assertTrue(lags.clearness((long) (0.3 * rate)) > 4, "clear " + lags.clearness((long) (0.3 * rate)));
    }

    @Test
    void ofStrangersSomeLagIsTheLikeliestToo() {
        for (int seed = 2; seed < 8; seed++) {
            Lags lags = new Lags(voice(48_000, seed, 20, 0, 0.01), voice(48_000, seed + 100, 20, 0, 0.01), 5 * 48_000);
            assertTrue(lags.likeliest().isPresent());
            assertTrue(lags.clearness(14_400) < 2, "clear " + lags.clearness(14_400));
        }
    }

    /** What is away from the likeliest lag by no more than is said does not count. */
    @Test
    void nextIsWhatIsFarEnoughAway() {
        Cepstra voice = voice(48_000, 1, 20, 0, 0.01);
        Lags lags = new Lags(voice, voice, 5 * 48_000);
        assertEquals(0, lags.likeliest().orElseThrow());
        assertTrue(lags.clearness(0) < lags.clearness(4_800), "a syllable is like itself");
        assertEquals(Double.POSITIVE_INFINITY, lags.clearness(5 * 48_000));
    }

    @Test
    void ofSilenceNothingIsKnown() {
        Cepstra silence = new Cepstra(new Samples(48_000, new double[48_000]), s -> true), voice = voice(48_000, 1, 2, 0, 0.01);
        for (Lags lags : new Lags[] {new Lags(silence, voice, 48_000), new Lags(voice, silence, 48_000), new Lags(silence, silence, 48_000)}) {
            assertTrue(lags.likeliest().isEmpty());
            assertEquals(0, lags.clearness(4_800));
        }
    }
}
