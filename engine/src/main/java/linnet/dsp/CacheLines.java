package linnet.dsp;

/**
 * Arrays for loops over several at once. Each fills whole lines of a processor's cache, of 64 bytes, so those made one after another begin
 * alike in their lines: where the vectors of one have been brought to lie within lines, those of all do, and none is read in two
 * halves. Only the speed depends on it, never a result.
 */
public final class CacheLines {
    private static final int LINE = 8, HEADER = 2; // in doubles

    private CacheLines() {}

    /** At least n zeroes. */
    public static double[] array(int n) {
        return new double[(n + HEADER + LINE - 1) / LINE * LINE - HEADER];
    }
}
