package linnet.dsp.dynamics;

import linnet.dsp.Cell;

/** Holds a signal back by a whole number of samples, so that a detector hears what is to come. */
final class DelayLine {
    private final int delay;
    private final double[] ring;
    private int write;

    DelayLine(int delay) {
        this.delay = delay;
        ring = new double[delay + Cell.LENGTH];
    }

    /** Replaces n samples by those that came {@code delay} samples before them. */
    void process(double[] x, int n) {
        int before = Math.min(n, ring.length - write);
        System.arraycopy(x, 0, ring, write, before);
        System.arraycopy(x, before, ring, 0, n - before);
        int read = write - delay;
        if (read < 0) read += ring.length;
        before = Math.min(n, ring.length - read);
        System.arraycopy(ring, read, x, 0, before);
        System.arraycopy(ring, 0, x, before, n - before);
        write += n;
        if (write >= ring.length) write -= ring.length;
    }
}
