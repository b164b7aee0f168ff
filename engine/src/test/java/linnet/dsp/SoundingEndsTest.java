package linnet.dsp;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;

class SoundingEndsTest {
    /** Of any sound in any blocks, beside a search from both ends of the whole. */
    @Test
    void theFirstAndTheLastThatSoundAreFound() {
        Random random = new Random(3);
        for (int round = 0; round < 500; round++) {
            int length = 1 + random.nextInt(60);
            double[][] x = new double[1 + random.nextInt(2)][length];
            for (double[] channel : x) for (int i = 0; i < length; i++) channel[i] = random.nextInt(12) == 0 ? 2e-6 * (random.nextBoolean() ? 1 : -1) : 1e-6;
            int from = length, to = 0;
            for (double[] channel : x) {
                for (int i = 0; i < length; i++) {
                    if (Math.abs(channel[i]) < 1.5e-6) continue;
                    from = Math.min(from, i);
                    to = Math.max(to, i + 1);
                }
            }
            SoundingEnds ends = new SoundingEnds();
            for (int at = 0, n; at < length; at += n) {
                n = Math.min(length - at, 1 + random.nextInt(20));
                int begin = at, end = at + n;
                double[][] block = Arrays.stream(x).map(channel -> Arrays.copyOfRange(channel, begin, end)).toArray(double[][]::new);
                if (block.length == 1) ends.add(block[0], n);
                else ends.add(block, n);
            }
            assertEquals(to, ends.to());
            assertEquals(to > 0, ends.isSounding());
            if (to > 0) assertEquals(from, ends.from());
        }
    }

    @Test
    void whatIsAsQuietAsAnExportsSilenceDoesNotSound() {
        SoundingEnds ends = new SoundingEnds();
        ends.add(new double[] {0, 1e-6, -1e-6}, 3);
        assertFalse(ends.isSounding());
        ends.add(new double[] {0, -1.1e-6, 0}, 3);
        assertTrue(ends.isSounding());
        assertEquals(4, ends.from());
        assertEquals(5, ends.to());
    }
}
