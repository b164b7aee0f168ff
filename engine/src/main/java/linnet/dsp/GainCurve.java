package linnet.dsp;

import java.util.Arrays;

/**
 * A gain over time: straight lines in dB between points, held before the first and after the last. Where it is 0 dB the sound
 * passes to the bit.
 */
public final class GainCurve {
    /** At this level, in dB, and below it, nothing passes. */
    public static final double SILENT = -150;
    /** Parts of equal length into which a fade is cut; with fewer its bend could be heard as a corner. */
    private static final int FADE_PARTS = 12;
    /** In the two at the silent end its course in dB bends ever more: there points lie nearer and nearer to that end, two in each halving of the way. */
    private static final int NEARER_POINTS = 10;

    private final long[] at;
    private final double[] db;

    private GainCurve(long[] at, double[] db) {
        this.at = at;
        this.db = db;
    }

    /** Points in order of time. */
    public static final class Builder {
        private long[] at = new long[64];
        private double[] db = new double[64];
        private int points;

        /**
         * The gain at a sample.
         *
         * @param sample no earlier than the last
         */
        public Builder point(long sample, double db) {
            if (points > 0 && sample < at[points - 1]) throw new IllegalArgumentException("points go back in time");
            if (points == at.length) {
                at = Arrays.copyOf(at, 2 * points);
                this.db = Arrays.copyOf(this.db, 2 * points);
            }
            at[points] = sample;
            this.db[points++] = db;
            return this;
        }

        public GainCurve build() {
            return new GainCurve(Arrays.copyOf(at, points), Arrays.copyOf(db, points));
        }
    }

    /** Takes the points of a fade, in order. */
    public interface FadePoints {
        /** @param share of the length of the fade that has passed, from 0 to 1 */
        void point(double share, double db);
    }

    /**
     * A raised cosine: no corner where it begins or ends. Its lines are within 0.5 dB of it from 0 to -80 dB; the last leads from there to silence, in a
     * two-hundredth of its length.
     */
    public static void fade(boolean in, FadePoints points) {
        double[] open = open();
        for (int k = 0; k < open.length; k++) {
            double at = open[in ? k : open.length - 1 - k];
            points.point(in ? at : 1 - at, fadeDb(at));
        }
    }

    /** How far it is open at its points, from 0, where all is silent, to 1, where all passes. */
    private static double[] open() {
        double[] open = new double[1 + NEARER_POINTS + FADE_PARTS - 1];
        for (int k = 2; k <= FADE_PARTS; k++) open[NEARER_POINTS + k - 1] = (double) k / FADE_PARTS;
        for (int k = NEARER_POINTS; k > 0; k--) open[k] = open[k + 1] * Math.sqrt(0.5);
        return open;
    }

    private static double fadeDb(double open) {
        double share = StrictMath.sin(Math.PI / 2 * open);
        return share == 0 ? SILENT : 40 * StrictMath.log10(share);
    }

    /** How many points it has. */
    public int points() {
        return at.length;
    }

    /** The sample of a point. */
    public long pointAt(int point) {
        return at[point];
    }

    /** The gain at a point, in dB. */
    public double pointDb(int point) {
        return db[point];
    }

    /** The gain at a sample, in dB. */
    public double db(long sample) {
        int after = after(sample);
        if (at.length == 0) return 0;
        if (after == 0) return db[0];
        if (after == at.length) return db[after - 1];
        return between(after, sample);
    }

    private double between(int after, long sample) {
        double share = (double) (sample - at[after - 1]) / (at[after] - at[after - 1]);
        return db[after - 1] + (db[after] - db[after - 1]) * share;
    }

    /**
     * Applies it.
     *
     * @param start the sample of the sound that {@code x[c][0]} is
     * @param gains scratch of at least n
     */
    public void process(long start, double[][] x, int channels, int n, double[] gains) {
        int after = after(start);
        for (int i = 0; i < n; ) {
            int to = after == at.length ? n : (int) Math.min(n, at[after] - start);
            if (isFlat(after)) {
                double level = db(start + i);
                if (level != 0) for (int c = 0; c < channels; c++) scale(x[c], i, to, gain(level));
            } else {
                slope(start + i, to - i, after, gains);
                for (int c = 0; c < channels; c++) for (int k = i; k < to; k++) x[c][k] *= gains[k - i];
            }
            i = to;
            after++;
        }
    }

    private boolean isFlat(int after) {
        return at.length == 0 || after == 0 || after == at.length || db[after] == db[after - 1];
    }

    /**
     * The one gain of a stretch, as a factor: 1 where the sound passes to the bit, 0 where nothing does; not a number where it moves.
     *
     * @param n samples from {@code start} on
     */
    public double steady(long start, int n) {
        int after = after(start);
        if (!isFlat(after) || after < at.length && at[after] < start + n) return Double.NaN;
        return gain(db(start));
    }

    private static double gain(double db) {
        return db <= SILENT ? 0 : Approximation.gain(db);
    }

    private static void scale(double[] x, int from, int to, double gain) {
        for (int i = from; i < to; i++) x[i] *= gain;
    }

    /** The gains of samples between two points. */
    private void slope(long start, int n, int after, double[] gains) {
        for (int i = 0; i < n; i++) gains[i] = between(after, start + i);
        Approximation.gains(gains, gains, n);
        if (Math.min(db[after - 1], db[after]) > SILENT) return;
        for (int i = 0; i < n; i++) if (between(after, start + i) <= SILENT) gains[i] = 0;
    }

    /** The first point that lies after a sample. */
    private int after(long sample) {
        int low = 0, high = at.length;
        while (low < high) {
            int middle = (low + high) >>> 1;
            if (at[middle] > sample) high = middle;
            else low = middle + 1;
        }
        return low;
    }
}
