package linnet.dsp;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import org.junit.jupiter.api.Test;

class ExcerptTest {
    /** Against asking the sound for each sample, where there is one. */
    @Test
    void beyondEitherEndOfTheSoundThereIsSilence() {
        double[] left = {1, 2, 3, 4, 5}, right = {-1, -2, -3, -4, -5};
        Samples sound = new Samples(48_000, left, right);
        for (long from = -12; from < 12; from++) {
            Excerpt excerpt = new Excerpt(sound, from, 20);
            assertEquals(48_000, excerpt.rate());
            assertEquals(2, excerpt.channels());
            assertEquals(20, excerpt.frames());
            for (int at = 0; at < 8; at++) {
                for (int n = 0; n <= 12; n++) {
                    double[][] into = new double[2][12];
                    for (double[] channel : into) Arrays.fill(channel, 9);
                    excerpt.read(at, into, n);
                    for (int i = 0; i < 12; i++) {
                        long place = from + at + i;
                        double expected = i >= n ? 9 : place < 0 || place >= 5 ? 0 : left[(int) place];
                        assertEquals(expected, into[0][i], "sample " + i + " of " + n + " from " + (from + at));
                        assertEquals(i >= n ? 9 : 0 - expected, into[1][i]);
                    }
                }
            }
        }
    }
}
