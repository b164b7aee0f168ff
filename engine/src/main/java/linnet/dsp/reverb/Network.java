package linnet.dsp.reverb;

import linnet.dsp.Cell;

/**
 * A feedback delay network: delay lines whose outputs, each less the {@link Absorption} of its length, are mixed
 * by an orthogonal matrix and fed back (J.-M. Jot, A. Chaigne, "Digital delay networks for designing artificial
 * reverberators", AES 1991). The matrix is Hadamard's, so what one line holds goes to all alike and no energy is made or lost
 * but by the absorption.
 *
 * <p>Lengths are distinct primes, evenly spread on a logarithmic scale, so that echoes seldom coincide. Schroeder all-passes
 * before the lines scatter every echo, the same on either side, so that a sound in the middle needs them once. The left side
 * feeds the even lines and the right the odd ones; the sides listen likewise.
 *
 * <p>The matrix turns: after Hadamard's, lines are rotated pair by pair through a slowly growing angle (S. J. Schlecht,
 * E. A. P. Habets, "Time-varying feedback matrices in feedback delay networks", JASA 138(3), 2015, from memory). At each
 * moment it is orthogonal, so the decay stays exact; but no mode stands still long enough to ring, and unlike with wandering
 * read points no pitch moves and nothing is interpolated.
 *
 * <p>Level: with g_i the gain of line i at the mid frequency and incoherent echoes, noise of unit power through input gain b fills
 * every line to b^2 / (1 - mean g^2), and a side hears the sum of g_i^2 times that over its lines; b makes it 1.
 *
 * <p>Lines and all-passes are {@link CellLine}s, so sample i of a cell is at index i in every array here, and the loops are short and over
 * one bare index.
 */
final class Network implements Room {
    /**
     * Lines of most rooms, and of one whose decay is {@link #LONG} seconds or more against the scale of its lines. Its modes are as
     * dense as all lines together are long, and as wide as the decay is short: where they would stand apart, it takes more lines.
     */
    private static final int FEW = 8, MANY = 16;
    private static final double LONG = 2.2;
    /** Seconds, at size 1 and a decay of {@link #HALL} or more; a room of shorter decay is smaller. */
    private static final double SHORTEST = 0.029, LONGEST = 0.097, HALL = 1.5;
    /** Seconds: the all-passes of either side. */
    private static final double[] DIFFUSERS = {0.00083, 0.00171, 0.00361, 0.00733, 0.0127};
    private static final double DIFFUSION = 0.65;
    /** Turns per second of the first half of the pairs and of the second; in each half, every other pair turns backwards. */
    private static final double SLOW = 0.36, FAST = 0.58;

    private final int lines;
    private final double inputGain;
    private final CellLine[] line;
    private final double[] fresh, pole, state;
    private final Turn slow, fast;
    private final CellLine[][] diffuser = new CellLine[2][DIFFUSERS.length];
    /** The cell of now of each line. */
    private final double[][] tap;
    private final double[] inLeft = new double[Cell.LENGTH], inRight = new double[Cell.LENGTH], heard = new double[Cell.LENGTH];
    private final int longestRun;
    /** Samples since the last border of a cell. */
    private int inCell;
    private boolean silent = true, angled;

    /**
     * @param size length of the lines: 1 is what suits the decay
     * @param decay seconds to fall by 60 dB in the mid bands
     * @param damping how much shorter the decay is at 8 kHz: 0 to 0.8
     */
    Network(double rate, double size, double decay, double damping) {
        double scale = scale(size, decay);
        int[] lengths = lengths(rate, size, decay);
        lines = lengths.length;
        line = new CellLine[lines];
        tap = new double[lines][];
        fresh = new double[lines];
        pole = new double[lines];
        state = new double[lines];
        double kept = 0, leaving = 0;
        for (int k = 0; k < lines; k++) {
            line[k] = new CellLine(lengths[k]);
            tap[k] = line[k].now;
            Absorption loss = Absorption.of(rate, lengths[k], decay, damping);
            fresh[k] = loss.gain() * (1 - loss.pole());
            pole[k] = loss.pole();
            double g = loss.mid(rate);
            kept += g * g / lines;
            leaving += g * g / 2;
        }
        longestRun = Math.min(Cell.LENGTH, firstArrival());
        slow = new Turn(rate, SLOW, 1 / Math.sqrt(lines));
        fast = new Turn(rate, FAST, 1 / Math.sqrt(lines));
        // A lossless network never stops filling, so it has no level to match.
        inputGain = kept < 1 ? Math.sqrt((1 - kept) / leaving) : 1;
        for (int side = 0; side < 2; side++) {
            for (int k = 0; k < DIFFUSERS.length; k++) {
                diffuser[side][k] = new CellLine(Math.max(1, (int) Math.round(DIFFUSERS[k] * Math.min(1, scale) * rate)));
            }
        }
    }

    private static double scale(double size, double decay) {
        return size * Math.sqrt(Math.min(1, decay / HALL));
    }

    /** Samples of each line, the shortest first. */
    static int[] lengths(double rate, double size, double decay) {
        double scale = scale(size, decay);
        int[] lengths = new int[decay < LONG * scale ? FEW : MANY];
        int last = 0;
        for (int k = 0; k < lengths.length; k++) {
            double seconds = SHORTEST * StrictMath.pow(LONGEST / SHORTEST, k / (lengths.length - 1.0));
            last = primeFrom(Math.max(last + 1, (int) Math.round(scale * seconds * rate)));
            lengths[k] = last;
        }
        return lengths;
    }

    @Override
    public int firstArrival() {
        return line[0].length();
    }

    @Override
    public int longestLine() {
        return line[lines - 1].length();
    }

    @Override
    public void process(double[] l, double[] r, int n) {
        if (silent && Lines.silent(l, r, n)) {
            inCell += n;
            return;
        }
        diffuse(l, inLeft, n, diffuser[0]);
        diffuse(r, inRight, n, diffuser[1]);
        feed(inLeft, inRight, l, r, n);
    }

    /** Both sides have the same all-passes, so what is alike on both need pass them only once. */
    @Override
    public void processMono(double[] l, double[] r, int n) {
        if (silent && Lines.silent(l, l, n)) {
            System.arraycopy(l, 0, r, 0, n);
            inCell += n;
            return;
        }
        diffuse(l, inLeft, n, diffuser[0]);
        feed(inLeft, inLeft, l, r, n);
    }

    private void feed(double[] left, double[] right, double[] l, double[] r, int n) {
        silent = false;
        if (!angled) {
            slow.fill();
            fast.fill();
            angled = true;
        }
        double[][] a = tap;
        for (int done = 0, run; done < n; done += run, inCell += run) {
            run = Math.min(n - done, longestRun);
            int from = inCell, to = inCell + run;
            for (CellLine each : line) each.read(from, to);
            for (int k = 0; k < lines; k += 8) {
                absorb(a[k], a[k + 1], a[k + 2], a[k + 3], a[k + 4], a[k + 5], a[k + 6], a[k + 7], from, to, k, fresh, pole, state);
            }
            hear(0, from, to);
            System.arraycopy(heard, from, l, done, run);
            hear(1, from, to);
            System.arraycopy(heard, from, r, done, run);
            for (int k = 0; k < lines; k += 4) hadamard(a[k], a[k + 1], a[k + 2], a[k + 3], from, to);
            if (lines == MANY) for (int k = 0; k < lines; k += k % 8 == 3 ? 5 : 1) hadamard(a[k], a[k + 4], from, to);
            turn(slow, 0, left, right, from, to);
            turn(fast, lines / 4, left, right, from, to);
        }
    }

    @Override
    public boolean rests() {
        return silent;
    }

    @Override
    public void settle() {
        inCell = 0;
        slow.nextCell();
        fast.nextCell();
        angled = false;
        if (silent) return;
        boolean quiet = true;
        for (double s : state) quiet &= Math.abs(s) < Cell.SILENCE;
        if (quiet) {
            boolean empty = Lines.settle(state);
            for (CellLine each : line) empty &= each.settle();
            for (CellLine[] side : diffuser) for (CellLine each : side) empty &= each.settle();
            silent = empty;
        }
        for (int k = 0; k < lines; k++) {
            line[k].nextCell();
            tap[k] = line[k].now;
        }
        for (CellLine[] side : diffuser) for (CellLine each : side) each.nextCell();
    }

    /** Energy stored in the lines: constant where nothing is absorbed. */
    double energy() {
        double sum = 0;
        for (CellLine each : line) sum += each.energy(inCell);
        return sum;
    }

    /** Eight lines at once: as many recurrences in flight hide each other's latency. */
    private static void absorb(double[] a0, double[] a1, double[] a2, double[] a3, double[] a4, double[] a5, double[] a6, double[] a7,
            int from, int to, int k, double[] fresh, double[] pole, double[] state) {
        double e0 = fresh[k], e1 = fresh[k + 1], e2 = fresh[k + 2], e3 = fresh[k + 3], e4 = fresh[k + 4], e5 = fresh[k + 5], e6 = fresh[k + 6],
                e7 = fresh[k + 7];
        double d0 = pole[k], d1 = pole[k + 1], d2 = pole[k + 2], d3 = pole[k + 3], d4 = pole[k + 4], d5 = pole[k + 5], d6 = pole[k + 6], d7 = pole[k + 7];
        double s0 = state[k], s1 = state[k + 1], s2 = state[k + 2], s3 = state[k + 3], s4 = state[k + 4], s5 = state[k + 5], s6 = state[k + 6],
                s7 = state[k + 7];
        for (int i = from; i < to; i++) {
            a0[i] = s0 = a0[i] * e0 + s0 * d0;
            a1[i] = s1 = a1[i] * e1 + s1 * d1;
            a2[i] = s2 = a2[i] * e2 + s2 * d2;
            a3[i] = s3 = a3[i] * e3 + s3 * d3;
            a4[i] = s4 = a4[i] * e4 + s4 * d4;
            a5[i] = s5 = a5[i] * e5 + s5 * d5;
            a6[i] = s6 = a6[i] * e6 + s6 * d6;
            a7[i] = s7 = a7[i] * e7 + s7 * d7;
        }
        state[k] = s0;
        state[k + 1] = s1;
        state[k + 2] = s2;
        state[k + 3] = s3;
        state[k + 4] = s4;
        state[k + 5] = s5;
        state[k + 6] = s6;
        state[k + 7] = s7;
    }

    private void hear(int side, int from, int to) {
        double[][] a = tap;
        listen(a[side], a[side + 2], a[side + 4], a[side + 6], heard, from, to);
        if (lines == MANY) listenToo(a[side + 8], a[side + 10], a[side + 12], a[side + 14], heard, from, to);
    }

    /** What a side hears of four lines, every second one turned over. */
    private static void listen(double[] a0, double[] a1, double[] a2, double[] a3, double[] y, int from, int to) {
        for (int i = from; i < to; i++) y[i] = (a0[i] - a1[i]) + (a2[i] - a3[i]);
    }

    /** Adds four more. */
    private static void listenToo(double[] a0, double[] a1, double[] a2, double[] a3, double[] y, int from, int to) {
        for (int i = from; i < to; i++) y[i] += (a0[i] - a1[i]) + (a2[i] - a3[i]);
    }

    /**
     * Hadamard's matrix of order 4, unscaled. That of order 8 is it over neighbours, then that of order 2 over every fourth; for
     * 16, that of order 2 again over every eighth. The last of order 2 is part of the turn.
     */
    private static void hadamard(double[] a0, double[] a1, double[] a2, double[] a3, int from, int to) {
        for (int i = from; i < to; i++) {
            double p = a0[i] + a1[i], q = a0[i] - a1[i], r = a2[i] + a3[i], s = a2[i] - a3[i];
            a0[i] = p + r;
            a1[i] = q + s;
            a2[i] = p - r;
            a3[i] = q - s;
        }
    }

    /** Hadamard's matrix of order 2, unscaled. */
    private static void hadamard(double[] a, double[] b, int from, int to) {
        for (int i = from; i < to; i++) {
            double u = a[i] + b[i], v = a[i] - b[i];
            a[i] = u;
            b[i] = v;
        }
    }

    /** Half of the pairs, every second of them backwards; and the input. */
    private void turn(Turn turn, int firstLine, double[] left, double[] right, int from, int to) {
        for (int k = firstLine; k < firstLine + lines / 4; k++) {
            double[] a = tap[k], b = tap[k + lines / 2], x = k % 2 == 0 ? left : right;
            if (k % 2 == 0) rotate(a, b, x, from, to, turn.cos, turn.sin);
            else rotate(b, a, x, from, to, turn.cos, turn.sin);
        }
    }

    /** The last stage of Hadamard's matrix over a pair, then its rotation. */
    private static void rotate(double[] a, double[] b, double[] x, int from, int to, double[] cos, double[] sin) {
        for (int i = from; i < to; i++) {
            double u = a[i] + b[i], v = a[i] - b[i];
            a[i] = x[i] + (cos[i] * u + sin[i] * v);
            b[i] = x[i] + (cos[i] * v - sin[i] * u);
        }
    }

    private void diffuse(double[] x, double[] y, int n, CellLine[] passes) {
        for (int i = 0; i < n; i++) y[inCell + i] = inputGain * x[i];
        for (CellLine pass : passes) {
            for (int from = inCell, to; from < inCell + n; from = to) {
                to = Math.min(inCell + n, from + pass.length());
                pass.read(from, to);
                allPass(y, pass.now, from, to);
            }
        }
    }

    /** Schroeder's, (-g + z^-D) / (1 - g z^-D). */
    private static void allPass(double[] x, double[] line, int from, int to) {
        for (int i = from; i < to; i++) {
            double old = line[i], in = x[i] + DIFFUSION * old;
            line[i] = in;
            x[i] = old - DIFFUSION * in;
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
