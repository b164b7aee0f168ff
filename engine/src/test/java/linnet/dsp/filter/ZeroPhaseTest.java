package linnet.dsp.filter;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import org.junit.jupiter.api.Test;

/** Forwards and backwards: the gain of the design, squared, and no turn of phase. */
class ZeroPhaseTest {
    private static final double RATE = 48000;

    private static double[] impulse() {
        double[] x = new double[40001];
        x[20000] = 1;
        ZeroPhase.process(Butterworth.lowPass(RATE, 150, 6), x);
        return x;
    }

    @Test
    void itIsTheSameForwardsAndBackwards() {
        double[] h = impulse(), reversed = new double[h.length];
        for (int i = 0; i < h.length; i++) reversed[i] = h[h.length - 1 - i];
        assertArrayEquals(h, reversed, 1e-15);
    }

    /** The squared gain of a Butterworth of order 6 put through the bilinear transform: 1 / (1 + (tan(πf/r) / tan(π150/r))^12). */
    @Test
    void itsGainIsThatOfTheDesignSquared() {
        double[] h = impulse();
        for (double hz : new double[] {0, 20, 80, 120, 150, 200, 300}) {
            double gain = 0;
            for (int i = 0; i < h.length; i++) gain += h[i] * Math.cos(2 * Math.PI * hz * (i - 20000) / RATE);
            assertEquals(1 / (1 + Math.pow(Math.tan(Math.PI * hz / RATE) / Math.tan(Math.PI * 150 / RATE), 12)), gain, 1e-9, hz + " Hz");
        }
    }

    /** What comes first stays first; without a filter the first and the last sample pass too. */
    @Test
    void nothingIsTurnedRound() {
        double[] x = new double[2881], ends = new double[2881];
        x[300] = 1;
        x[700] = 2;
        x[2300] = 4;
        double[] y = x.clone();
        ZeroPhase.process(Butterworth.lowPass(RATE, 18_000, 2), y);
        for (int i = 0; i < x.length; i++) if (x[i] > 0) assertEquals(x[i], y[i], 0.3 * x[i], "at " + i);
        ends[0] = 1;
        ends[2880] = 4;
        double[] same = ends.clone();
        ZeroPhase.process(List.of(), same);
        assertArrayEquals(ends, same);
    }
}
