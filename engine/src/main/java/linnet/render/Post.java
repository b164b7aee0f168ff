package linnet.render;

import java.util.Arrays;
import java.util.List;
import linnet.dsp.Cell;
import linnet.dsp.Silence;
import linnet.plan.Node;
import linnet.step.Block;
import linnet.step.Kernel;

/**
 * A node at work: adds its feeds up, lets the step run if it has one, and keeps the result for those it feeds. Where silence arrives at a
 * step that rests, the step is not run.
 */
final class Post {
    private final Node node;
    private final List<Supply> supplies;
    /** Null for a sum. */
    private final Kernel kernel;
    /** The results of the last chunks: those it feeds may be some chunks behind. */
    private final double[][][] outs;

    private final Block block = new Block();
    private final Block other = new Block();
    /** Nothing but zeros. */
    private final Block silence = new Block();
    /** Whether the kernel rested when this cell began, and nothing but silence has come since; whether all was silent so far in this cell, or in the last. */
    private boolean resting, quiet = true;
    /** Null if nobody watches. */
    private final Witness.Watch watch;
    private long nanos;

    /** @param kept chunks that are kept, each of so many frames */
    Post(Node node, List<Supply> supplies, Kernel kernel, Witness.Watch watch, int kept, int frames) {
        this.node = node;
        this.supplies = supplies;
        this.kernel = kernel;
        this.watch = watch;
        this.outs = new double[kept][node.channels()][frames];
    }

    Node node() {
        return node;
    }

    /** The result of a chunk: the last or one of those kept before it. */
    double[][] out(long chunk) {
        return outs[(int) (chunk % outs.length)];
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
        if (kernel != null) work();
        double[][] out = out(chunk);
        if (watch != null) began += timed(() -> watch.after(block.x(), out.length, n, kernel == null ? 0 : kernel.reductionDb()));
        for (int c = 0; c < out.length; c++) System.arraycopy(block.x(c), 0, out[c], within, n);
        nanos += System.nanoTime() - began;
    }

    private void work() {
        boolean silent = isSilent(supplies.get(0).channels());
        if (block.beginsCell()) {
            resting = quiet && (resting || kernel.rests());
            quiet = true;
        }
        if (resting && silent) {
            for (double[] x : block.x()) Arrays.fill(x, 0, block.length(), 0);
            if (!block.endsCell()) return;
            silence.place(block.cellStart(), Cell.LENGTH);
            kernel.rest(silence);
            return;
        }
        if (resting) wake();
        kernel.process(block);
        quiet &= silent && isSilent(node.channels());
        if (block.endsCell()) kernel.settle();
    }

    /** What has passed of this cell is made up for: it was silent, and so is what comes of it. */
    private void wake() {
        resting = false;
        if (block.beginsCell()) return;
        silence.place(block.cellStart(), (int) (block.start() - block.cellStart()));
        kernel.process(silence);
        for (double[] x : silence.x()) Arrays.fill(x, 0, silence.length(), 0);
    }

    private boolean isSilent(int channels) {
        for (int c = 0; c < channels; c++) if (!Silence.in(block.x(c), block.length())) return false;
        return true;
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
