package linnet.dsp.reverb;

import linnet.dsp.Cell;

/** A slow sine in samples, drawn as straight lines from one cell border to the next: the same at each moment of time, whatever the blocks. */
final class Wander {
    private final double depth, turnCos, turnSin;
    private double cos, sin;
    private double from, slope;

    /**
     * @param depth samples to either side of 0
     * @param hz pace
     * @param phase radians at the start
     */
    Wander(double rate, double depth, double hz, double phase) {
        double turn = 2 * Math.PI * hz * Cell.LENGTH / rate;
        this.depth = depth;
        turnCos = StrictMath.cos(turn);
        turnSin = StrictMath.sin(turn);
        cos = StrictMath.cos(phase);
        sin = StrictMath.sin(phase);
        nextCell();
    }

    /** Moves on by one cell. */
    void nextCell() {
        double c = cos * turnCos - sin * turnSin;
        double s = sin * turnCos + cos * turnSin;
        from = depth * sin;
        slope = depth * (s - sin) / Cell.LENGTH;
        cos = c;
        sin = s;
    }

    /** Value at the start of this cell, and its change per sample. */
    double from() {
        return from;
    }

    double slope() {
        return slope;
    }

    /** Value {@code time} samples into this cell. */
    double at(int time) {
        return from + slope * time;
    }

    /** For how many of n samples, from {@code time} on, the value keeps its whole part. */
    int runOf(int whole, int time, int n) {
        if (Math.floor(at(time + n - 1)) == whole) return n;
        int run = 1;
        while (run < n && Math.floor(at(time + run)) == whole) run++;
        return run;
    }
}
