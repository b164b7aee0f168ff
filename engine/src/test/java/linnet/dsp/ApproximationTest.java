package linnet.dsp;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.function.DoubleUnaryOperator;
import org.junit.jupiter.api.Test;

/** Oracle: Java's {@link StrictMath} (fdlibm), correct to about 1 ulp. */
class ApproximationTest {
    private static final double[] ODDITIES = {
        0.0, -0.0, Double.MIN_VALUE, -Double.MIN_VALUE, 1e-310, Double.MIN_NORMAL, Double.MAX_VALUE, -Double.MAX_VALUE,
        Double.POSITIVE_INFINITY, Double.NEGATIVE_INFINITY
    };

    @Test
    void log2StaysWithinItsBound() {
        double worst = 0;
        for (double x = 1e-300; x < 1e300; x *= 1.0037) worst = Math.max(worst, Math.abs(Approximation.log2(x) - log2(x)));
        for (double x = 0.5; x < 2; x += 1e-5) worst = Math.max(worst, Math.abs(Approximation.log2(-x) - log2(x)));
        assertTrue(worst < 1.4e-9, "worst error " + worst);
        assertEquals(0, Approximation.log2(1));
    }

    @Test
    void log2OfTheUnlogarithmable() {
        assertEquals(-1023, Approximation.log2(0));
        assertEquals(1024, Approximation.log2(Double.NEGATIVE_INFINITY));
        double denormal = Approximation.log2(1e-310);
        assertTrue(denormal > -1023 && denormal < -1022);
    }

    @Test
    void decibelsStayWithinTheirBound() {
        double[] x = grid(i -> StrictMath.pow(10, -12 + 0.03 * i) * (1 - i % 2 * 2));
        double[] db = new double[x.length];
        Approximation.decibels(x, db, new double[x.length], x.length);
        for (int i = 0; i < x.length; i++) assertEquals(20 * StrictMath.log10(Math.abs(x[i])), db[i], 9e-9);
    }

    @Test
    void gainsStayWithinTheirBound() {
        for (double from = -190; from < 190; from += 5) {
            double start = from;
            double[] db = grid(i -> start + i * 0.0104);
            double[] gain = new double[db.length];
            Approximation.gains(db, gain, db.length);
            for (int i = 0; i < db.length; i++) {
                assertEquals(1, gain[i] / StrictMath.pow(10, db[i] / 20), 4e-9, "at " + db[i]);
                assertEquals(gain[i], Approximation.gain(db[i]));
            }
        }
        assertEquals(Approximation.gain(-Approximation.MOST_DB), Approximation.gain(-1e9));
        assertEquals(Approximation.gain(Approximation.MOST_DB), Approximation.gain(1e9));
    }

    @Test
    void noChangeIsExactlyUnity() {
        double[] gain = {0.0, -0.0, Double.MIN_VALUE};
        Approximation.gains(gain, gain, 3);
        assertTrue(Arrays.equals(new double[] {1, 1, 1}, gain));
    }

    @Test
    void tanhStaysWithinItsBoundAndIsOdd() {
        for (double x = 1e-150; x < 30; x *= 1.01) {
            double exact = StrictMath.tanh(x);
            double ours = Approximation.tanh(x);
            assertEquals(exact, ours, 1e-9 * Math.min(1, exact * 2));
            assertEquals(-ours, Approximation.tanh(-x));
        }
        assertEquals(0, Approximation.tanh(0));
        assertEquals(1, Approximation.tanh(Double.POSITIVE_INFINITY));
    }

    @Test
    void eachRisesWithItsInput() {
        rises(Approximation::log2, 0.4, 2.4, 1e-6);
        rises(Approximation::gain, -195, 40, 1e-4);
        rises(Approximation::tanh, -20, 20, 1e-5);
    }

    @Test
    void nothingGivesNotANumber() {
        double[] x = ODDITIES.clone();
        double[] db = new double[x.length];
        Approximation.decibels(x, db, new double[x.length], x.length);
        double[] gain = new double[x.length];
        Approximation.gains(x, gain, x.length);
        for (int i = 0; i < x.length; i++) {
            double odd = ODDITIES[i];
            assertTrue(Double.isFinite(db[i]) && Double.isFinite(gain[i]) && Double.isFinite(Approximation.tanh(odd)), "at " + odd);
            assertFalse(Double.isNaN(Approximation.log2(odd)), "at " + odd);
        }
    }

    private static void rises(DoubleUnaryOperator f, double from, double to, double step) {
        double before = f.applyAsDouble(from);
        for (double x = from + step; x < to; x += step) {
            double y = f.applyAsDouble(x);
            assertTrue(y >= before - 4 * Math.ulp(y), "falls at " + x); // rounding is no fall
            before = y;
        }
    }

    private static double[] grid(DoubleUnaryOperator f) {
        double[] x = new double[Cell.LENGTH];
        Arrays.setAll(x, f::applyAsDouble);
        return x;
    }

    private static double log2(double x) {
        return StrictMath.log(x) / StrictMath.log(2);
    }
}
