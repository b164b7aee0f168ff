package linnet.dsp.resample;

import java.util.Arrays;
import linnet.dsp.CacheLines;
import linnet.dsp.Cell;

/**
 * A filter whose taps mirror each other, so that they are multiplied in pairs: {@code y[i] = Σ taps[k] (x[i + k] + x[last + i - k])}.
 *
 * <p>Of sums over neighbours the compiler makes no vectors. So a cell is laid out as eight stretches side by side, {@code side[8 i + l]} being
 * sample i of stretch l: now the neighbour of each is eight places on, a whole vector away. Loops have the length of a cell even where fewer
 * samples are wanted, because only a length known beforehand lets them be unrolled as far as a vector needs. Each output is
 * summed in the same order wherever it lies, so the cut into blocks leaves no trace.
 */
final class MirroredFir {
    private static final int LANES = 8, STRETCH = Cell.LENGTH / LANES;
    /** Pairs worked on at once: more than six are too many to become vectors, and a filter of seven would be filled up to twelve. */
    private static final int AT_ONCE = 4, REACH = (AT_ONCE - 1) * LANES;

    private final double[] taps;
    private final int length;
    private final double[] side;
    private final double[] left = CacheLines.array(Cell.LENGTH + REACH), right = CacheLines.array(Cell.LENGTH + REACH), sum = CacheLines.array(Cell.LENGTH);

    /** @param taps of one side, from the outermost in; {@link #AT_ONCE} or more */
    MirroredFir(double[] taps) {
        int groups = (taps.length + AT_ONCE - 1) / AT_ONCE;
        // Beyond the innermost pair there are some that weigh nothing.
        this.taps = Arrays.copyOf(taps, groups * AT_ONCE);
        length = 2 * taps.length;
        side = new double[(STRETCH + length - 1 + AT_ONCE) * LANES];
    }

    /** Samples of x that must be there, used or not, for each call. */
    int reads() {
        return Cell.LENGTH + length - 1;
    }

    /** Makes samples {@code to … to + n - 1} of y, at most a cell, from those of x from {@code at} on. */
    void process(double[] x, int at, double[] y, int to, int n) {
        layOut(x, at, side, STRETCH + length - 1);
        for (int k = 0; k < taps.length; k += AT_ONCE) {
            System.arraycopy(side, k * LANES, left, 0, Cell.LENGTH + REACH);
            System.arraycopy(side, (length - k - AT_ONCE) * LANES, right, 0, Cell.LENGTH + REACH);
            double a = taps[k], b = taps[k + 1], c = taps[k + 2], d = taps[k + 3];
            if (k == 0) first(left, right, a, b, c, d, sum);
            else next(left, right, a, b, c, d, sum);
        }
        if (n == Cell.LENGTH) gather(sum, y, to);
        else for (int i = 0; i < n; i++) y[to + i] = sum[i % STRETCH * LANES + i / STRETCH];
    }

    private static void layOut(double[] x, int at, double[] side, int rows) {
        for (int i = 0, j = 0; i < rows; i++, j += LANES) {
            int k = at + i;
            side[j] = x[k];
            side[j + 1] = x[k + STRETCH];
            side[j + 2] = x[k + 2 * STRETCH];
            side[j + 3] = x[k + 3 * STRETCH];
            side[j + 4] = x[k + 4 * STRETCH];
            side[j + 5] = x[k + 5 * STRETCH];
            side[j + 6] = x[k + 6 * STRETCH];
            side[j + 7] = x[k + 7 * STRETCH];
        }
    }

    private static void gather(double[] sum, double[] y, int to) {
        for (int i = 0, j = 0; i < STRETCH; i++, j += LANES) {
            int k = to + i;
            y[k] = sum[j];
            y[k + STRETCH] = sum[j + 1];
            y[k + 2 * STRETCH] = sum[j + 2];
            y[k + 3 * STRETCH] = sum[j + 3];
            y[k + 4 * STRETCH] = sum[j + 4];
            y[k + 5 * STRETCH] = sum[j + 5];
            y[k + 6 * STRETCH] = sum[j + 6];
            y[k + 7 * STRETCH] = sum[j + 7];
        }
    }

    // The offsets are written out: only then does the compiler see that they are whole vectors.
    private static void first(double[] x, double[] z, double a, double b, double c, double d, double[] y) {
        for (int i = 0; i < Cell.LENGTH; i++) {
            y[i] = a * (x[i] + z[i + 24]) + b * (x[i + 8] + z[i + 16]) + c * (x[i + 16] + z[i + 8])
                    + d * (x[i + 24] + z[i]);
        }
    }

    private static void next(double[] x, double[] z, double a, double b, double c, double d, double[] y) {
        for (int i = 0; i < Cell.LENGTH; i++) {
            y[i] += a * (x[i] + z[i + 24]) + b * (x[i + 8] + z[i + 16]) + c * (x[i + 16] + z[i + 8])
                    + d * (x[i + 24] + z[i]);
        }
    }
}
