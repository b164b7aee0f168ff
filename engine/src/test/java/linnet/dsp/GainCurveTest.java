package linnet.dsp;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class GainCurveTest {
    private static final GainCurve DIP = new GainCurve.Builder().point(100, 0).point(200, -12).point(300, -12).point(400, 0).build();

    @Test
    void isStraightInDbBetweenItsPoints() {
        double[] x = ones(500);
        DIP.process(0, new double[][] {x}, 1, 500, new double[500]);
        for (int i = 0; i < 500; i++) assertEquals(DIP.db(i), 20 * Math.log10(x[i]), 1e-9, "at " + i);
        assertEquals(-6, DIP.db(150), 1e-12);
        assertEquals(-12, DIP.db(250), 1e-12);
        assertEquals(-3, DIP.db(375), 1e-12);
    }

    @Test
    void leavesAloneWhatItDoesNotMove() {
        double[] x = ones(500), y = x.clone();
        DIP.process(0, new double[][] {y}, 1, 500, new double[500]);
        assertArrayEquals(Arrays.copyOf(x, 101), Arrays.copyOf(y, 101));
        assertArrayEquals(Arrays.copyOfRange(x, 400, 500), Arrays.copyOfRange(y, 400, 500));
    }

    @Test
    void anyCutGivesTheSameBits() {
        double[] whole = ones(500), cut = ones(500);
        DIP.process(0, new double[][] {whole}, 1, 500, new double[500]);
        for (int at = 0; at < 500; at += 7) {
            double[] piece = Arrays.copyOfRange(cut, at, Math.min(500, at + 7));
            DIP.process(at, new double[][] {piece}, 1, piece.length, new double[piece.length]);
            System.arraycopy(piece, 0, cut, at, piece.length);
        }
        assertArrayEquals(whole, cut);
    }

    @Test
    void withoutPointsIsUnity() {
        double[] x = ones(10);
        new GainCurve.Builder().build().process(0, new double[][] {x}, 1, 10, new double[10]);
        assertArrayEquals(ones(10), x);
    }

    @Test
    void holdsItsEnds() {
        GainCurve steady = new GainCurve.Builder().point(50, -6).build();
        double[] x = ones(100);
        steady.process(0, new double[][] {x}, 1, 100, new double[100]);
        for (double v : x) assertEquals(-6, 20 * Math.log10(v), 1e-9);
    }

    @Test
    void refusesTimeThatGoesBack() {
        assertThrows(IllegalArgumentException.class, () -> new GainCurve.Builder().point(10, 0).point(9, 0));
    }

    /** A raised cosine has half the amplitude half-way, and so on: common practice. A fade of 30 s is heard down to -80 dB, and has no knee before. */
    @ParameterizedTest
    @ValueSource(booleans = {true, false})
    void aFadeIsARaisedCosine(boolean in) {
        int n = 30 * 48_000;
        GainCurve.Builder level = new GainCurve.Builder();
        GainCurve.fade(in, (share, db) -> level.point(Math.round(n * share), db));
        GainCurve fade = level.build();
        assertEquals(GainCurve.SILENT, fade.db(in ? 0 : n));
        assertEquals(0, fade.db(in ? n : 0), 0);
        double before = fade.db(0);
        for (int i = 1; i < n; i++) {
            double law = 20 * Math.log10((1 - Math.cos(Math.PI * (in ? i : n - i) / n)) / 2), now = fade.db(i);
            if (law >= -80) assertEquals(law, now, 0.5, "at " + i);
            else assertTrue(now < -79, "at " + i + ": " + now);
            assertTrue(in ? now > before : now < before, "at " + i);
            before = now;
        }
    }

    private static double[] ones(int n) {
        double[] x = new double[n];
        Arrays.fill(x, 1);
        return x;
    }
}
