package linnet.dsp.dynamics;

/** The median of many reductions in dB, by counting: exact within 0.01 dB to 100 dB, in the same memory however many they are. */
final class Median {
    private static final double PER_DB = 50;

    /** Small enough to stay in the first-level cache. */
    private final int[] counts = new int[(int) (100 * PER_DB)];
    private long all;

    void add(double db) {
        counts[(int) Math.max(0, Math.min(counts.length - 1, db * PER_DB + 0.5))]++;
        all++;
    }

    /** This, with what another has counted too. */
    Median with(Median other) {
        for (int b = 0; b < counts.length; b++) counts[b] += other.counts[b];
        all += other.all;
        return this;
    }

    /** 0 if there are none. */
    double value() {
        long below = 0;
        int bin = 0;
        while (2 * (below + counts[bin]) < all) below += counts[bin++];
        return bin / PER_DB;
    }
}
