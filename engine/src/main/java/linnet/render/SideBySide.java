package linnet.render;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.FutureTask;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;

/** Does what is independent side by side. */
public final class SideBySide {
    private SideBySide() {}

    /** Something that was begun; a class and no lambda, as it is met before anything else. */
    public static final class Begun<T> implements Supplier<T>, AutoCloseable {
        private final FutureTask<T> task;

        private Begun(Callable<T> piece) {
            task = new FutureTask<>(piece);
        }

        /**
         * Waits for what comes of it.
         *
         * @throws UncheckedIOException where it failed so
         */
        @Override
        public T get() {
            return done(task);
        }

        /** Waits until it is over, whatever comes of it. */
        @Override
        public void close() {
            SideBySide.end(task);
        }
    }

    /** Waits until it is over, whatever comes of it, and also where this thread is interrupted meanwhile. */
    static void end(Future<?> begun) {
        boolean interrupted = false;
        for (boolean over = false; !over; ) {
            try {
                begun.get();
                over = true;
            } catch (InterruptedException e) {
                interrupted = true;
            } catch (ExecutionException | CancellationException e) {
                // What came of it is of no interest here.
                over = true;
            }
        }
        if (interrupted) Thread.currentThread().interrupt();
    }

    /** Begins something of which the outcome is wanted later. */
    public static <T> Begun<T> begin(Callable<T> piece) {
        Begun<T> begun = new Begun<>(piece);
        daemon(begun.task).start();
        return begun;
    }

    /** Has something done where the program ends, by itself or by its user; no longer than that takes does it go on then. */
    public static void atEnd(Runnable last) {
        try {
            Runtime.getRuntime().addShutdownHook(new Thread(last, "end"));
        } catch (IllegalStateException e) {
            // It is ending already.
            last.run();
        }
    }

    /** Does both at once; comes back when both are done. */
    static void both(Runnable one, Runnable other) {
        Begun<Void> beside = begin(() -> {
            other.run();
            return null;
        });
        try {
            one.run();
        } catch (RuntimeException | Error e) {
            // What became of the other is not why this failed; but it must not go on.
            beside.close();
            throw e;
        }
        beside.get();
    }

    private static Thread daemon(Runnable work) {
        Thread thread = new Thread(work, "beside");
        thread.setDaemon(true);
        return thread;
    }

    /** Threads for whoever does more than one thing with them; ended by {@link #stop}. The program does not wait for them. */
    static ExecutorService pool(int threads) {
        return Executors.newFixedThreadPool(threads, SideBySide::daemon);
    }

    /**
     * Interrupts what still runs, and comes back when all of it is over: beside something that failed nothing may go on while its files are given up. That
     * takes as long as it takes, also where this thread is interrupted meanwhile.
     */
    static void stop(ExecutorService pool) {
        pool.shutdownNow();
        await(pool);
    }

    private static void await(ExecutorService pool) {
        boolean interrupted = false;
        for (boolean over = false; !over; ) {
            try {
                over = pool.awaitTermination(1, TimeUnit.MINUTES);
            } catch (InterruptedException e) {
                interrupted = true;
                pool.shutdownNow();
            }
        }
        if (interrupted) Thread.currentThread().interrupt();
    }

    /**
     * Waits for what comes of something.
     *
     * @throws IOException where it failed so
     */
    static <T> T outcome(Future<T> begun) throws IOException {
        try {
            return begun.get();
        } catch (InterruptedException e) {
            throw interrupted(e);
        } catch (ExecutionException e) {
            if (e.getCause() instanceof IOException i) throw i;
            throw failed(e);
        }
    }

    /**
     * The same for who expects no trouble with files.
     *
     * @throws UncheckedIOException where it failed so
     */
    static <T> T done(Future<T> begun) {
        try {
            return outcome(begun);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static IllegalStateException interrupted(InterruptedException e) {
        Thread.currentThread().interrupt();
        return new IllegalStateException("interrupted", e);
    }

    static RuntimeException failed(ExecutionException e) {
        return e.getCause() instanceof RuntimeException r ? r : new IllegalStateException(e.getCause());
    }

    /**
     * Does all of them, so many at once, and begins them in their order; none that is left where one has failed. What is under way then comes to its end: an
     * interrupt would close the files that it reads, and somebody may want them yet.
     *
     * @return what came of each
     * @throws IOException the first of the list that failed
     */
    public static <T> List<T> run(List<? extends Callable<T>> pieces, int jobs) throws IOException {
        if (pieces.isEmpty()) return List.of();
        ExecutorService pool = pool(Math.min(jobs, pieces.size()));
        List<Future<T>> begun = new ArrayList<>();
        List<T> all = new ArrayList<>();
        try {
            for (Callable<T> p : pieces) begun.add(pool.submit(p));
            for (Future<T> f : begun) all.add(outcome(f));
            return all;
        } finally {
            if (Thread.currentThread().isInterrupted()) pool.shutdownNow();
            begun.forEach(f -> f.cancel(false));
            pool.shutdown();
            await(pool);
        }
    }
}
