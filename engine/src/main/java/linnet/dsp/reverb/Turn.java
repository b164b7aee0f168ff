package linnet.dsp.reverb;

import linnet.dsp.Cell;

/** A steadily turning angle: its cosine and sine at each sample of a cell, the same at each moment of time whatever the blocks. */
final class Turn {
    /** Of the way turned since the border of the cell. */
    private final double[] wayCos = new double[Cell.LENGTH], waySin = new double[Cell.LENGTH];
    /** Of the angle, scaled, at each sample of this cell. */
    final double[] cos = new double[Cell.LENGTH], sin = new double[Cell.LENGTH];
    private final double cellCos, cellSin, scale;
    /** At the border of the cell. */
    private double c = 1, s;

    /**
     * @param hz turns per second
     * @param scale of the cosines and sines
     */
    Turn(double rate, double hz, double scale) {
        this.scale = scale;
        double step = 2 * Math.PI * hz / rate;
        for (int i = 0; i < Cell.LENGTH; i++) {
            wayCos[i] = StrictMath.cos(step * i);
            waySin[i] = StrictMath.sin(step * i);
        }
        cellCos = StrictMath.cos(step * Cell.LENGTH);
        cellSin = StrictMath.sin(step * Cell.LENGTH);
    }

    /** To be called at the border of a cell in which the angle is asked for. */
    void fill() {
        rotate(wayCos, waySin, cos, sin, scale * c, scale * s);
    }

    private static void rotate(double[] u, double[] v, double[] x, double[] y, double c, double s) {
        for (int i = 0; i < Cell.LENGTH; i++) {
            x[i] = c * u[i] - s * v[i];
            y[i] = s * u[i] + c * v[i];
        }
    }

    void nextCell() {
        double next = c * cellCos - s * cellSin;
        s = s * cellCos + c * cellSin;
        c = next;
    }
}
