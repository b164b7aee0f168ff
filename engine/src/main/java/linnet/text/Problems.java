package linnet.text;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
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
    private final Set<Span> settled = new HashSet<>();
    private final Set<Path> texts = new LinkedHashSet<>();
    private final Map<Path, SourceText> said = new LinkedHashMap<>();
    private final Map<Path, String> digests = new LinkedHashMap<>();
    private final List<SourceText> sources = new ArrayList<>();
    private final Map<Span, String> replaced = new HashMap<>();

    public void report(Span at, String message) {
        if (!settled.contains(at) && reported.add(at + " " + message)) found.add(new Problem(at, message));
    }

    /** Nothing more is said of this very place: what is wrong there is told already, and the rest comes of it. */
    public void settles(Span at) {
        settled.add(at);
    }

    /** Takes note of a file that is read. */
    public void reads(Path file) {
        texts.add(file.toAbsolutePath().normalize());
    }

    /**
     * Takes note of what a file says. One that is read more than once must say the same each time: else what is made of it goes by neither.
     *
     * @param digest by which the bytes that were read are known again
     */
    public void reads(Path file, SourceText source, String digest) {
        Path whole = file.toAbsolutePath().normalize();
        said.putIfAbsent(whole, source);
        sources.add(source);
        String before = digests.putIfAbsent(whole, digest);
        if (before != null && !before.equals(digest)) report(new Span(source, 1, 1, 1), "this was saved anew while it was read; try again");
    }

    /** Takes note of what holds no more, since a value is given that cannot stand beside it. */
    public void replaces(Span value, String what) {
        replaced.put(value, what);
    }

    /** What each value took the place of that took any. */
    public Map<Span, String> replaced() {
        return Map.copyOf(replaced);
    }

    /** By what the bytes of each file are known again as they were read, in the order in which that was. */
    public Map<Path, String> digests() {
        return Collections.unmodifiableMap(new LinkedHashMap<>(digests));
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
