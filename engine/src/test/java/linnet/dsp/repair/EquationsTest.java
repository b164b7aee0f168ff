package linnet.dsp.repair;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;

import java.util.Arrays;
import java.util.BitSet;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Least squares, prediction and smoothing against the equations that they solve, worked out by elimination. */
class EquationsTest {
    /** Gauss with the largest pivot; what is given is not kept. */
    static double[] eliminated(double[][] a, double[] b) {
        int n = b.length;
        for (int k = 0; k < n; k++) {
            int p = k;
            for (int i = k; i < n; i++) if (Math.abs(a[i][k]) > Math.abs(a[p][k])) p = i;
            double[] row = a[k];
            a[k] = a[p];
            a[p] = row;
            double v = b[k];
            b[k] = b[p];
            b[p] = v;
            for (int i = k + 1; i < n; i++) {
                double f = a[i][k] / a[k][k];
                for (int j = k; j < n; j++) a[i][j] -= f * a[k][j];
                b[i] -= f * b[k];
            }
        }
        double[] x = new double[n];
        for (int i = n - 1; i >= 0; i--) {
            double sum = b[i];
            for (int j = i + 1; j < n; j++) sum -= a[i][j] * x[j];
            x[i] = sum / a[i][i];
        }
        return x;
    }

    private static double[] random(Random random, int n) {
        return random.doubles(n, -1, 1).toArray();
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 2, 5, 9, 14})
    void rowsOfAllAndOfFewAreTheSameSquares(int size) {
        Random random = new Random(size);
        Equations whole = new Equations(size), few = new Equations(size);
        double[][] left = new double[size][size];
        double[] right = new double[size];
        for (int row = 0; row < 3 * size; row++) {
            double[] a = random(random, size);
            for (int i = 0; i < size; i++) if (random.nextInt(3) == 0) a[i] = 0;
            double value = random.nextDouble();
            int[] place = new int[size];
            double[] weight = new double[size];
            int count = 0;
            for (int i = 0; i < size; i++) {
                if (a[i] == 0) continue;
                place[count] = i;
                weight[count++] = a[i];
            }
            whole.add(a, value);
            few.add(place, weight, count, value);
            for (int i = 0; i < size; i++) {
                right[i] += a[i] * value;
                for (int j = 0; j < size; j++) left[i][j] += a[i] * a[j];
            }
        }
        assertEquals(size, whole.size());
        assertArrayEquals(right, whole.right(), 1e-12);
        assertArrayEquals(right, few.right(), 1e-12);
        Equations copy = whole.copy();
        for (int i = 0; i < size; i++) {
            copy.add(i, i / 2, i == i / 2 ? 0.7 : 0.01);
            left[i][i / 2] += i == i / 2 ? 0.7 : 0.01;
            if (i != i / 2) left[i / 2][i] += 0.01;
        }
        double[][] plain = new double[size][];
        for (int i = 0; i < size; i++) plain[i] = left[i].clone();
        assertArrayEquals(eliminated(plain, right.clone()), copy.solved(0), 1e-9);
        for (int i = 0; i < size; i++) {
            left[i][i / 2] -= i == i / 2 ? 0.7 : 0.01;
            if (i != i / 2) left[i / 2][i] -= 0.01;
            left[i][i] += 0.3;
        }
        for (int i = 0; i < size; i++) plain[i] = left[i].clone();
        double[] expected = eliminated(plain, right.clone());
        assertArrayEquals(expected, whole.solved(0.3), 1e-9);
        assertArrayEquals(expected, few.solved(0.3), 1e-9);
    }

    @Test
    void withoutASingleSolutionThereIsNone() {
        Equations equations = new Equations(2);
        equations.add(new double[] {1, 1}, 1);
        assertNull(equations.solved(0));
        assertNull(new Equations(1).solved(0));
    }

    /** The taps make the error blind to what it is predicted from: Toeplitz' equations, solved by elimination. */
    @ParameterizedTest
    @ValueSource(ints = {1, 2, 3, 8, 21})
    void predictionSolvesToeplitzEquations(int order) {
        double[] x = random(new Random(order), 200), r = new double[order + 1], a = new double[order + 1];
        for (int i = 2; i < x.length; i++) x[i] += 1.2 * x[i - 1] - 0.6 * x[i - 2];
        for (int k = 0; k <= order; k++) for (int i = k; i < x.length; i++) r[k] += x[i] * x[i - k];
        double[][] left = new double[order][order];
        double[] right = new double[order];
        for (int i = 0; i < order; i++) {
            for (int j = 0; j < order; j++) left[i][j] = r[Math.abs(i - j)];
            right[i] = -r[i + 1];
        }
        Arrays.fill(a, 7);
        Levinson.predict(r, a, new double[order + 1]);
        assertEquals(1, a[0]);
        assertArrayEquals(eliminated(left, right), Arrays.copyOfRange(a, 1, order + 1), 1e-9);
    }

    /** A sound that one tap foretells wholly: there is no error left to predict, and no further tap. */
    @Test
    void whatIsForetoldWhollyTakesNoMoreTaps() {
        double[] a = {7, 7, 7, 7};
        Levinson.predict(new double[] {1, 1, 1, 1}, a, new double[4]);
        assertArrayEquals(new double[] {1, -1, 0, 0}, a);
    }

    /**
     * What the smoother gives is the least of the sum of squares that it stands for: each value off what was heard, by the power of what it is
     * heard through, each step, and the first off nothing, hardly.
     */
    @Test
    void theSmoothestWayIsTheLeastSquares() {
        int n = 25;
        double steps = 3, noise = steps * steps;
        Random random = new Random(2);
        double[] x = random(random, n), loud = new double[n];
        BitSet heard = new BitSet();
        for (int i = 0; i < n; i++) {
            loud[i] = 1 + 4 * random.nextDouble();
            if (i > 2 && (i < 9 || i > 13) && i < 22) heard.set(i);
        }
        double[][] left = new double[n][n];
        double[] right = new double[n];
        left[0][0] += 1 / (1e6 * noise);
        for (int i = 0; i < n; i++) {
            if (heard.get(i)) {
                left[i][i] += 1 / (noise * loud[i]);
                right[i] += x[i] / (noise * loud[i]);
            }
            if (i == 0) continue;
            left[i][i] += 1;
            left[i - 1][i - 1] += 1;
            left[i][i - 1] -= 1;
            left[i - 1][i] -= 1;
        }
        double[] expected = eliminated(left, right);
        new RandomWalk(steps).smooth(x, heard, loud);
        assertArrayEquals(expected, x, 1e-7);
        assertEquals(0.5 * (x[9] + x[11]), x[10], 1e-9, "where nothing is heard it goes straight");
    }
}
