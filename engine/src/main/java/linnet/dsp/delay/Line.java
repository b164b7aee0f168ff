package linnet.dsp.delay;

import linnet.dsp.Cell;
import linnet.dsp.Silence;

/**
 * A delay line: a ring that remembers what was written and is read at a distance behind its write head, a whole distance
 * exactly, any other through the Lagrange interpolator of order 5.
 *
 * <p>Source: T. Laakso, V. Välimäki, M. Karjalainen, U. Laine, "Splitting the unit delay", IEEE Signal Processing Magazine
 * 13(1), 1996: {@code h[n] = Π (D-k)/(n-k)}, used where it is best and passive, with D between 2 and 3.
 */
final class Line {
    /** The interpolator's taps on the newer side of the point it reads, itself not counted. */
    private static final int NEWER = 2;
    private static final int OLDER = 3;

    private final double[] ring;
    private final int mask;
    private int head;

    /** @param longest the greatest distance, in samples, at which the line will be read */
    Line(int longest) {
        ring = new double[Integer.highestOneBit(longest + OLDER) << 1];
        mask = ring.length - 1;
    }

    /** Reads {@code into[i] = x(now + i - distance)} for n ≤ distance samples that are still to be written. */
    void read(int distance, double[] into, int n) {
        int from = head - distance & mask;
        int first = Math.min(n, ring.length - from);
        System.arraycopy(ring, from, into, 0, first);
        System.arraycopy(ring, 0, into, first, n - first);
    }

    /** As {@link #read(int, double[], int)}, sample i at {@code distances[from + i]}, each at least {@code i + 3}. */
    void read(double[] distances, int from, double[] into, int n) {
        interpolate(ring, mask, head, distances, from, into, n);
    }

    void write(double[] x, int n) {
        int first = Math.min(n, ring.length - head);
        System.arraycopy(x, 0, ring, head, first);
        System.arraycopy(x, first, ring, 0, n - first);
        head = head + n & mask;
    }

    /** Zeroes what has died away among the newest n samples. One look tells whether there is anything to do. */
    void settle(int n) {
        if (Math.abs(ring[head - 1 & mask]) >= Cell.SILENCE) return;
        for (int i = 1; i <= n; i++) ring[head - i & mask] = Cell.settled(ring[head - i & mask]);
    }

    boolean isSilent() {
        return Silence.in(ring);
    }

    private static void interpolate(double[] ring, int mask, int head, double[] distances, int from, double[] into, int n) {
        for (int i = 0; i < n; i++) {
            double distance = distances[from + i];
            int whole = (int) distance;
            double p2 = distance - whole, p1 = p2 + 1, p0 = p2 + 2, p3 = p2 - 1, p4 = p2 - 2, p5 = p2 - 3;
            int newest = head + i - whole + NEWER;
            double p01 = p0 * p1, p23 = p2 * p3, p45 = p4 * p5;
            into[i] = p23 * (p45 * (p1 * (-1 / 120.0) * ring[newest & mask] + p0 * (1 / 24.0) * ring[newest - 1 & mask])
                            + p01 * (p5 * (-1 / 24.0) * ring[newest - 4 & mask] + p4 * (1 / 120.0) * ring[newest - 5 & mask]))
                    + p01 * p45 * (p3 * (-1 / 12.0) * ring[newest - 2 & mask] + p2 * (1 / 12.0) * ring[newest - 3 & mask]);
        }
    }
}
