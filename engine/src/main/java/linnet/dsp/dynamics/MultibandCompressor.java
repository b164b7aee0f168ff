package linnet.dsp.dynamics;

import java.util.Arrays;
import linnet.dsp.Cell;
import linnet.dsp.filter.LinkwitzRiley;

/**
 * A {@link Compressor} for each band of a {@link LinkwitzRiley} crossover, or none. At rest the bands sum to an all-pass: flat, and
 * without latency, but turned in phase around the splits.
 */
public final class MultibandCompressor {
    private final double rate;
    private final double[] splits;
    private final LinkwitzRiley left, right;
    private final Compressor[] compressors;
    private final double[][] l, r;

    /**
     * @param splits 1 to 4 frequencies in Hz, rising
     * @param laws from the lowest band up, one more than there are splits; null where a band passes through
     */
    public MultibandCompressor(double rate, double[] splits, Compression[] laws) {
        this.rate = rate;
        this.splits = splits.clone();
        left = new LinkwitzRiley(rate, splits);
        right = new LinkwitzRiley(rate, splits);
        compressors = Arrays.stream(laws).map(law -> law == null ? null : new Compressor(rate, law)).toArray(Compressor[]::new);
        l = new double[left.bands()][Cell.LENGTH];
        r = new double[right.bands()][Cell.LENGTH];
    }

    /** Of a band that has one. */
    public Detector detector(int band) {
        return compressors[band].detector();
    }

    /** Mono, in place. */
    public void process(double[] x, int n) {
        left.split(x, l, n);
        for (int b = 0; b < l.length; b++) if (compressors[b] != null) compressors[b].process(l[b], n);
        sum(l, x, n);
    }

    /** Stereo, in place, linked in each band. */
    public void process(double[] x, double[] y, int n) {
        left.split(x, l, n);
        right.split(y, r, n);
        for (int b = 0; b < l.length; b++) if (compressors[b] != null) compressors[b].process(l[b], r[b], n);
        sum(l, x, n);
        sum(r, y, n);
    }

    /** To be called at the end of each cell. */
    public void settle() {
        left.settle();
        right.settle();
        for (Compressor c : compressors) if (c != null) c.settle();
    }

    /** Whether silence leaves it as silence, wherever its settings move; at the border of a cell. */
    public boolean rests() {
        for (Compressor c : compressors) if (c != null && !c.rests()) return false;
        return left.rests() && right.rests();
    }

    /** As {@link #process} and {@link #settle} of a cell of silence. */
    public void rest() {
        left.settle();
        right.settle();
        for (Compressor c : compressors) if (c != null) c.rest();
    }

    /** Splits another signal too, and takes off each band what was taken off the last block of this one. */
    public Follower follower() {
        return new Follower();
    }

    /** A signal of its own, with the gains of these bands; it is given blocks right after the compressor, of the same length. */
    public final class Follower implements Led {
        private final LinkwitzRiley left = new LinkwitzRiley(rate, splits), right = new LinkwitzRiley(rate, splits);
        private final Compressor.Follower[] followers = Arrays.stream(compressors).map(c -> c == null ? null : c.follower())
                .toArray(Compressor.Follower[]::new);

        private Follower() {}

        @Override
        public void process(double[] x, int n) {
            left.split(x, l, n);
            for (int b = 0; b < l.length; b++) if (followers[b] != null) followers[b].process(l[b], n);
            sum(l, x, n);
        }

        @Override
        public void process(double[] x, double[] y, int n) {
            left.split(x, l, n);
            right.split(y, r, n);
            for (int b = 0; b < l.length; b++) if (followers[b] != null) followers[b].process(l[b], r[b], n);
            sum(l, x, n);
            sum(r, y, n);
        }

        @Override
        public void settle() {
            left.settle();
            right.settle();
        }

        @Override
        public boolean rests() {
            for (Compressor.Follower f : followers) if (f != null && !f.rests()) return false;
            return left.rests() && right.rests();
        }
    }

    private static void sum(double[][] bands, double[] x, int n) {
        System.arraycopy(bands[0], 0, x, 0, n);
        for (int b = 1; b < bands.length; b++) add(bands[b], x, n);
    }

    private static void add(double[] band, double[] x, int n) {
        for (int i = 0; i < n; i++) x[i] += band[i];
    }
}
