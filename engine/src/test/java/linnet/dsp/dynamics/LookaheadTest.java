package linnet.dsp.dynamics;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.SplittableRandom;
import linnet.dsp.Cell;
import linnet.dsp.dynamics.Compression.Level;
import linnet.dsp.dynamics.Compression.Release;
import org.junit.jupiter.api.Test;

class LookaheadTest {
    private static final double RATE = 48000;
    private static final int HOP = Lookahead.hop(RATE);

    /** Oracle: the definition, written down for each hop of the output by itself. */
    @Test
    void isTwoAveragesOfTheHighestAhead() {
        for (int hops : new int[] {2, 3, 7, 180}) {
            double[] x = asked(4 * RATE), y = through(hops, x, Cell.LENGTH);
            int many = x.length / HOP, smooth = Math.max(1, hops / 3);
            double[] highest = new double[many], end = new double[many];
            for (int q = 0; q < many; q++) for (int i = 0; i < hops * HOP && q * HOP + i < x.length; i++) highest[q] = Math.max(highest[q], x[q * HOP + i]);
            for (int q = smooth; q < many; q++) {
                int a = (smooth + 1) / 2, b = smooth + 1 - a;
                double sum = 0;
                for (int i = 0; i < a; i++) for (int k = 0; k < b; k++) sum += highest[q - i - k];
                end[q] = sum / (a * b);
            }
            for (int q = smooth + 1; q < many - hops; q++) {
                for (int i = 0; i < HOP; i++) assertEquals(end[q - 1] + (end[q] - end[q - 1]) * i / HOP, y[(q + hops) * HOP + i], 1e-8, hops + " hops, " + q);
            }
        }
    }

    /** At 48 kHz a hop is 0.5 ms. One hop alone would hold nothing. */
    @Test
    void theShortestIsOfTwoHops() {
        assertEquals(0, Lookahead.hops(RATE, 0));
        for (double ms : new double[] {0.01, 0.5, 1}) assertEquals(2, Lookahead.hops(RATE, ms), ms + " ms");
        assertEquals(10, Lookahead.hops(RATE, 5));
    }

    /** Nothing gets through with less than it asked for, and what asks for nothing has exactly nothing taken off. */
    @Test
    void isThereInTimeAndGoneAfterwards() {
        for (int hops : new int[] {2, 5, 180}) {
            double[] x = asked(4 * RATE), y = through(hops, x, Cell.LENGTH);
            for (int i = 0; i < x.length - hops * HOP; i++) assertTrue(y[i + hops * HOP] >= x[i] - 1e-12, hops + " hops, at " + i);
            double[] once = new double[96000];
            Arrays.fill(once, 24000, 24100, 6);
            double[] alone = through(hops, once, Cell.LENGTH);
            assertEquals(6, Arrays.stream(alone).max().orElseThrow(), 1e-12);
            for (int i = 0; i < alone.length; i++) {
                if (i < 24000 || i > 24100 + HOP + (hops + hops / 3 + 1) * HOP) assertEquals(0, alone[i], 0, hops + " hops, at " + i);
            }
        }
    }

    @Test
    void everyCutGivesTheSameBits() {
        double[] x = asked(RATE), whole = through(180, x, Cell.LENGTH);
        for (int cut : new int[] {1, 7, 64}) assertArrayEquals(whole, through(180, x, cut));
    }

    /**
     * A consonant 20 dB under the loud vowel that follows it, after another vowel. The two keep their distance within 2 dB, which is common practice for a
     * whole chain; with no look-ahead the compressor gives back over the consonant what it then takes from the vowel.
     */
    @Test
    void aConsonantGoesDownWithItsVowel() {
        assertTrue(lift(0) > 4, "without: " + lift(0));
        assertEquals(0, lift(90), 2);
    }

    /** By how many dB a consonant comes nearer to its vowel. */
    private static double lift(double ms) {
        double[] x = new double[96000];
        SplittableRandom random = new SplittableRandom(3);
        int consonant = 52800, vowel = consonant + 3600;
        for (int i = 0; i < x.length; i++) {
            double tone = 0.5 * StrictMath.sin(2 * Math.PI * 220 * i / RATE);
            x[i] = i < 43200 ? 0.4 * tone : i < consonant ? 0 : i < vowel ? 0.035 * (2 * random.nextDouble() - 1) : tone;
        }
        double[] y = x.clone();
        Compressor compressor = new Compressor(RATE, new Compression(Release.PLAIN, Level.PEAK, 0, -20, 6, 3, 0.8, 80, Compression.NO_BOUND, ms));
        for (int at = 0; at < y.length; at += Cell.LENGTH) {
            double[] block = Arrays.copyOfRange(y, at, at + Cell.LENGTH);
            compressor.process(block, Cell.LENGTH);
            compressor.settle();
            System.arraycopy(block, 0, y, at, Cell.LENGTH);
        }
        int late = compressor.latency();
        return db(y, consonant + late, 3600) - db(x, consonant, 3600) - (db(y, vowel + 480 + late, 4800) - db(x, vowel + 480, 4800));
    }

    private static double db(double[] x, int from, int n) {
        return 10 * StrictMath.log10(Arrays.stream(x, from, from + n).map(v -> v * v).sum() / n);
    }

    /** Reductions as of a compressor: up at once, down slowly, at times none. */
    private static double[] asked(double samples) {
        double[] x = new double[(int) samples];
        SplittableRandom random = new SplittableRandom(1);
        double now = 0;
        for (int i = 0; i < x.length; i++) {
            now = random.nextInt(4000) == 0 ? 12 * random.nextDouble() : now < 0.01 ? 0 : now * 0.9995;
            x[i] = now;
        }
        return x;
    }

    private static double[] through(int hops, double[] x, int cut) {
        Lookahead lookahead = new Lookahead(HOP, hops);
        double[] y = new double[x.length];
        for (int at = 0; at < x.length; ) {
            int n = Math.min(Math.min(cut, Cell.LENGTH - at % Cell.LENGTH), x.length - at);
            double[] block = Arrays.copyOfRange(x, at, at + n);
            lookahead.process(block, n);
            System.arraycopy(block, 0, y, at, n);
            at += n;
        }
        return y;
    }
}
