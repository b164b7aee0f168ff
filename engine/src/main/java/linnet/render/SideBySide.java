package linnet.render;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;

/** Does what is independent side by side. */
public final class SideBySide {
    private SideBySide() {}

    /**
     * Begins something that can be done meanwhile.
     *
     * @return waits until it is done
     */
    public static Runnable meanwhile(Runnable piece) {
        Thread thread = new Thread(piece, "meanwhile");
        thread.setDaemon(true);
        thread.start();
        return () -> {
            try {
                thread.join();
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
                throw new IllegalStateException("interrupted", e);
            }
        };
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
            Thread.currentThread().interrupt();
            throw new IllegalStateException("interrupted", e);
        } catch (ExecutionException e) {
            if (e.getCause() instanceof IOException i) throw i;
            throw e.getCause() instanceof RuntimeException r ? r : new IllegalStateException(e.getCause());
        } finally {
            pool.shutdownNow();
        }
    }
}
