package linnet.dsp;

import java.util.Arrays;

/**
 * Digital silence: zeros, bit for bit. A negative zero is none, because it may come out of a filter or a sum as something else than a zero
 * does; so what is done without on account of silence is what nobody can tell from the bits.
 */
public final class Silence {
    private static final double[] CELL = new double[Cell.LENGTH];

    private Silence() {}

    /** Whether the n samples from that one on are silent. */
    public static boolean in(double[] x, int from, int n) {
        // Sound is told at once by one look.
        if (n > 0 && Double.doubleToRawLongBits(x[from + n - 1]) != 0) return false;
        for (int at = 0; at < n; at += Cell.LENGTH) {
            int m = Math.min(Cell.LENGTH, n - at);
            if (!Arrays.equals(x, from + at, from + at + m, CELL, 0, m)) return false;
        }
        return true;
    }

    /** Whether the n samples from that one on of what was rounded to floats are. */
    public static boolean in(float[] x, int from, int n) {
        if (n > 0 && Float.floatToRawIntBits(x[from + n - 1]) != 0) return false;
        for (int i = from; i < from + n; i++) if (Float.floatToRawIntBits(x[i]) != 0) return false;
        return true;
    }

    /** Whether the first n samples are. */
    public static boolean in(double[] x, int n) {
        return in(x, 0, n);
    }

    /** Whether all of it is. */
    public static boolean in(double[] x) {
        return in(x, x.length);
    }
}
