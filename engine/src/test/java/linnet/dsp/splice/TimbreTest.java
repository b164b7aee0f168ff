package linnet.dsp.splice;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** One tone in the middle of each octave, 125 Hz to 8 kHz, whose levels are known. */
class TimbreTest {
    private static final double RATE = 48_000;
    private static final int N = 24_000;

    /** Tones of these levels in dB. */
    private static double[] tones(double... db) {
        double[] x = new double[N];
        for (int k = 0; k < db.length; k++) {
            for (int i = 0; i < N; i++) x[i] += Math.pow(10, db[k] / 20) * Math.sin(2 * Math.PI * 125 * Math.pow(2, k) * i / RATE + k);
        }
        return x;
    }

    private static Timbre timbre(double[]... channels) {
        return new Timbre(channels, N, RATE);
    }

    @ParameterizedTest
    @ValueSource(ints = {0, 1, 2, 3, 4, 5, 6})
    void anOctaveThatIsLouderStandsOut(int octave) {
        double[] db = new double[7];
        Timbre even = timbre(tones(db));
        db[octave] = 10 * Math.log10(4);
        Timbre louder = timbre(tones(db));
        // Of seven shares that were alike one is four times as large: 4/10 against 1/7.
        double step = 10 * Math.log10(0.4 * 7);
        assertEquals(step, even.step(louder), 0.1);
        assertEquals(-step, louder.step(even), 0.1);
        assertEquals(0, even.step(even));
    }

    @Test
    void whatLiesBelowOrAboveTheOctavesDoesNotCount() {
        double[] x = tones(0, 0, 0, 0, 0, 0, 0), more = x.clone();
        for (int i = 0; i < N; i++) more[i] += 2 * Math.sin(2 * Math.PI * 14_000 * i / RATE);
        assertEquals(0, timbre(x).step(timbre(more)), 0.01);
    }

    @Test
    void allChannelsCountTogether() {
        double[] low = tones(0), high = tones(-300, -300, -300, -300, 0), both = tones(0, -300, -300, -300, 0);
        assertEquals(0, timbre(low, high).step(timbre(high, low)), 1e-9);
        assertEquals(0, timbre(low, high).step(timbre(both)), 0.01);
    }

    /** What lies more than 35 dB under the strongest octave is covered by it, on either side. */
    @Test
    void whatIsCoveredDoesNotCount() {
        double no = -300;
        Timbre covered = timbre(tones(no, no, no, no, 0, -40)), heard = timbre(tones(no, no, no, no, 0, -33)), more = timbre(tones(no, no, no, no, 0, -23));
        assertEquals(0, covered.step(heard), 0.01);
        assertEquals(0, heard.step(covered), 0.01);
        assertEquals(10, heard.step(more), 0.1);
    }

    @Test
    void oneWindowIsEnoughAndLessIsNothing() {
        double[] low = tones(0), both = tones(0, 0);
        assertEquals(-3, new Timbre(new double[][] {low}, 2048, RATE).step(new Timbre(new double[][] {both}, 2048, RATE)), 0.2);
        assertEquals(0, new Timbre(new double[][] {low}, 2047, RATE).step(new Timbre(new double[][] {both}, 2047, RATE)));
        assertEquals(0, timbre(low).step(timbre(new double[N])));
        assertEquals(0, timbre(new double[N]).step(timbre(low)));
    }
}
