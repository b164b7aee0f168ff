package linnet.dsp.reverb;

import linnet.dsp.Cell;

/** A steadily turning angle: its cosine and sine at each sample, the same at each moment of time whatever the blocks. */
final class Turn {
    /** Of the way turned since the border of the cell. */
    private final double[] cos = new double[Cell.LENGTH], sin = new double[Cell.LENGTH];
    private final double cellCos, cellSin;
    /** At the border of the cell. */
    private double c = 1, s;

    /** @param hz turns per second */
    Turn(double rate, double hz) {
        double step = 2 * Math.PI * hz / rate;
        for (int i = 0; i < Cell.LENGTH; i++) {
            cos[i] = StrictMath.cos(step * i);
            sin[i] = StrictMath.sin(step * i);
        }
        cellCos = StrictMath.cos(step * Cell.LENGTH);
        cellSin = StrictMath.sin(step * Cell.LENGTH);
    }

    /** Writes n cosines and sines, times {@code scale}, from {@code at} samples into the cell on. */
    void read(int at, int n, double scale, double[] toCos, double[] toSin) {
        System.arraycopy(cos, at, toCos, 0, n);
        System.arraycopy(sin, at, toSin, 0, n);
        rotate(toCos, toSin, n, scale * c, scale * s);
    }

    private static void rotate(double[] x, double[] y, int n, double c, double s) {
        for (int i = 0; i < n; i++) {
            double u = x[i], v = y[i];
            x[i] = c * u - s * v;
            y[i] = s * u + c * v;
        }
    }

    void nextCell() {
        double next = c * cellCos - s * cellSin;
        s = s * cellCos + c * cellSin;
        c = next;
    }
}
