package linnet.dsp;

/**
 * The fixed grid of absolute time on which everything that is not per sample happens. A kernel is handed blocks of 1 to
 * {@link #LENGTH} samples that never cross a cell border; live settings are read at the borders; denormals are settled at
 * the end of each cell. Because the grid belongs to time and not to the block, a render has the same bits however it is
 * cut.
 */
public final class Cell {
    /** Samples in a cell: 10 ms at 48 kHz. 480 doubles stay in L1 and avoid the 4096-byte stride. */
    public static final int LENGTH = 480;

    /** States smaller than this are zeroed at the end of a cell: far below any word length, far above a denormal. */
    public static final double SILENCE = 1e-30;

    private Cell() {}

    /** Zero where the state has died away, else the state itself. */
    public static double settled(double state) {
        return Math.abs(state) < SILENCE ? 0 : state;
    }
}
