package linnet.dsp.reverb;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;

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

    /** g = 10^(-3 D / (rate T)); values computed from that formula for D 1116 and 1617 at 44.1 kHz. */
    @Test
    void aCombFallsByTheDecayFormula() {
        assertEquals(0.916306603378, Absorption.of(44100, 1116, 2, 0).gain(), 1e-12);
        assertEquals(0.776247116629, Absorption.of(44100, 1617, 1, 0).gain(), 1e-12);
    }
}
