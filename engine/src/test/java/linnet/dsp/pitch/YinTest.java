package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;

class YinTest {
    /** The oracle: steps 2, 3 and 5 of the paper as double loops, on noise with some period in it. */
    @Test
    void agreesWithThePaperWrittenOut() {
        double rate = 12000;
        Yin yin = new Yin(rate, 55, 1200);
        int longest = 220, window = 512 - longest;
        assertEquals(512, yin.length());
        for (int seed = 0; seed < 20; seed++) {
            Random random = new Random(seed);
            double hz = 80 + 700 * random.nextDouble();
            double[] x = new double[512];
            for (int i = 0; i < x.length; i++) {
                for (int h = 1; h < 4; h++) x[i] += Math.sin(2 * Math.PI * h * hz * i / rate) / h;
                x[i] += 0.1 * random.nextGaussian();
            }
            double[] d = new double[longest + 1];
            double sum = 0;
            d[0] = 1;
            for (int lag = 1; lag <= longest; lag++) {
                double square = 0;
                for (int j = 0; j < window; j++) square += (x[j] - x[j + lag]) * (x[j] - x[j + lag]);
                sum += square;
                d[lag] = square * lag / sum;
            }
            double deepest = 1, period = 0;
            for (int lag = 10; lag < longest; lag++) {
                double before = d[lag - 1], at = d[lag], after = d[lag + 1];
                if (at > before || at > after) continue;
                double shift = (before - after) / (2 * (before - 2 * at + after));
                double depth = at - (before - after) * shift / 4;
                if (depth < deepest) {
                    deepest = depth;
                    period = lag + shift;
                }
            }

            yin.hear(x, 0);
            double[] octave = new double[1], cost = new double[1];
            assertEquals(1, yin.periods(0.5, 0, octave, cost));
            assertEquals(rate / period, Math.pow(2, octave[0]), 1e-6);
            assertEquals(deepest, cost[0], 1e-9);
        }
    }

    @Test
    void givesTheCheapestPeriodsInOrder() {
        Yin yin = new Yin(12000, 55, 1200);
        double[] x = new double[yin.length()];
        for (int i = 0; i < x.length; i++) x[i] = Math.sin(2 * Math.PI * 400 * i / 12000);
        yin.hear(x, 0);
        double[] octave = new double[3], cost = new double[3];
        assertEquals(3, yin.periods(0.5, 0.05, octave, cost));
        for (int i = 0; i < 3; i++) {
            assertEquals(400.0 / (i + 1), Math.pow(2, octave[i]), 0.5);
            assertEquals(0.05 * Math.log(3.0 * (i + 1)) / Math.log(2), cost[i], 1e-3);
        }
    }

    /** Where nothing differs from nothing, nothing repeats either. */
    @Test
    void whatIsAlwaysTheSameHasNoPeriod() {
        Yin yin = new Yin(12000, 55, 1200);
        double[] x = new double[yin.length()];
        for (double constant : new double[] {0, 0.25}) {
            Arrays.fill(x, constant);
            yin.hear(x, 0);
            assertEquals(0, yin.periods(0.5, 0.05, new double[3], new double[3]), "all " + constant);
        }
    }
}
