package linnet.render;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.function.Supplier;
import linnet.dsp.Sound;

/**
 * Adds a sum up on several threads. They take its blocks in turn, and each lays its block down when those before it lie there; whoever hears the sum meanwhile
 * waits for what is still to come.
 */
final class Adding implements AutoCloseable {
    /** Samples of a block: whole cells, of which a reader has so many ahead that none are read twice. */
    private static final int BLOCK = 2 * Ahead.LENGTH;

    /** Null once it is added up: those it is made of may go then. */
    private Supplier<Sound> sum;
    private final long frames;
    private final FineTape kept;
    private final int threads;
    private final SideBySide.Begun<Void> begun;
    /** Blocks that lie there. */
    private long laid;
    private RuntimeException failure;

    /**
     * Begins.
     *
     * @param sum gives one for each thread
     * @param bytes of memory for it; what finds no room there goes to a file
     */
    Adding(Supplier<Sound> sum, int threads, long bytes) {
        this.sum = sum;
        this.threads = threads;
        Sound one = sum.get();
        frames = one.frames();
        kept = new FineTape(one.rate(), one.channels(), frames, new Spool.Budget(bytes));
        begun = SideBySide.begin(this::run);
    }

    /** What is added up, from the first moment on. */
    FineTape kept() {
        return kept;
    }

    /** Waits until all of it lies there. */
    void await() {
        begun.get();
    }

    private Void run() throws IOException {
        List<Callable<Void>> pieces = new ArrayList<>();
        for (int t = 0; t < threads; t++) {
            int first = t;
            pieces.add(() -> {
                add(first);
                return null;
            });
        }
        try {
            SideBySide.run(pieces, threads);
        } finally {
            sum = null;
        }
        kept.finish();
        return null;
    }

    private void add(int first) {
        try {
            Sound own = sum.get();
            double[][] x = new double[own.channels()][BLOCK];
            for (long b = first; b * BLOCK < frames; b += threads) {
                int n = (int) Math.min(BLOCK, frames - b * BLOCK);
                own.read(b * BLOCK, x, n);
                lay(b, x, n);
            }
        } catch (RuntimeException e) {
            failed(e);
            throw e;
        } catch (Error e) {
            failed(new IllegalStateException(e));
            throw e;
        }
    }

    private synchronized void lay(long block, double[][] x, int n) {
        try {
            while (laid < block && failure == null) wait();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException("interrupted", e);
        }
        if (failure != null) throw failure;
        kept.append(x, n);
        laid++;
        notifyAll();
    }

    /** Whoever waits for the rest of it is told that there will be none. */
    private synchronized void failed(RuntimeException e) {
        if (failure == null) failure = e;
        notifyAll();
        kept.close();
    }

    /** Why it cannot be added up; empty where nothing is wrong so far. */
    synchronized Optional<RuntimeException> failure() {
        return Optional.ofNullable(failure);
    }

    /** Comes back when nobody works on it any more. */
    @Override
    public void close() {
        kept.close();
        begun.close();
    }
}
