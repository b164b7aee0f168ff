package linnet.deliver;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import linnet.files.Unfinished;

/**
 * Prints that take their names, and what has those names now: that is kept under a second, hidden one until all have theirs, so that it can be put back. Only
 * an end in that very moment that nothing can wait for, as a loss of power, leaves some new beside some old, each of them whole.
 */
public final class Replacement implements AutoCloseable {
    /** Names that nothing has yet. */
    private final Set<Path> free = new HashSet<>();
    /** Second names of what has the others; of a link none, nor where the system of files knows no second names. */
    private final Map<Path, Path> kept = new LinkedHashMap<>();
    private final List<Path> taken = new CopyOnWriteArrayList<>();

    /** Looks what has the names of these now, before any of them takes its own. */
    public Replacement(Collection<PrintFile> prints) {
        for (PrintFile p : prints) {
            if (!Files.exists(p.path(), LinkOption.NOFOLLOW_LINKS)) free.add(p.path());
            else second(p.path()).ifPresent(s -> kept.put(p.path(), s));
        }
    }

    private static Optional<Path> second(Path there) {
        if (!Files.isRegularFile(there, LinkOption.NOFOLLOW_LINKS)) return Optional.empty();
        Path second = Unfinished.hidden(there);
        try {
            return Optional.of(Unfinished.FILES.begin(() -> Files.createLink(second, there)));
        } catch (IOException | UnsupportedOperationException e) {
            return Optional.empty();
        }
    }

    /**
     * Gives a print its name; several may get theirs at once.
     *
     * @throws IOException where it cannot have it
     */
    public void release(PrintFile print) throws IOException {
        print.release();
        taken.add(print.path());
    }

    /**
     * Lets every name have what it had.
     *
     * @return those that have a new print all the same
     */
    public List<Path> undo() {
        List<Path> stay = new ArrayList<>();
        for (Path p : taken) {
            try {
                if (kept.containsKey(p)) Unfinished.FILES.take(kept.get(p), p, true);
                else if (free.contains(p)) Files.delete(p);
                else stay.add(p);
            } catch (IOException e) {
                stay.add(p);
            }
        }
        return stay;
    }

    /**
     * Lets go of what was kept.
     *
     * @throws IOException where some of it stays under its second name
     */
    @Override
    public void close() throws IOException {
        for (Path second : kept.values()) Unfinished.FILES.drop(second);
    }
}
