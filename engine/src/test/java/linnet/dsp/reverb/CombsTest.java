package linnet.dsp.reverb;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class CombsTest {
    /**
     * The published structure sample by sample, straight from its table, but for a feedback and a damping of each comb's own. A
     * uniform feedback of 0.84 and damping of 0.2 are the published default.
     */
    static final class Published {
        static final int[] COMBS = {1116, 1188, 1277, 1356, 1422, 1491, 1557, 1617}, ALL_PASSES = {556, 441, 341, 225};
        final double[][] comb = new double[8][], allPass = new double[4][];
        final double[] store = new double[8], feedback, damp;
        final int[] combAt = new int[8], allPassAt = new int[4];

        Published(int spread, double[] feedback, double[] damp) {
            for (int k = 0; k < 8; k++) comb[k] = new double[COMBS[k] + spread];
            for (int k = 0; k < 4; k++) allPass[k] = new double[ALL_PASSES[k] + spread];
            this.feedback = feedback;
            this.damp = damp;
        }

        double next(double input) {
            double out = 0;
            for (int k = 0; k < 8; k++) {
                double y = comb[k][combAt[k]];
                store[k] = y * (1 - damp[k]) + store[k] * damp[k];
                comb[k][combAt[k]] = input + store[k] * feedback[k];
                combAt[k] = (combAt[k] + 1) % comb[k].length;
                out += y;
            }
            for (int k = 0; k < 4; k++) {
                double buffered = allPass[k][allPassAt[k]];
                allPass[k][allPassAt[k]] = out + buffered * 0.5;
                out = -out + buffered;
                allPassAt[k] = (allPassAt[k] + 1) % allPass[k].length;
            }
            return out;
        }
    }

    /** The public-domain tuning at its own rate; both sides. */
    @Test
    void theBlockFormIsThePublishedStructure() {
        Combs combs = new Combs(44100, 1, 1.4, 0.35);
        Random random = new Random(4);
        double[][] y = new double[2][20000];
        for (int i = 0; i < 12000; i++) {
            y[0][i] = random.nextGaussian();
            y[1][i] = random.nextGaussian();
        }
        double[][] expected = new double[2][20000];
        for (int side = 0; side < 2; side++) {
            double[] feedback = Arrays.stream(combs.losses(side)).mapToDouble(Absorption::gain).toArray();
            double[] damp = Arrays.stream(combs.losses(side)).mapToDouble(Absorption::pole).toArray();
            Published published = new Published(23 * side, feedback, damp);
            for (int i = 0; i < 20000; i++) expected[side][i] = published.next((y[0][i] + y[1][i]) / 2 * combs.inputGain());
        }
        Measured.run(combs, y, 480);
        assertArrayEquals(expected[0], y[0], 1e-9);
        assertArrayEquals(expected[1], y[1], 1e-9);
    }

    /** Other rates, sizes and decays of less than 0.8 s are the published lines scaled and rounded; its level: noise of unit power comes out as such. */
    @ParameterizedTest
    @CsvSource({"8000, 1, 480", "48000, 0.5, 7", "44100, 0.25, 480", "8000, 0.01, 480"})
    void itsLinesGrowWithRateAndSize(double rate, double size, int cut) {
        Combs combs = new Combs(rate, size, 0.4, 0.35);
        double scale = size * Math.sqrt(0.4 / 0.8) * rate / 44100;
        int spread = Math.max(1, (int) Math.round(23 * scale)), n = 4800;
        double power = 0;
        double[][] y = new double[2][n], expected = new double[2][n];
        Random random = new Random(4);
        for (int i = 500; i < 1500; i++) y[0][i] = random.nextGaussian();
        for (int i = 500; i < 1500; i++) y[1][i] = random.nextGaussian();
        for (int side = 0; side < 2; side++) {
            int[] length = Arrays.stream(Published.COMBS).map(c -> Math.max(1, (int) Math.round(c * scale))).toArray();
            Absorption[] loss = combs.losses(side);
            Published published = new Published(0, Arrays.stream(loss).mapToDouble(Absorption::gain).toArray(),
                    Arrays.stream(loss).mapToDouble(Absorption::pole).toArray());
            for (int k = 0; k < 8; k++) {
                assertEquals(Absorption.of(rate, length[k] + side * spread, 0.4, 0.35), loss[k]);
                published.comb[k] = new double[length[k] + side * spread];
                power += 0.5 / (1 - Math.pow(loss[k].mid(rate), 2));
            }
            for (int k = 0; k < 4; k++) published.allPass[k] = new double[Math.max(1, (int) Math.round(Published.ALL_PASSES[k] * scale)) + side * spread];
            for (int i = 0; i < n; i++) expected[side][i] = published.next((y[0][i] + y[1][i]) / 2 * combs.inputGain());
        }
        // A diffuser of 0.5 gives white noise 1 + 1 / (1 - 0.5^2) times its power: (-1 + 1.5 z^-D) / (1 - 0.5 z^-D) is -1 at once, then 1, 0.5, ...
        assertEquals(1 / Math.sqrt(power * Math.pow(1 + 4 / 3.0, 4)), combs.inputGain(), 1e-12);
        assertEquals(Math.max(1, Math.round(1116 * scale)), combs.firstArrival());
        assertEquals(Math.max(1, Math.round(1617 * scale)) + spread, combs.longestLine());
        Measured.run(combs, y, cut);
        assertArrayEquals(expected[0], y[0], 1e-12);
        assertArrayEquals(expected[1], y[1], 1e-12);
    }

    /** One channel for both sides has the same bits; silence before is passed on, and after the last sound it rests. */
    @ParameterizedTest
    @CsvSource({"480", "7"})
    void aMonoSoundIsTwoEqualSidesAndRestsAfterwards(int cut) {
        Combs mono = new Combs(8000, 0.25, 0.1, 0.35), stereo = new Combs(8000, 0.25, 0.1, 0.35);
        Random random = new Random(4);
        assertTrue(mono.rests());
        int rested = 0;
        for (int from = 0, n; from < 14400; from += n) {
            n = Math.min(cut, 480 - from % 480);
            double[] l = new double[n], r = new double[n];
            for (int i = 0; i < n; i++) l[i] = from + i >= 700 && from + i < 900 ? random.nextGaussian() : 0;
            double[] left = l.clone(), right = l.clone();
            Arrays.fill(r, 9);
            mono.processMono(l, r, n);
            stereo.process(left, right, n);
            assertArrayEquals(left, l);
            assertArrayEquals(right, r);
            if (from > 900 && from < 5000) assertFalse(mono.rests() || stereo.rests());
            if ((from + n) % 480 != 0) continue;
            mono.settle();
            stereo.settle();
            assertEquals(stereo.rests(), mono.rests());
            if (from > 900 && mono.rests()) rested++;
        }
        assertTrue(rested > 1 && stereo.rests(), "rested " + rested);
    }

    @Test
    void combsAreBuiltWhereCombsAreWanted() {
        assertEquals(1116, Build.COMBS.room(44100, 1, 1, 0.35).firstArrival());
        assertEquals(new Network(44100, 1, 1, 0.35).firstArrival(), Build.NETWORK.room(44100, 1, 1, 0.35).firstArrival());
    }

    /** Only one side heard: it is not silence. */
    @Test
    void eitherSideWakesIt() {
        for (int side = 0; side < 2; side++) {
            double[][] x = new double[2][480];
            x[side][0] = 1;
            Combs combs = new Combs(8000, 0.25, 0.4, 0.35);
            combs.process(x[0], x[1], 480);
            assertFalse(combs.rests());
            assertEquals(0, x[0][0]);
            assertTrue(Arrays.stream(x[1 - side]).anyMatch(v -> v != 0));
        }
    }

    /** g = 10^(-3 D / (rate T)); values computed from that formula for D 1116 and 1617 at 44.1 kHz. */
    @Test
    void aCombFallsByTheDecayFormula() {
        assertEquals(0.916306603378, Absorption.of(44100, 1116, 2, 0).gain(), 1e-12);
        assertEquals(0.776247116629, Absorption.of(44100, 1617, 1, 0).gain(), 1e-12);
    }
}
