package linnet.step;

import linnet.dsp.Cell;

/**
 * Up to a cell of samples, processed in place. It always has room for two channels, so that a step that makes stereo of
 * mono has where to write; which of them hold sound is the step's own matter.
 */
public final class Block {
    private final double[][] channels = new double[2][Cell.LENGTH];
    private int length;
    private long start;

    /** Samples of channel {@code c}, from index 0. */
    public double[] x(int c) {
        return channels[c];
    }

    /** Both channels. */
    public double[][] x() {
        return channels;
    }

    /** How many samples it holds; it never crosses the border of a {@link Cell}. */
    public int length() {
        return length;
    }

    /** Time of its first sample, in samples since the stream began. */
    public long start() {
        return start;
    }

    /** Time of the first sample of the cell it lies in. */
    public long cellStart() {
        return start - start % Cell.LENGTH;
    }

    /** True if it is the first of its cell. */
    public boolean beginsCell() {
        return start % Cell.LENGTH == 0;
    }

    /** True if it is the last of its cell. */
    public boolean endsCell() {
        return (start + length) % Cell.LENGTH == 0;
    }

    /** Moves it to another place; the samples are the caller's to fill. */
    public void place(long start, int length) {
        this.start = start;
        this.length = length;
    }
}
