package linnet.cli;

import linnet.audio.SoundFileException;
import linnet.yaml.Siblings;

/** Something the user asked for that is not done, with the reason and the exit code. */
final class Refusal extends RuntimeException {
    private static final long serialVersionUID = 1;
    private final int code;

    Refusal(int code, String message) {
        super(message);
        this.code = code;
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
}
