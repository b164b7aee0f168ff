package linnet.render;

import java.util.List;
import linnet.dsp.Cell;
import linnet.plan.Node;
import linnet.step.Block;
import linnet.step.Kernel;

/** A node at work: adds its feeds up, lets the step run if it has one, and keeps the result for those it feeds. */
final class Post {
    private final Node node;
    private final List<Supply> supplies;
    /** Null for a sum. */
    private final Kernel kernel;
    private final double[][] out;
    private final Block block = new Block();
    private final Block other = new Block();
    private long nanos;

    Post(Node node, List<Supply> supplies, Kernel kernel, double[][] out) {
        this.node = node;
        this.supplies = supplies;
        this.kernel = kernel;
        this.out = out;
    }

    Node node() {
        return node;
    }

    double[][] out() {
        return out;
    }

    long memory() {
        return kernel == null ? 0 : kernel.memory();
    }

    /** Time spent so far. */
    double seconds() {
        return nanos * 1e-9;
    }

    void fetch(long at, int n) {
        for (Supply s : supplies) s.fetch(at, n);
    }

    /** Works through the samples {@code at … at + n - 1}, cut at the borders of cells. */
    void run(long at, int n) {
        long began = System.nanoTime();
        for (int done = 0; done < n; ) {
            int piece = (int) Math.min(n - done, Cell.LENGTH - (at + done) % Cell.LENGTH);
            block.place(at + done, piece);
            gather(done);
            if (kernel != null) {
                kernel.process(block);
                if (block.endsCell()) kernel.settle();
            }
            for (int c = 0; c < node.channels(); c++) System.arraycopy(block.x(c), 0, out[c], done, piece);
            done += piece;
        }
        nanos += System.nanoTime() - began;
    }

    private void gather(int within) {
        int channels = kernel == null ? node.channels() : 1;
        supplies.get(0).fill(block, within, channels);
        for (int s = 1; s < supplies.size(); s++) {
            other.place(block.start(), block.length());
            supplies.get(s).fill(other, within, channels);
            for (int c = 0; c < channels; c++) add(block.x(c), other.x(c), block.length());
        }
    }

    private static void add(double[] to, double[] x, int n) {
        for (int i = 0; i < n; i++) to[i] += x[i];
    }
}
