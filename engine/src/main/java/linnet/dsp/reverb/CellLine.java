package linnet.dsp.reverb;

import linnet.dsp.Cell;

/**
 * A delay line as a ring of cells: what comes out of it is worked on in the very cell where it goes in again. So sample i of a cell is at
 * index i in every array, and the loops over it are over one bare index: the compiler makes vectors only of such.
 */
final class CellLine {
    private final int length;
    private final double[][] ring;
    private int at;
    /** The cell of now. */
    double[] now;

    /** @param length in samples, 1 or more */
    CellLine(int length) {
        this.length = length;
        ring = new double[1 + (length + Cell.LENGTH - 1) / Cell.LENGTH][Cell.LENGTH];
        now = ring[0];
    }

    int length() {
        return length;
    }

    /** Puts what went in its length ago into the samples {@code from … to - 1} of now, at most as many as it is long. */
    void read(int from, int to) {
        for (int i = from, piece; i < to; i += piece) {
            int then = i - length, index = Math.floorMod(then, Cell.LENGTH);
            piece = Math.min(to - i, Cell.LENGTH - index);
            System.arraycopy(cell(then), index, now, i, piece);
        }
    }

    void nextCell() {
        at = (at + 1) % ring.length;
        now = ring[at];
    }

    /** Zeroes what has died away; true if nothing is left. */
    boolean settle() {
        return Lines.settle(ring);
    }

    /** Energy of what is in the line when so many samples of now have gone in. */
    double energy(int inCell) {
        double sum = 0;
        for (int i = inCell - length; i < inCell; i++) {
            double v = cell(i)[Math.floorMod(i, Cell.LENGTH)];
            sum += v * v;
        }
        return sum;
    }

    /** The cell that holds sample i, counted from the start of the cell of now; i is not positive, or within it. */
    private double[] cell(int i) {
        return ring[Math.floorMod(at + Math.floorDiv(i, Cell.LENGTH), ring.length)];
    }
}
