package linnet.dsp.align;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.SplittableRandom;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import org.junit.jupiter.api.Test;

class PiecesTest {
    private static final double RATE = 48_000;

    private static Samples noise(int seed, int n) {
        SplittableRandom random = new SplittableRandom(seed);
        double[] x = new double[n];
        for (int i = 0; i < n; i++) x[i] = random.nextDouble(-1, 1);
        return new Samples(RATE, x);
    }

    private static double[] read(Sound sound, int block) {
        double[] all = new double[(int) sound.frames()];
        double[][] x = new double[1][block];
        for (int at = 0; at < all.length; at += block) {
            int n = Math.min(block, all.length - at);
            sound.read(at, x, n);
            System.arraycopy(x[0], 0, all, at, n);
        }
        return all;
    }

    @Test
    void betweenCrossfadesEverySampleIsWhatItWas() {
        Samples take = noise(1, 20_000);
        double[] x = take.data()[0], y = read(new Pieces.Builder(take).join(5000, 400, 700, 0).join(12_000, 300, -250, 1).build(), 480);
        for (int i = 0; i < 4800; i++) assertEquals(x[i], y[i]);
        for (int i = 5200; i < 11_850; i++) assertEquals(x[i - 700], y[i]);
        for (int i = 12_150; i < 19_750; i++) assertEquals(x[i + 250], y[i]);
    }

    @Test
    void anyCutGivesTheSameBits() {
        Pieces pieces = new Pieces.Builder(noise(2, 20_000)).join(5000, 401, 700, 0.3).join(8000, 300, noise(3, 2000), 7500, 0).join(9000, 222, 900, 0).build();
        double[] whole = read(pieces, 30_000);
        assertEquals(20_900, whole.length);
        for (int block : new int[] {1, 7, 480, 4800}) {
            double[] y = read(pieces, block);
            for (int i = 0; i < y.length; i++) assertEquals(whole[i], y[i], "sample " + i + " in blocks of " + block);
        }
    }

    /** Noise joined to other noise keeps its power, and a sound joined to the same keeps its samples. */
    @Test
    void aCrossfadeKeepsTheLevel() {
        Samples take = noise(4, 400_000);
        double[] y = read(new Pieces.Builder(take).join(100_000, 80_000, -150_000, 0).build(), 4800);
        assertEquals(1 / 3.0, power(y, 60_000, 140_000), 0.01);
        double[] alike = read(new Pieces.Builder(take).join(100_000, 80_000, 0, 1).build(), 4800);
        for (int i = 0; i < alike.length; i++) assertEquals(take.data()[0][i], alike[i], 1e-12);
    }

    private static double power(double[] x, int from, int to) {
        double sum = 0;
        for (int i = from; i < to; i++) sum += x[i] * x[i];
        return sum / (to - from);
    }

    @Test
    void aPlaceIsFoundAgain() {
        Pieces pieces = new Pieces.Builder(noise(5, 20_000)).join(5000, 400, 700, 0).join(12_000, 300, -250, 1).build();
        assertEquals(4000, pieces.place(4000));
        assertEquals(6700, pieces.place(6000));
        assertEquals(14_750, pieces.place(15_000));
        long last = -1;
        for (int i = 0; i < 20_000; i++) {
            assertTrue(pieces.place(i) >= last);
            last = pieces.place(i);
        }
    }

    @Test
    void crossfadesDoNotMeet() {
        Pieces.Builder pieces = new Pieces.Builder(noise(6, 20_000)).join(5000, 400, 700, 0);
        assertThrows(IllegalArgumentException.class, () -> pieces.join(5300, 400, 0, 0));
    }
}
