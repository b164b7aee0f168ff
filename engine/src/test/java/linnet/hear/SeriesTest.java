package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.Random;
import linnet.dsp.Tape;
import org.junit.jupiter.api.Test;

/** What is read piece by piece is what it would be of arrays of the whole, to the bit. */
class SeriesTest {
    private static final int LENGTH = 3 * Strip.PIECE + 1234;

    private static double[] powers(int seed) {
        Random random = new Random(seed);
        double[] x = new double[LENGTH];
        for (int i = 0; i < LENGTH; i++) x[i] = random.nextInt(5) == 0 ? 0 : (float) Math.exp(8 * random.nextGaussian());
        return x;
    }

    private static Strip strip(double[] x) {
        Tape tape = Tape.IN_MEMORY.tape(1000, 1);
        for (int at = 0; at < x.length; at += 777) {
            int n = Math.min(777, x.length - at);
            double[] part = new double[n];
            System.arraycopy(x, at, part, 0, n);
            tape.append(new double[][] {part}, n);
        }
        tape.finish();
        return Strip.of(tape);
    }

    @Test
    void aStripIsReadInAnyOrder() {
        double[] x = powers(1);
        Strip strip = strip(x);
        assertEquals(LENGTH, strip.length());
        for (int i = 0; i < LENGTH; i++) assertEquals(x[i], strip.at(i));
        Random random = new Random(2);
        for (int k = 0; k < 300; k++) {
            int i = random.nextInt(LENGTH);
            assertEquals(x[i], strip.at(i));
        }
    }

    @Test
    void meansAreDifferencesOfSumsFromTheBeginning() {
        double[] x = powers(3), sums = new double[LENGTH + 1];
        for (int i = 0; i < LENGTH; i++) sums[i + 1] = sums[i] + x[i];
        for (int[] span : new int[][] {{4, 4}, {5, 9}, {0, 0}, {10, 0}}) {
            Strip forwards = strip(x).mean(span[0], span[1]), back = strip(x).mean(span[0], span[1]);
            for (int i = 0; i < LENGTH; i++) {
                int from = Math.max(0, i - span[0]), to = Math.min(LENGTH, i + span[1] + 1);
                assertEquals(Math.max(0, sums[to] - sums[from]) / (to - from), forwards.at(i));
            }
            for (int i = LENGTH - 1; i >= 0; i -= 501) assertEquals(forwards.at(i), back.at(i));
        }
    }

    @Test
    void aQuantileIsFoundByCounting() {
        double[] x = powers(4), alike = new double[1000];
        Arrays.fill(alike, 0.1);
        for (double share : new double[] {0, 0.05, 0.1, 0.5, 0.999, 1}) {
            for (double least : new double[] {0, 1e-12, 1}) assertEquals(Quantiles.of(x, share, least), Quantiles.of(i -> x[i], LENGTH, share, least));
            assertEquals(0.1, Quantiles.of(i -> alike[i], alike.length, share, 0));
        }
        assertEquals(0, Quantiles.of(i -> x[i], LENGTH, 0.5, Double.MAX_VALUE));
        assertEquals(0, Quantiles.of(i -> x[i], 0, 0.5, 0));
    }

    @Test
    void aSeriesHoldsWhatIsNotZero() {
        Series series = new Series();
        float[] x = new float[5000];
        Random random = new Random(5);
        for (int i = 0; i < x.length; i++) {
            x[i] = i < 1500 || i > 3000 && i < 4200 ? 0 : i % 7 == 0 ? -0f : random.nextFloat();
            series.add(x[i]);
        }
        assertEquals(5000, series.size());
        for (int i = 0; i < x.length; i++) assertEquals(Float.floatToRawIntBits(x[i]), Float.floatToRawIntBits(series.at(i)));
        assertArrayEquals(x, series.toArray());
        assertArrayEquals(x, new Series(x).toArray());
    }
}
