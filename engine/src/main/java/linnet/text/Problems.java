package linnet.text;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** Collects every problem of a reading, so that the user sees all of them at once. */
public final class Problems {
    /** More than this says nothing new. */
    private static final int MOST = 50;

    private final List<Problem> found = new ArrayList<>();

    public void report(Span at, String message) {
        Problem problem = new Problem(at, message);
        if (!found.contains(problem)) found.add(problem);
    }

    public boolean isEmpty() {
        return found.isEmpty();
    }

    /** In the order of the text. */
    public List<Problem> sorted() {
        return found.stream().sorted(Comparator.comparing(Problem::at)).limit(MOST).toList();
    }

    /** Stops here if anything was found. */
    public void check() throws ProblemsException {
        if (!isEmpty()) throw new ProblemsException(sorted());
    }
}
