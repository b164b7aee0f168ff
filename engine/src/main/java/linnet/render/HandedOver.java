package linnet.render;

import java.io.IOException;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Future;
import java.util.function.BooleanSupplier;
import linnet.dsp.Cell;
import linnet.render.Renderer.Sink;

/** Lets a sink listen on a thread of its own as soon as there is one to spare, at most some blocks behind whoever writes. */
final class HandedOver implements Sink, AutoCloseable {
    static final int BLOCK = 40 * Cell.LENGTH, MOST = 2;

    private final Sink to;
    private final int channels;
    private final BooleanSupplier spare;
    private final ExecutorService listener = SideBySide.pool(1);
    /** What is on its way, the oldest first; each gives its block back. */
    private final Deque<Future<double[][]>> behind = new ArrayDeque<>();
    private double[][] block;
    private int filled;
    private boolean hands;

    /** @param spare whether a thread has nothing else to do; then that stays so */
    HandedOver(Sink to, int channels, BooleanSupplier spare) {
        this.to = to;
        this.channels = channels;
        this.spare = spare;
    }

    /** @throws IOException what the sink had to say of an earlier block */
    @Override
    public void write(double[][] x, int n) throws IOException {
        hands = hands || spare.getAsBoolean();
        if (!hands) {
            to.write(x, n);
            return;
        }
        for (int done = 0; done < n; ) {
            if (block == null) block = behind.size() < MOST ? new double[channels][BLOCK] : SideBySide.outcome(behind.remove());
            int m = Math.min(n - done, BLOCK - filled);
            for (int c = 0; c < channels; c++) System.arraycopy(x[c], done, block[c], filled, m);
            filled += m;
            done += m;
            if (filled == BLOCK) hand();
        }
    }

    private void hand() {
        double[][] handed = block;
        int n = filled;
        behind.add(listener.submit(() -> {
            to.write(handed, n);
            return handed;
        }));
        block = null;
        filled = 0;
    }

    /** Hands over the rest, and comes back when the sink has heard all. */
    void finish() throws IOException {
        if (filled > 0) hand();
        while (!behind.isEmpty()) SideBySide.outcome(behind.remove());
    }

    /** Nothing more is heard, and nobody hears any more. */
    @Override
    public void close() {
        SideBySide.stop(listener);
    }
}
