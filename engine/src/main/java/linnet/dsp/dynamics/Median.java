package linnet.dsp.dynamics;

/** The median of many reductions in dB, by counting: exact within 0.005 dB, in the same memory however many they are. */
final class Median {
    private static final double PER_DB = 100;

    private final long[] counts = new long[(int) (200 * PER_DB)];
    private long all;

    void add(double db) {
        counts[(int) Math.max(0, Math.min(counts.length - 1, db * PER_DB + 0.5))]++;
        all++;
    }

    /** 0 if there are none. */
    double value() {
        long below = 0;
        int bin = 0;
        while (2 * (below + counts[bin]) < all) below += counts[bin++];
        return bin / PER_DB;
    }
}
