package linnet.deliver;

import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import linnet.render.SideBySide;

/**
 * Lets the disk have prints while they are made. Where one takes the place of another, the system sees to it that the new one lies on the disk first; left to
 * the end, nothing else could be done in that time.
 */
public final class ToDisk implements AutoCloseable {
    private static final long PAUSE_MS = 100;

    private final List<PrintFile> prints = new CopyOnWriteArrayList<>();
    private final SideBySide.Begun<Void> begun = SideBySide.begin(this::go);
    private boolean ended;

    /** One more print under way. */
    public void add(PrintFile print) {
        prints.add(print);
    }

    private Void go() throws InterruptedException {
        while (!hasEnded()) for (PrintFile p : prints) p.toDisk();
        return null;
    }

    private synchronized boolean hasEnded() throws InterruptedException {
        if (!ended) wait(PAUSE_MS);
        return ended;
    }

    private synchronized void end() {
        ended = true;
        notifyAll();
    }

    /** Comes back when it has left the files alone. */
    @Override
    public void close() {
        end();
        begun.get();
    }
}
