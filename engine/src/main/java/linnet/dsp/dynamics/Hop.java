package linnet.dsp.dynamics;

import linnet.dsp.Cell;

/** Of the samples that a detector takes together: so many at 44.1 kHz and up, and at lower rates fewer, so that a hop lasts no longer than there. */
final class Hop {
    private static final double FULL_RATE = 44_100;

    private Hop() {}

    /** Samples in a hop: a whole number of hops fills a cell. */
    static int at(double rate, int full) {
        int most = (int) Math.min(full, Math.max(1, full * rate / FULL_RATE));
        while (Cell.LENGTH % most != 0) most--;
        return most;
    }
}
