package linnet.render;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.FutureTask;
import java.util.function.Supplier;

/** Does what is independent side by side. */
public final class SideBySide {
    private SideBySide() {}

    /** Something that was begun; a class and no lambda, as it is met before anything else. */
    public static final class Begun<T> implements Supplier<T> {
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
            try {
                return task.get();
            } catch (InterruptedException e) {
                throw interrupted(e);
            } catch (ExecutionException e) {
                throw failed(e);
            }
        }
    }

    /** Begins something of which the outcome is wanted later. */
    public static <T> Begun<T> begin(Callable<T> piece) {
        Begun<T> begun = new Begun<>(piece);
        Thread thread = new Thread(begun.task, "beside");
        thread.setDaemon(true);
        thread.start();
        return begun;
    }

    private static IllegalStateException interrupted(InterruptedException e) {
        Thread.currentThread().interrupt();
        return new IllegalStateException("interrupted", e);
    }

    private static RuntimeException failed(ExecutionException e) {
        if (e.getCause() instanceof IOException i) return new UncheckedIOException(i);
        return e.getCause() instanceof RuntimeException r ? r : new IllegalStateException(e.getCause());
    }

    /**
     * Does all of them, so many at once, and begins them in their order.
     *
     * @throws IOException the first of the list that failed
     */
    public static void run(List<Callable<Void>> pieces, int jobs) throws IOException {
        ExecutorService pool = Executors.newFixedThreadPool(jobs);
        try {
            List<Future<Void>> begun = new ArrayList<>();
            for (Callable<Void> p : pieces) begun.add(pool.submit(p));
            for (Future<Void> f : begun) f.get();
        } catch (InterruptedException e) {
            throw interrupted(e);
        } catch (ExecutionException e) {
            if (e.getCause() instanceof IOException i) throw i;
            throw failed(e);
        } finally {
            pool.shutdownNow();
        }
    }
}
