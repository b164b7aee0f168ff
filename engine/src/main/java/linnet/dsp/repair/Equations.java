package linnet.dsp.repair;

/** Normal equations of least squares, {@code A'A u = A'b}, added row by row and solved by Cholesky's method. */
final class Equations {
    private final int size;
    /** The lower half. */
    private final double[][] left;
    private final double[] right;

    Equations(int size) {
        this.size = size;
        left = new double[size][];
        for (int i = 0; i < size; i++) left[i] = new double[i + 1];
        right = new double[size];
    }

    int size() {
        return size;
    }

    double[] right() {
        return right;
    }

    /** A row of all unknowns. */
    void add(double[] row, double value) {
        for (int i = 0; i < size; i++) {
            double[] l = left[i];
            double r = row[i];
            right[i] += r * value;
            for (int j = 0; j <= i; j++) l[j] += r * row[j];
        }
    }

    /** A row of few. @param place rising */
    void add(int[] place, double[] weight, int count, double value) {
        for (int i = 0; i < count; i++) {
            double[] l = left[place[i]];
            double w = weight[i];
            right[place[i]] += w * value;
            for (int j = 0; j <= i; j++) l[place[j]] += w * weight[j];
        }
    }

    /** One number of the left side; {@code j} at most {@code i}. */
    void add(int i, int j, double value) {
        left[i][j] += value;
    }

    Equations copy() {
        Equations copy = new Equations(size);
        for (int i = 0; i < size; i++) System.arraycopy(left[i], 0, copy.left[i], 0, i + 1);
        System.arraycopy(right, 0, copy.right, 0, size);
        return copy;
    }

    /**
     * The unknowns; destroys the equations.
     *
     * @param ridge added to the diagonal
     * @return null where they have no single solution
     */
    double[] solved(double ridge) {
        for (int i = 0; i < size; i++) {
            double[] a = left[i];
            for (int j = 0; j < i; j++) {
                double[] b = left[j];
                a[j] = (a[j] - dot(a, b, j)) / b[j];
            }
            double d = a[i] + ridge - dot(a, a, i);
            if (!(d > 0)) return null;
            a[i] = Math.sqrt(d);
        }
        double[] u = right;
        for (int i = 0; i < size; i++) u[i] = (u[i] - dot(left[i], u, i)) / left[i][i];
        for (int i = size - 1; i >= 0; i--) {
            double[] a = left[i];
            double v = u[i] /= a[i];
            for (int k = 0; k < i; k++) u[k] -= a[k] * v;
        }
        return u;
    }

    /** Four sums, so that one addition need not wait for another. */
    private static double dot(double[] a, double[] b, int n) {
        double s0 = 0, s1 = 0, s2 = 0, s3 = 0;
        int k = 0;
        for (; k + 4 <= n; k += 4) {
            s0 += a[k] * b[k];
            s1 += a[k + 1] * b[k + 1];
            s2 += a[k + 2] * b[k + 2];
            s3 += a[k + 3] * b[k + 3];
        }
        for (; k < n; k++) s0 += a[k] * b[k];
        return s0 + s1 + (s2 + s3);
    }
}
