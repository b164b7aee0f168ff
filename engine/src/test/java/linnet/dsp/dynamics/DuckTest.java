package linnet.dsp.dynamics;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import linnet.dsp.Cell;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** A duck of 12 dB, heard in an effect that is a steady 1. Times are common practice. */
class DuckTest {
    private static final int RATE = 48_000, BRIDGE = Duck.latency(RATE);
    private static final double DEPTH = 1 - Math.pow(10, -12 / 20.0);

    /** The gain at each sample of the key, what it is late by taken out. */
    private static double[] gains(double[] l, double[] r, int cut) {
        Duck duck = new Duck(RATE, 0);
        duck.set(12, -20);
        double[] y = new double[l.length + BRIDGE];
        for (int at = 0, n; at < y.length; at += n) {
            n = Math.min(Math.min(cut, y.length - at), Cell.LENGTH - at % Cell.LENGTH);
            double[] one = new double[n];
            Arrays.fill(one, 1);
            duck.hear(Arrays.copyOf(Arrays.copyOfRange(l, Math.min(at, l.length), Math.min(at + n, l.length)), n),
                    Arrays.copyOf(Arrays.copyOfRange(r, Math.min(at, l.length), Math.min(at + n, l.length)), n), n);
            duck.lower(one, n);
            System.arraycopy(one, 0, y, at, n);
            if ((at + n) % Cell.LENGTH == 0) duck.settle();
        }
        return Arrays.copyOfRange(y, BRIDGE, y.length);
    }

    /** A voice that is there but for a gap. */
    private static double[] parted(double gapSeconds) {
        double[] x = new double[3 * RATE];
        Arrays.fill(x, 0.3);
        Arrays.fill(x, RATE, RATE + (int) (gapSeconds * RATE), 0);
        return x;
    }

    private static double[] gains(double[] x) {
        return gains(x, x, Cell.LENGTH);
    }

    /** Between its threshold and 6 dB under it a voice ducks in proportion; 63.2 % of the way down in 10 ms, up in 250 ms. */
    @ParameterizedTest
    @ValueSource(doubles = {0, 0.5, 1})
    void itGoesByTheVoiceThatIsHeld(double share) {
        double[] l = new double[120 * Cell.LENGTH], r = l.clone();
        for (int i = 0; i < 20 * Cell.LENGTH; i++) (i / Cell.LENGTH % 2 == 0 ? l : r)[i] = 0.1 * (0.5 + 0.5 * share) * (share == 1 ? 3 : 1);
        double[] gain = gains(l, r, Cell.LENGTH);
        for (int cell = 1; cell <= 20; cell++) {
            assertEquals(1 - share * DEPTH * (1 - Math.exp(-cell)), gain[cell * Cell.LENGTH - 1], 1e-9, "a cell is 10 ms");
        }
        double before = 1 - gain[20 * Cell.LENGTH - 1];
        // Held peaks fall by a factor of e in 30 ms: from three times the threshold it takes 54 ms to be absent.
        for (int cell = 27; cell <= 120 && share == 1; cell++) {
            assertTrue(1 - gain[cell * Cell.LENGTH - 1] < before * Math.exp(-(cell - 26) / 25.0) + 1e-9, "cell " + cell);
        }
        if (share == 1) assertTrue(1 - gain[gain.length - 1] > before * Math.exp(-100 / 25.0), "not faster than its release");
    }

    /** Closures of stops last 50 to 150 ms (from memory); the fade of the peaks takes off some of a gap. */
    @ParameterizedTest
    @ValueSource(doubles = {0.05, 0.1, 0.2, 0.3, 0.33})
    void nothingRisesInsideALine(double gap) {
        double[] gain = gains(parted(gap));
        for (int i = RATE / 2; i < gain.length; i++) assertEquals(-12, 20 * Math.log10(gain[i]), 1e-6, "at " + i);
    }

    /** As if nobody sang any more, from its very beginning. */
    @ParameterizedTest
    @ValueSource(doubles = {0.4, 1})
    void aRealGapIsFilledAsSoonAsItBegins(double gap) {
        double[] gain = gains(parted(gap)), free = gains(parted(2));
        int end = (int) ((1 + gap) * RATE);
        assertArrayEquals(Arrays.copyOf(free, end), Arrays.copyOf(gain, end), 0);
        // From 0.3, three times the threshold, the peaks take 33 ms to leave the threshold, and 54 ms to be absent; then it is one release to the end.
        double share = (1 - gain[RATE + (int) (0.3 * RATE)]) / DEPTH;
        assertTrue(share > Math.exp(-(0.3 - 0.033) / 0.25) && share < Math.exp(-(0.3 - 0.054) / 0.25), "left after 0.3 s: " + share);
    }

    @Test
    void itDoesNotClick() {
        double[] gain = gains(parted(0.5));
        for (int i = 1; i < gain.length; i++) assertTrue(Math.abs(gain[i] - gain[i - 1]) <= DEPTH / (0.010 * RATE) * 1.01, "at " + i);
    }

    @Test
    void anyCutGivesTheSameBits() {
        double[] x = parted(0.4);
        for (int i = 0; i < x.length; i++) x[i] *= Math.sin(i * i * 1e-6);
        double[] whole = gains(x);
        for (int cut : new int[] {1, 7, 64}) assertArrayEquals(whole, gains(x, x, cut), 0);
    }

    /** Resting is hearing silence, to the bit, however long the silence and in whatever state it begins. */
    @ParameterizedTest
    @CsvSource({"0, 10", "0, 45", "700, 300", "700, 2000"})
    void restingIsHearingSilence(int behind, int silent) {
        Duck[] pair = {new Duck(RATE, behind), new Duck(RATE, behind)};
        double[] silence = new double[Cell.LENGTH];
        for (Duck d : pair) d.set(12, -20);
        for (int cell = 0; cell < silent + 200; cell++) {
            double[] x = new double[Cell.LENGTH], y = new double[Cell.LENGTH];
            if (cell < 5 || cell > 5 + silent) for (int i = 0; i < x.length; i++) x[i] = y[i] = Math.sin(cell + i);
            boolean sings = cell < 5 || cell > 5 + silent;
            pair[0].hear(x, x, x.length);
            pair[0].lower(x, x.length);
            pair[0].settle();
            if (sings || !pair[1].rests()) {
                pair[1].hear(y, y, y.length);
                pair[1].lower(y, y.length);
                pair[1].settle();
            } else {
                pair[1].rest(silence);
            }
            assertArrayEquals(x, y, 0, "cell " + cell);
            assertEquals(pair[0].reductionDb(), pair[1].reductionDb(), 0, "cell " + cell);
        }
    }

    @Test
    void aDepthOfNothingLeavesItsLevel() {
        Duck off = new Duck(RATE, 0);
        off.set(0, -20);
        double[] x = parted(0.3), y = x.clone();
        for (int at = 0; at < x.length; at += Cell.LENGTH) {
            double[] cell = Arrays.copyOfRange(x, at, at + Cell.LENGTH);
            off.hear(cell, cell, Cell.LENGTH);
            off.lower(cell, Cell.LENGTH);
            System.arraycopy(cell, 0, y, at, Cell.LENGTH);
        }
        assertArrayEquals(Arrays.copyOf(x, x.length - BRIDGE), Arrays.copyOfRange(y, BRIDGE, y.length), 0);
        assertEquals(0, off.reductionDb(), 0);
    }
}
