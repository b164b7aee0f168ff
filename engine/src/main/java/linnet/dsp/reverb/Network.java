package linnet.dsp.reverb;

import linnet.dsp.Cell;

/**
 * A feedback delay network: {@value #LINES} delay lines whose outputs, each less the {@link Absorption} of its length, are mixed
 * by an orthogonal matrix and fed back (J.-M. Jot, A. Chaigne, "Digital delay networks for designing artificial
 * reverberators", AES 1991). The matrix is Hadamard's, so what one line holds goes to all alike and no energy is made or lost
 * but by the absorption.
 *
 * <p>Lengths are distinct primes, evenly spread on a logarithmic scale, so that echoes seldom coincide. Schroeder all-passes
 * before the lines scatter every echo, those of the left side feeding the even lines and those of the right the odd ones; the
 * sides listen likewise. Every line is read at a point that wanders slowly, each at its own pace: no mode stands
 * still long enough to be heard as a ring.
 *
 * <p>Level: with g_i the gain of line i at the mid frequency and incoherent echoes, noise of unit power through input gain b fills
 * every line to b^2 / (1 - mean g^2), and a side hears the sum of g_i^2 times that over its lines; b makes it 1.
 */
final class Network implements Room {
    private static final int LINES = 16;
    /** Seconds, at size 1 and a decay of {@link #HALL} or more; a room of shorter decay is smaller. */
    private static final double SHORTEST = 0.029, LONGEST = 0.097, HALL = 1.5;
    /** Seconds: the all-passes of the left and of the right side. */
    private static final double[][] DIFFUSERS = {{0.00147, 0.00361, 0.00587, 0.01013}, {0.00167, 0.00327, 0.00631, 0.00943}};
    private static final double DIFFUSION = 0.6;
    /** Seconds to either side that a read point wanders, and the slowest pace in Hz. */
    private static final double WANDER = 0.0004, SLOWEST = 0.25;
    /** Samples around a read point that interpolation needs. */
    private static final int REACH = 4;

    private final double inputGain;
    private final double[][] line = new double[LINES][];
    private final int[] delay = new int[LINES], writeAt = new int[LINES];
    private final double[] fresh = new double[LINES], pole = new double[LINES], state = new double[LINES];
    private final Wander[] wander = new Wander[LINES];
    private final double[][][] diffuser = new double[2][DIFFUSERS[0].length][];
    private final int[][] diffuserAt = new int[2][DIFFUSERS[0].length];
    private final double[][] tap = new double[LINES][Cell.LENGTH];
    private final double[] inLeft = new double[Cell.LENGTH], inRight = new double[Cell.LENGTH], out = new double[Cell.LENGTH];
    private final double[] span = new double[Cell.LENGTH + REACH];
    private final int longestRun;
    /** Samples since the last border of a cell. */
    private int inCell;
    private boolean silent = true;

    /**
     * @param size length of the lines: 1 is what suits the decay
     * @param decay seconds to fall by 60 dB in the mid bands
     * @param damping how much shorter the decay is at 8 kHz: 0 to 0.8
     */
    Network(double rate, double size, double decay, double damping) {
        this(rate, size, WANDER, decay, damping);
    }

    /** With no wander the network is linear and time-invariant; with an infinite decay it is lossless. */
    Network(double rate, double size, double wanderSeconds, double decay, double damping) {
        int depth = (int) Math.ceil(wanderSeconds * rate);
        int shortest = Integer.MAX_VALUE, last = REACH + 2 * depth;
        double scale = size * Math.sqrt(Math.min(1, decay / HALL)), kept = 0, heard = 0;
        for (int k = 0; k < LINES; k++) {
            double seconds = SHORTEST * StrictMath.pow(LONGEST / SHORTEST, k / (LINES - 1.0));
            last = primeFrom(Math.max(last + 1, (int) Math.round(scale * seconds * rate)));
            delay[k] = last;
            line[k] = new double[last + depth + Cell.LENGTH + REACH];
            Absorption loss = Absorption.of(rate, last, decay, damping);
            fresh[k] = loss.gain() * (1 - loss.pole());
            pole[k] = loss.pole();
            double g = loss.mid(rate);
            kept += g * g / LINES;
            heard += g * g / 2;
            if (depth > 0) wander[k] = new Wander(rate, wanderSeconds * rate, SLOWEST * (1 + k / 11.0), k);
            shortest = Math.min(shortest, last);
        }
        longestRun = Math.min(Cell.LENGTH, shortest - depth - REACH);
        // A lossless network never stops filling, so it has no level to match.
        inputGain = kept < 1 ? Math.sqrt((1 - kept) / heard) : 1;
        for (int side = 0; side < 2; side++) {
            for (int k = 0; k < DIFFUSERS[side].length; k++) {
                diffuser[side][k] = new double[Math.max(1, (int) Math.round(DIFFUSERS[side][k] * Math.min(1, scale) * rate))];
            }
        }
    }

    @Override
    public int firstArrival() {
        return delay[0];
    }

    @Override
    public int longestLine() {
        return delay[LINES - 1];
    }

    @Override
    public void process(double[] l, double[] r, int n) {
        if (silent && Lines.silent(l, r, n)) {
            inCell += n;
            return;
        }
        silent = false;
        for (int i = 0; i < n; i++) {
            l[i] *= inputGain;
            r[i] *= inputGain;
        }
        double[][] a = tap;
        diffuse(l, n, diffuser[0], diffuserAt[0]);
        diffuse(r, n, diffuser[1], diffuserAt[1]);
        for (int from = 0, run; from < n; from += run, inCell += run) {
            run = Math.min(n - from, longestRun);
            for (int k = 0; k < LINES; k++) read(k, run);
            for (int k = 0; k < LINES; k += 4) absorb(a[k], a[k + 1], a[k + 2], a[k + 3], run, k, fresh, pole, state);
            System.arraycopy(l, from, inLeft, 0, run);
            System.arraycopy(r, from, inRight, 0, run);
            listen(a[0], a[2], a[4], a[6], a[8], a[10], a[12], a[14], out, run);
            System.arraycopy(out, 0, l, from, run);
            listen(a[1], a[3], a[5], a[7], a[9], a[11], a[13], a[15], out, run);
            System.arraycopy(out, 0, r, from, run);
            hadamard(a[0], a[1], a[2], a[3], a[4], a[5], a[6], a[7], run);
            hadamard(a[8], a[9], a[10], a[11], a[12], a[13], a[14], a[15], run);
            for (int k = 0; k < LINES / 2; k++) cross(a[k], a[k + LINES / 2], k % 2 == 0 ? inLeft : inRight, run);
            for (int k = 0; k < LINES; k++) write(k, run);
        }
    }

    @Override
    public void settle() {
        inCell = 0;
        if (wander[0] != null) for (Wander w : wander) w.nextCell();
        if (silent) return;
        boolean quiet = true;
        for (double s : state) quiet &= Math.abs(s) < Cell.SILENCE;
        silent = quiet && Lines.settle(state) & Lines.settle(line) & Lines.settle(diffuser[0]) & Lines.settle(diffuser[1]);
    }

    /** Energy stored in the lines: constant where nothing is absorbed and nothing wanders. */
    double energy() {
        double sum = 0;
        for (int k = 0; k < LINES; k++) {
            for (int i = 1; i <= delay[k]; i++) {
                double v = line[k][Math.floorMod(writeAt[k] - i, line[k].length)];
                sum += v * v;
            }
        }
        return sum;
    }

    private void read(int k, int n) {
        Wander w = wander[k];
        if (w == null) {
            copy(line[k], writeAt[k] - delay[k], tap[k], n);
            return;
        }
        for (int from = 0, run; from < n; from += run) {
            int whole = (int) Math.floor(w.at(inCell + from));
            run = w.runOf(whole, inCell + from, n - from);
            copy(line[k], writeAt[k] - delay[k] - whole - 2 + from, span, run + 3);
            interpolate(span, tap[k], from, run, w.from() - whole, w.slope(), inCell + from);
        }
    }

    /** Copies n samples of a ring, from any place that lies less than one turn back. */
    private static void copy(double[] ring, int from, double[] to, int n) {
        int start = from < 0 ? from + ring.length : from;
        int first = Math.min(n, ring.length - start);
        System.arraycopy(ring, start, to, 0, first);
        System.arraycopy(ring, 0, to, first, n - first);
    }

    /**
     * Third-order Lagrange interpolation, f samples behind x[i + 2]: below 4 kHz at 48 kHz it loses less than 0.01 dB, which a
     * sound that comes round two hundred times needs.
     */
    private static void interpolate(double[] x, double[] y, int from, int n, double start, double slope, int time) {
        for (int i = 0; i < n; i++) {
            double f = start + slope * (time + i);
            double older = x[i], b = x[i + 1], a = x[i + 2], newer = x[i + 3];
            double c1 = b - newer * (1 / 3.0) - a * 0.5 - older * (1 / 6.0);
            double c2 = (newer + b) * 0.5 - a;
            double c3 = (older - newer) * (1 / 6.0) + (a - b) * 0.5;
            y[from + i] = ((c3 * f + c2) * f + c1) * f + a;
        }
    }

    private static void absorb(double[] a0, double[] a1, double[] a2, double[] a3, int n, int k, double[] fresh, double[] pole,
            double[] state) {
        double e0 = fresh[k], e1 = fresh[k + 1], e2 = fresh[k + 2], e3 = fresh[k + 3];
        double d0 = pole[k], d1 = pole[k + 1], d2 = pole[k + 2], d3 = pole[k + 3];
        double s0 = state[k], s1 = state[k + 1], s2 = state[k + 2], s3 = state[k + 3];
        for (int i = 0; i < n; i++) {
            a0[i] = s0 = a0[i] * e0 + s0 * d0;
            a1[i] = s1 = a1[i] * e1 + s1 * d1;
            a2[i] = s2 = a2[i] * e2 + s2 * d2;
            a3[i] = s3 = a3[i] * e3 + s3 * d3;
        }
        state[k] = s0;
        state[k + 1] = s1;
        state[k + 2] = s2;
        state[k + 3] = s3;
    }

    /** What a side hears: its eight lines, every second one turned over. */
    private static void listen(double[] a0, double[] a1, double[] a2, double[] a3, double[] a4, double[] a5, double[] a6,
            double[] a7, double[] y, int n) {
        for (int i = 0; i < n; i++) y[i] = ((a0[i] - a1[i]) + (a2[i] - a3[i])) + ((a4[i] - a5[i]) + (a6[i] - a7[i]));
    }

    /** Hadamard's matrix of order 8, unscaled: 24 additions. */
    private static void hadamard(double[] a0, double[] a1, double[] a2, double[] a3, double[] a4, double[] a5, double[] a6,
            double[] a7, int n) {
        for (int i = 0; i < n; i++) {
            double b0 = a0[i] + a1[i], b1 = a0[i] - a1[i], b2 = a2[i] + a3[i], b3 = a2[i] - a3[i];
            double b4 = a4[i] + a5[i], b5 = a4[i] - a5[i], b6 = a6[i] + a7[i], b7 = a6[i] - a7[i];
            double c0 = b0 + b2, c1 = b1 + b3, c2 = b0 - b2, c3 = b1 - b3;
            double c4 = b4 + b6, c5 = b5 + b7, c6 = b4 - b6, c7 = b5 - b7;
            a0[i] = c0 + c4;
            a1[i] = c1 + c5;
            a2[i] = c2 + c6;
            a3[i] = c3 + c7;
            a4[i] = c0 - c4;
            a5[i] = c1 - c5;
            a6[i] = c2 - c6;
            a7[i] = c3 - c7;
        }
    }

    /** The last step of the matrix of order 16, its scale 1/4, and what comes in from outside. */
    private static void cross(double[] a, double[] b, double[] x, int n) {
        for (int i = 0; i < n; i++) {
            double u = a[i], v = b[i], in = x[i];
            a[i] = in + 0.25 * (u + v);
            b[i] = in + 0.25 * (u - v);
        }
    }

    private void write(int k, int n) {
        double[] ring = line[k];
        int first = Math.min(n, ring.length - writeAt[k]);
        System.arraycopy(tap[k], 0, ring, writeAt[k], first);
        System.arraycopy(tap[k], first, ring, 0, n - first);
        writeAt[k] = (writeAt[k] + n) % ring.length;
    }

    private static void diffuse(double[] x, int n, double[][] lines, int[] at) {
        for (int k = 0; k < lines.length; k++) {
            for (int i = 0, run; i < n; i += run) {
                run = Math.min(n - i, lines[k].length - at[k]);
                allPass(x, i, run, lines[k], at[k]);
                at[k] = (at[k] + run) % lines[k].length;
            }
        }
    }

    /** Schroeder's all-pass, (-g + z^-D) / (1 - g z^-D). */
    private static void allPass(double[] x, int from, int n, double[] line, int at) {
        for (int i = 0; i < n; i++) {
            double old = line[at + i], v = x[from + i] + DIFFUSION * old;
            line[at + i] = v;
            x[from + i] = old - DIFFUSION * v;
        }
    }

    private static int primeFrom(int n) {
        int p = Math.max(2, n);
        while (!prime(p)) p++;
        return p;
    }

    private static boolean prime(int n) {
        for (int d = 2; d * d <= n; d++) if (n % d == 0) return false;
        return true;
    }
}
