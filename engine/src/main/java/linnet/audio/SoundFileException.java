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
    /** What a caller tells apart. */
    private enum Kind { MISSING, THERE, OTHER }

    private final transient Path file;
    private final Kind kind;

    SoundFileException(Path file, String wrong, String remedy) {
        this(file, wrong, remedy, Kind.OTHER);
    }

    private SoundFileException(Path file, String wrong, String remedy, Kind kind) {
        super(file.getFileName() + ": " + wrong + "; " + remedy);
        this.file = file;
        this.kind = kind;
    }

    SoundFileException(Path file, String wrong, String remedy, IOException cause) {
        this(file, wrong + " (" + SystemWords.reason(cause) + ")", SystemWords.remedy(cause, remedy));
        initCause(cause);
    }

    static SoundFileException missing(Path file) {
        return new SoundFileException(file, "is not there", "check its name and folder", Kind.MISSING);
    }

    static SoundFileException there(Path file) {
        return new SoundFileException(file, "is there already", "give the print another name, or ask to overwrite", Kind.THERE);
    }

    /** The message with the file as it was named by the caller: of several that are called the same, its name alone does not tell which it is. */
    public String inFull() {
        return file + getMessage().substring(String.valueOf(file.getFileName()).length());
    }

    /** Whether it was to be read, and is not there. */
    public boolean isMissing() {
        return kind == Kind.MISSING;
    }

    /** Whether it was to be written and not to take the place of anything, and something is there. */
    public boolean isThere() {
        return kind == Kind.THERE;
    }

    /** The file as it was named by the caller. */
    public Path file() {
        return file;
    }
}
