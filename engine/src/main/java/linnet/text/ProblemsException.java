package linnet.text;

import java.util.List;
import java.util.stream.Collectors;

/** A text that cannot be used, with everything that is wrong with it. */
public final class ProblemsException extends Exception {
    private final transient List<Problem> problems;

    public ProblemsException(List<Problem> problems) {
        super(problems.stream().map(Problem::show).collect(Collectors.joining("\n")));
        this.problems = List.copyOf(problems);
    }

    public List<Problem> problems() {
        return problems;
    }
}
