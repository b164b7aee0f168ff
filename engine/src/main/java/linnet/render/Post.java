package linnet.render;

import java.util.List;
import java.util.Optional;
import linnet.plan.Node;
import linnet.step.Block;
import linnet.step.Kernel;
import linnet.step.Resting;

/**
 * A node at work: adds its feeds up, lets the step run if it has one, and leaves the result to those it feeds, as {@link Pipeline#join} says. Where
 * silence arrives at a step that rests, the step is not run.
 */
final class Post {
    /**
     * So many runs are timed each; then one of so many, a number that shares no factor with the steps in which spectra move on: else a step that works now and
     * then would always be met at work, or never.
     */
    private static final int TIMED = 1000, TIMED_LATER = 17;

    private final Node node;
    private final List<Supply> supplies;
    /** Null where nothing is done but to add. */
    private final Kernel kernel;
    private final Resting resting;
    /** The results of the last chunks, where they are kept; else they stay in the block. */
    private double[][][] chunks;
    private boolean keeps;

    private final Block own = new Block();
    private final Block other = new Block();
    /** Where it works: its own, or that of the one it goes on after. */
    private Block block = own;
    /** Null if nobody watches. */
    private final Witness.Watch watch;
    private long nanos, runs;

    Post(Node node, List<Supply> supplies, Kernel kernel, Witness.Watch watch) {
        this.node = node;
        this.supplies = supplies;
        this.kernel = kernel;
        this.resting = kernel == null ? null : new Resting(kernel, supplies.get(0).channels(), node.channels());
        this.watch = watch;
    }

    Node node() {
        return node;
    }

    /** Those whose results it takes. */
    List<Post> makers() {
        return supplies.stream().map(Supply::maker).flatMap(Optional::stream).toList();
    }

    /** The one whose results it takes as they are, if there is only that one. */
    Optional<Post> sole() {
        return supplies.size() == 1 && supplies.get(0).isPlain(kernel == null ? node.channels() : 1) ? supplies.get(0).maker() : Optional.empty();
    }

    /** Results stay in its block, for those that read them right after it. */
    void keepCell() {
        keeps = false;
        block = own;
    }

    /** Others read its results chunk by chunk, and may be some chunks behind: the last so many are kept, each of so many frames, as many as ever after. */
    void keepChunks(int count, int frames) {
        keeps = true;
        if (chunks == null) chunks = new double[count][node.channels()][frames];
    }

    /** Works on what its maker leaves in the block, which nobody else reads and which the maker has for it alone. */
    void goOn(Post maker) {
        block = maker.block;
    }

    /** The results of a chunk: the last or one of those kept before it; where none are kept, those of the last cell. */
    double[][] out(long chunk) {
        return keeps ? chunks[(int) (chunk % chunks.length)] : block.x();
    }

    /** Where in them a sample of the chunk lies. */
    int at(int within) {
        return keeps ? within : 0;
    }

    long memory() {
        return kernel == null ? 0 : kernel.memory();
    }

    /** Nanoseconds spent so far, about. */
    long nanos() {
        return nanos;
    }

    /**
     * Works on the samples {@code at … at + n - 1}, which lie in one cell.
     *
     * @param within where they begin in the chunk
     */
    void run(long chunk, int within, long at, int n) {
        // The clock costs as much as a small step does: once all is compiled, one run stands for some.
        int stands = runs < TIMED ? 1 : runs % TIMED_LATER == 0 ? TIMED_LATER : 0;
        runs++;
        long began = stands == 0 ? 0 : System.nanoTime();
        block.place(at, n);
        if (block == own) gather(chunk, within);
        if (watch != null) began += timed(() -> watch.before(block.x(), kernel == null ? node.channels() : supplies.get(0).channels(), n, at));
        if (kernel != null) resting.run(block);
        if (watch != null) began += timed(() -> watch.after(block.x(), node.channels(), n, kernel == null ? 0 : kernel.reductionDb()));
        if (keeps) {
            double[][] out = out(chunk);
            for (int c = 0; c < out.length; c++) System.arraycopy(block.x(c), 0, out[c], within, n);
        }
        if (stands > 0) nanos += stands * (System.nanoTime() - began);
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
