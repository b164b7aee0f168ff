package linnet.dsp.filter;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.List;
import linnet.dsp.Cell;
import linnet.dsp.Cuts;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class CascadeTest {
    private static List<Biquad> sections(int count) {
        List<Biquad> all = new ArrayList<>();
        for (int k = 0; k < count; k++) all.add(Biquad.bell(48000, 100 * (k + 1), 0.5 + k, k % 2 == 0 ? 5 : -4));
        return all;
    }

    @Test
    void equalsTheGeneralLibrary() throws IOException {
        double[][] v = Vectors.rows("run").stream().map(r -> Vectors.doubles(r, 0)).toArray(double[][]::new);
        double[] x = new double[v.length], y = new double[v.length];
        for (int i = 0; i < v.length; i++) {
            x[i] = v[i][0];
            y[i] = v[i][1];
        }
        Cascade cascade = new Cascade(Biquad.highPass(48000, 80, 0.7), Biquad.lowShelf(48000, 200, 0.7, -4), Biquad.bell(48000, 300, 1.4, -3),
                Biquad.bell(48000, 1200, 1.2, 5), Biquad.notch(48000, 2500, 8), Biquad.highShelf(48000, 8000, 0.7, 3), Biquad.lowPass(48000, 16000, 0.7));
        assertArrayEquals(y, Vectors.run(x, 480, cascade), 1e-12);
    }

    /** Oracle: one section after the other, each by the difference equation in direct form II transposed. */
    @ParameterizedTest
    @ValueSource(ints = {0, 1, 2, 3, 4, 5, 6, 7, 9, 10, 11, 16})
    void fusedLoopsWorkAsOneAfterTheOther(int count) {
        double[] x = Vectors.noise(2000, count), expected = x.clone();
        for (Biquad b : sections(count)) {
            double s1 = 0, s2 = 0;
            for (int i = 0; i < x.length; i++) {
                double v = expected[i], y = b.b0() * v + s1;
                s1 = b.b1() * v + s2 - b.a1() * y;
                s2 = b.b2() * v - b.a2() * y;
                expected[i] = y;
            }
        }
        double[] once = Vectors.run(x, 480, new Cascade(sections(count)));
        assertArrayEquals(expected, once, 1e-12);
        for (int cut : new int[] {1, 7, 64}) assertArrayEquals(once, Vectors.run(x, cut, new Cascade(sections(count))), 0.0);
    }

    /** Of this one nothing comes at once: b0 is 0. */
    @Test
    void worksWithoutAFirstCoefficient() {
        Biquad b = new Biquad(48_000, 0, 0.5, 1, 0.5, 0);
        double[] x = Vectors.noise(500, 3), y = Vectors.run(x, 480, new Cascade(b, b));
        double[] once = new double[x.length], expected = new double[x.length];
        for (int i = 0; i < x.length; i++) once[i] = 0.5 * at(x, i - 1) + at(x, i - 2) - 0.5 * at(once, i - 1);
        for (int i = 0; i < x.length; i++) expected[i] = 0.5 * at(once, i - 1) + at(once, i - 2) - 0.5 * at(expected, i - 1);
        assertArrayEquals(expected, y, 1e-12);
    }

    private static double at(double[] x, int i) {
        return i < 0 ? 0 : x[i];
    }

    /** The states hold what is left of large numbers that cancel where a filter is low for its rate: oracle, the difference equation with 60 digits. */
    @Test
    void isExactWhereItsPolesLieCloseToOne() {
        for (Biquad b : List.of(Biquad.highPass(192_000, 20, 0.7), Biquad.bell(192_000, 20, 8, 12), Biquad.notch(192_000, 50, 30),
                Biquad.lowShelf(192_000, 30, 0.7, -12))) {
            double[] x = Vectors.noise(4000, 5);
            for (int i = 0; i < x.length; i++) x[i] += 1;
            double[] y = Vectors.run(x, 480, new Cascade(b));
            MathContext digits = new MathContext(60);
            BigDecimal x1 = BigDecimal.ZERO, x2 = x1, y1 = x1, y2 = x1;
            for (int i = 0; i < x.length; i++) {
                BigDecimal v = new BigDecimal(x[i]);
                BigDecimal exact = v.multiply(new BigDecimal(b.b0())).add(x1.multiply(new BigDecimal(b.b1()))).add(x2.multiply(new BigDecimal(b.b2())))
                        .subtract(y1.multiply(new BigDecimal(b.a1()))).subtract(y2.multiply(new BigDecimal(b.a2())), digits);
                x2 = x1;
                x1 = v;
                y2 = y1;
                y1 = exact;
                // -210 dB.
                assertEquals(exact.doubleValue(), y[i], 3e-11, i + " of " + b);
            }
        }
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 2, 6})
    void channelsOfAPairAreTwoMonos(int count) {
        double[] l = Vectors.noise(1500, 1), r = Vectors.noise(1500, 2);
        for (int cut : new int[] {7, 480}) {
            Cascade stereo = new Cascade(sections(count));
            double[] right = new double[Cell.LENGTH], outRight = new double[r.length];
            int[] at = {0};
            double[] outLeft = Cuts.run(l, cut, (x, n) -> {
                System.arraycopy(r, at[0], right, 0, n);
                stereo.process(x, right, n);
                System.arraycopy(right, 0, outRight, at[0], n);
                at[0] += n;
            }, stereo::settle);
            assertArrayEquals(Vectors.run(l, 480, new Cascade(sections(count))), outLeft, 0.0);
            assertArrayEquals(Vectors.run(r, 480, new Cascade(sections(count))), outRight, 0.0);
        }
    }

    @Test
    void tailEndsInTrueSilence() {
        double[] x = new double[480 * 600];
        x[0] = 1;
        double[] y = Vectors.run(x, 480, new Cascade(Biquad.bell(48000, 300, 3, 12), Biquad.lowPass(48000, 2000, 1)));
        for (int i = y.length - 480; i < y.length; i++) assertEquals(0, y[i]);
    }

    @Test
    void tailsOfBothChannelsEndInTrueSilence() {
        double[] l = new double[Cell.LENGTH], r = new double[Cell.LENGTH];
        l[0] = 1;
        r[0] = 1;
        Cascade pair = new Cascade(Biquad.bell(48000, 300, 3, 12));
        for (int cell = 0; cell < 600; cell++) {
            pair.process(l, r, Cell.LENGTH);
            pair.settle();
            assertArrayEquals(l, r, 0.0);
            if (cell < 599) java.util.Arrays.fill(l, 0);
            if (cell < 599) java.util.Arrays.fill(r, 0);
        }
        for (double y : r) assertEquals(0, y);
    }

    @Test
    void itsResponseIsTheProductOfItsSections() {
        for (double hz : new double[] {50, 300, 5000}) {
            double db = 0;
            for (Biquad b : sections(4)) db += b.responseDb(hz);
            assertEquals(db, new Cascade(sections(4)).responseDb(hz), 1e-9);
        }
    }
}
