package linnet.dsp;

/** Planar samples of known length that can be read from any place, more than once, by several threads. Full scale is 1.0. */
public interface Sound {
    /** Samples per second. */
    double rate();

    int channels();

    /** Length in samples per channel. */
    long frames();

    /**
     * Copies samples {@code from … from + n - 1} of each channel to index 0 of {@code into[channel]}. The span must lie
     * inside the sound.
     */
    void read(long from, double[][] into, int n);
}
