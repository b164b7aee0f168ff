package linnet.dsp;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Random;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class LagTest {
    @ParameterizedTest
    @ValueSource(ints = {0, 1, 7, 63, 64, 65, 479, 480, 481, 1000})
    void theSignalComesLaterByTheDelayHoweverItIsCut(int delay) {
        double[] x = new Random(1).doubles(4000, -1, 1).toArray(), expected = new double[x.length];
        System.arraycopy(x, 0, expected, delay, x.length - delay);
        for (int cut : new int[] {1, 7, 64, Cell.LENGTH}) {
            Lag lag = new Lag(delay);
            assertEquals(delay, lag.delay());
            assertArrayEquals(expected, Cuts.run(x, cut, lag::process, () -> {}), "blocks of " + cut);
        }
        Lag lag = new Lag(delay);
        Random cuts = new Random(2);
        double[] y = new double[x.length], block = new double[Cell.LENGTH];
        for (int at = 0, n; at < x.length; at += n) {
            n = Math.min(1 + cuts.nextInt(Cell.LENGTH), x.length - at);
            System.arraycopy(x, at, block, 0, n);
            lag.process(block, n);
            System.arraycopy(block, 0, y, at, n);
        }
        assertArrayEquals(expected, y, "blocks of any length");
    }
}
