package linnet.cli;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import linnet.audio.SoundFileException;
import linnet.deliver.Delivery;
import linnet.yaml.Siblings;

/** Something the user asked for that is not done, with the reason and the exit code. */
final class Refusal extends RuntimeException {
    private static final long serialVersionUID = 1;
    private final int code;
    private final transient Optional<Path> file;
    private final transient List<Delivery.Finding> checks;

    Refusal(int code, String message) {
        this(code, message, Optional.empty(), List.of());
    }

    private Refusal(int code, String message, Optional<Path> file, List<Delivery.Finding> checks) {
        super(message);
        this.code = code;
        this.file = file;
        this.checks = checks;
    }

    /** @param checks how each of them went, those that are kept too */
    static Refusal ofChecks(String message, List<Delivery.Finding> checks) {
        return new Refusal(Exit.CHECK, message, Optional.empty(), checks);
    }

    /** @param file that is not replaced */
    static Refusal there(Path file) {
        return of(file, Exit.USAGE, file + " is there already; say --force to replace it");
    }

    /** About one file, which the message names as it was named. */
    static Refusal of(Path file, int code, String message) {
        return new Refusal(code, message, Optional.of(file), List.of());
    }

    /** Why a sound file is not used, and which may have been meant. */
    static String words(SoundFileException e) {
        return e.getMessage() + hint(e);
    }

    /** The same of one among several, which is told as it was named. */
    static String wordsInFull(SoundFileException e) {
        return e.inFull() + hint(e);
    }

    private static String hint(SoundFileException e) {
        return e.isMissing() ? Siblings.hint(e.file()) : "";
    }

    int code() {
        return code;
    }

    /** That it is about; none where it is about none, or several. */
    Optional<Path> file() {
        return file;
    }

    /** Of the prints, where one of them fails; else none. */
    List<Delivery.Finding> checks() {
        return checks;
    }
}
