package linnet.text;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** Collects every problem of a reading, so that the user sees all of them at once. */
public final class Problems {
    /** More than this says nothing new. */
    private static final int MOST = 50;

    private final List<Problem> found = new ArrayList<>();
    private final Set<String> reported = new HashSet<>();
    private final Set<Path> texts = new LinkedHashSet<>();
    private final Map<Path, SourceText> said = new LinkedHashMap<>();
    private final List<SourceText> sources = new ArrayList<>();

    public void report(Span at, String message) {
        if (reported.add(at + " " + message)) found.add(new Problem(at, message));
    }

    /** Takes note of a file that is read. */
    public void reads(Path file) {
        texts.add(file.toAbsolutePath().normalize());
    }

    /** Takes note of what a file says. */
    public void reads(Path file, SourceText source) {
        said.putIfAbsent(file.toAbsolutePath().normalize(), source);
        sources.add(source);
    }

    /** What each file said when it was first read. */
    public Map<Path, SourceText> said() {
        return Map.copyOf(said);
    }

    /** All that was read, as often as it was. */
    public List<SourceText> sources() {
        return List.copyOf(sources);
    }

    /** The files that were read, each once, in the order in which they were begun. */
    public List<Path> texts() {
        return List.copyOf(texts);
    }

    public boolean isEmpty() {
        return found.isEmpty();
    }

    /** In the order of the text. */
    public List<Problem> sorted() {
        return found.stream().sorted(Comparator.comparing(Problem::at)).limit(MOST).toList();
    }

    /** What is thrown where a text cannot be used. */
    public ProblemsException failed() {
        return new ProblemsException(this);
    }

    /** Stops here if anything was found. */
    public void check() throws ProblemsException {
        if (!isEmpty()) throw failed();
    }
}
