package linnet.text;

import java.nio.file.Path;
import java.util.List;
import java.util.stream.Collectors;

/** A text that cannot be used, with everything that is wrong with it. */
public final class ProblemsException extends Exception {
    private final transient List<Problem> problems;
    private final transient List<Path> texts;

    ProblemsException(Problems problems) {
        super(problems.sorted().stream().map(Problem::show).collect(Collectors.joining("\n")));
        this.problems = problems.sorted();
        texts = problems.texts();
    }

    public List<Problem> problems() {
        return problems;
    }

    /** The files that were read up to there, those that are not there among them. */
    public List<Path> texts() {
        return texts;
    }
}
