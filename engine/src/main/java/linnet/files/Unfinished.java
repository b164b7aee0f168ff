package linnet.files;

import java.io.IOException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.HashSet;
import java.util.Set;
import java.util.concurrent.ThreadLocalRandom;

/**
 * Files under way, each under a name that is not its own yet. Where the user ends the program, its threads go on for a moment and nobody closes what they
 * write: {@link #end} then deletes it, and has whoever would begin, name or drop a file wait for the end, so that nothing is left and nothing goes wrong that
 * would be told.
 */
public final class Unfinished {
    /** Those of this run of the program. */
    public static final Unfinished FILES = new Unfinished();

    /** Something done with files. */
    public interface Act<T> {
        T done() throws IOException;
    }

    /**
     * A name beside a target that by all odds nothing has: for what has no name of its own yet, or none any more. Whoever writes there makes the file anew, so
     * that a link which lies in wait is never followed.
     */
    public static Path hidden(Path target) {
        return target.resolveSibling(".linnet-" + Long.toHexString(ThreadLocalRandom.current().nextLong()) + ".part");
    }

    private final Set<Path> under = new HashSet<>();
    /** How many acts go on that an end waits for. */
    private int acts;
    /** How many of them are done together with others, which may begin while they go on. */
    private int groups;
    /** Whether the program is being ended, and whether that is done. */
    private boolean ending, ended;

    /**
     * Makes a file, or another name of one, that goes with the end of the program.
     *
     * @param made gives its name
     * @throws IOException where it cannot be made
     */
    public Path begin(Act<Path> made) throws IOException {
        enter();
        try {
            Path part = made.done();
            know(part);
            return part;
        } finally {
            leave();
        }
    }

    /**
     * Gives a file that is whole its name, in one act. A name that must be new is claimed first, so that no file that came meanwhile is lost.
     *
     * @param replaces whether what has that name now is replaced; of a link the link
     * @throws FileAlreadyExistsException where it must be new and is not
     * @throws IOException where it cannot be had; the file is then as unfinished as before
     */
    public void take(Path part, Path target, boolean replaces) throws IOException {
        name(part, () -> replaces ? moved(part, target) : claimed(part, target));
    }

    private static Path claimed(Path part, Path target) throws IOException {
        Files.createFile(target);
        try {
            return moved(part, target);
        } catch (IOException e) {
            Files.deleteIfExists(target);
            throw e;
        }
    }

    private static Path moved(Path part, Path target) throws IOException {
        return Files.move(part, target, StandardCopyOption.ATOMIC_MOVE);
    }

    /**
     * Gives a file the name that it stays under, by an act that moves it there.
     *
     * @throws IOException where it cannot be moved; it is then as unfinished as before
     */
    void name(Path part, Act<?> moved) throws IOException {
        enter();
        try {
            moved.done();
            forget(part);
        } finally {
            leave();
        }
    }

    /**
     * Deletes a file, if it is there.
     *
     * @throws IOException where it stays
     */
    public void drop(Path part) throws IOException {
        name(part, () -> Files.deleteIfExists(part));
    }

    /**
     * Does all of something or, where the program is ended before, none. Those beside whom it needs to come to its end may begin what they do meanwhile.
     *
     * @throws IOException where it goes wrong
     */
    public <T> T together(Act<T> act) throws IOException {
        enter();
        count(1);
        try {
            return act.done();
        } finally {
            count(-1);
            leave();
        }
    }

    /** Comes back at once; never where the program is being ended, as what goes wrong then is the end itself. */
    public void awaitEnd() {
        enter();
        leave();
    }

    /** Where an end waits, nothing comes before it any more but what the acts that it waits for need. */
    private synchronized void enter() {
        while (ended || ending && groups == 0) pause();
        acts++;
    }

    private synchronized void count(int more) {
        groups += more;
    }

    private synchronized void leave() {
        acts--;
        notifyAll();
    }

    private synchronized void know(Path part) {
        under.add(part);
    }

    private synchronized void forget(Path part) {
        under.remove(part);
    }

    /** An interrupt is no reason to go on: who is interrupted now is ended with the rest. */
    private void pause() {
        try {
            wait();
        } catch (InterruptedException e) {
            // Waits on.
        }
    }

    /** Deletes what has no name of its own, once no act goes on; the last that is done before the program is over. */
    public synchronized void end() {
        ending = true;
        while (acts > 0) pause();
        ended = true;
        for (Path part : under) {
            try {
                Files.deleteIfExists(part);
            } catch (IOException e) {
                // The folder was taken away, or may not be written any more; there is nobody left to tell.
            }
        }
    }
}
