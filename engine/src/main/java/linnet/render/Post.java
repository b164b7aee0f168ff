package linnet.render;

import java.util.List;
import java.util.Optional;
import linnet.dsp.Cell;
import linnet.plan.Node;
import linnet.step.Block;
import linnet.step.Kernel;
import linnet.step.Resting;

/**
 * A node at work: adds its feeds up, lets the step run if it has one, and keeps the result for those it feeds. Where silence arrives at a
 * step that rests, the step is not run.
 */
final class Post {
    private final Node node;
    private final List<Supply> supplies;
    /** Null for a sum. */
    private final Kernel kernel;
    private final Resting resting;
    /** The results of the last cell; and of the last chunks, where they are kept. */
    private final double[][] last;
    private double[][][] chunks;
    private boolean keeps;

    private final Block block = new Block();
    private final Block other = new Block();
    /** Null if nobody watches. */
    private final Witness.Watch watch;
    private long nanos;

    Post(Node node, List<Supply> supplies, Kernel kernel, Witness.Watch watch) {
        this.node = node;
        this.supplies = supplies;
        this.kernel = kernel;
        this.resting = kernel == null ? null : new Resting(kernel, supplies.get(0).channels(), node.channels());
        this.watch = watch;
        this.last = new double[node.channels()][Cell.LENGTH];
    }

    Node node() {
        return node;
    }

    /** Those whose results it takes. */
    List<Post> makers() {
        return supplies.stream().map(Supply::maker).flatMap(Optional::stream).toList();
    }

    /** Only those that read right after it read its results: no more than a cell of them is kept, which stays in the cache. */
    void keepCell() {
        keeps = false;
    }

    /** Others read its results chunk by chunk, and may be some chunks behind: the last so many are kept, each of so many frames. */
    void keepChunks(int count, int frames) {
        keeps = true;
        if (chunks == null) chunks = new double[count][node.channels()][frames];
    }

    /** The results of a chunk: the last or one of those kept before it; where none are kept, those of the last cell. */
    double[][] out(long chunk) {
        return keeps ? chunks[(int) (chunk % chunks.length)] : last;
    }

    /** Where in them a sample of the chunk lies. */
    int at(int within) {
        return keeps ? within : 0;
    }

    long memory() {
        return kernel == null ? 0 : kernel.memory();
    }

    /** Nanoseconds spent so far. */
    long nanos() {
        return nanos;
    }

    /**
     * Works on the samples {@code at … at + n - 1}, which lie in one cell.
     *
     * @param within where they begin in the chunk
     */
    void run(long chunk, int within, long at, int n) {
        long began = System.nanoTime();
        block.place(at, n);
        gather(chunk, within);
        if (watch != null) began += timed(() -> watch.before(block.x(), kernel == null ? node.channels() : supplies.get(0).channels(), n, at));
        if (kernel != null) resting.run(block);
        double[][] out = out(chunk);
        if (watch != null) began += timed(() -> watch.after(block.x(), out.length, n, kernel == null ? 0 : kernel.reductionDb()));
        for (int c = 0; c < out.length; c++) System.arraycopy(block.x(c), 0, out[c], at(within), n);
        nanos += System.nanoTime() - began;
    }

    /** Watching is no work of the step. */
    private static long timed(Runnable watching) {
        long began = System.nanoTime();
        watching.run();
        return System.nanoTime() - began;
    }

    private void gather(long chunk, int within) {
        int channels = kernel == null ? node.channels() : 1;
        supplies.get(0).fill(block, chunk, within, channels);
        for (int s = 1; s < supplies.size(); s++) {
            other.place(block.start(), block.length());
            supplies.get(s).fill(other, chunk, within, channels);
            for (int c = 0; c < channels; c++) add(block.x(c), other.x(c), block.length());
        }
    }

    private static void add(double[] to, double[] x, int n) {
        for (int i = 0; i < n; i++) to[i] += x[i];
    }
}
