package linnet.audio;

import java.io.IOException;
import java.nio.file.Path;
import linnet.files.SystemWords;

/**
 * A sound file that cannot be read or written. The message has one form, {@code take.wav: what is wrong; what to do}.
 * Where only unchecked exceptions may pass ({@link linnet.dsp.Sound#read}), it is the cause of an
 * {@link java.io.UncheckedIOException}.
 */
public final class SoundFileException extends IOException {
    private final transient Path file;
    private final boolean missing;

    SoundFileException(Path file, String wrong, String remedy) {
        this(file, wrong, remedy, false);
    }

    private SoundFileException(Path file, String wrong, String remedy, boolean missing) {
        super(file.getFileName() + ": " + wrong + "; " + remedy);
        this.file = file;
        this.missing = missing;
    }

    SoundFileException(Path file, String wrong, String remedy, IOException cause) {
        this(file, wrong + " (" + SystemWords.reason(cause) + ")", SystemWords.remedy(cause, remedy));
        initCause(cause);
    }

    static SoundFileException missing(Path file) {
        return new SoundFileException(file, "is not there", "check its name and folder", true);
    }

    /** The message with the file as it was named by the caller: of several that are called the same, its name alone does not tell which it is. */
    public String inFull() {
        return file + getMessage().substring(String.valueOf(file.getFileName()).length());
    }

    /** Whether it was to be read, and is not there. */
    public boolean isMissing() {
        return missing;
    }

    /** The file as it was named by the caller. */
    public Path file() {
        return file;
    }
}
