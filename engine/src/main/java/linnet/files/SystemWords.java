package linnet.files;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.NoSuchFileException;

/** What the system says of a file that it refuses, and what is to be done where the file is not to blame. */
public final class SystemWords {
    /** EMFILE and ENFILE of POSIX, as the C library words them in the locale of the launcher. */
    private static final String NO_MORE_OPEN = "Too many open files";
    /** Several times what a song of many parts opens. */
    private static final String OPEN_MORE = "too few files may be open at once here: say 'ulimit -n 1024' before, in a new shell where this one refuses that";

    private SystemWords() {}

    /** Why, without the path that stands before it in the message of a {@link FileSystemException}. */
    public static String reason(IOException e) {
        String words = e instanceof FileSystemException f ? f.getReason() : e.getMessage();
        if (words != null) return words;
        // Only where a folder is wanted does anything come to this.
        if (e instanceof FileAlreadyExistsException) return "it is a file, not a folder; move it away";
        if (e instanceof AccessDeniedException) return "it may not be written or read";
        return e instanceof NoSuchFileException ? "it is not there" : e.getClass().getSimpleName();
    }

    /**
     * What to do.
     *
     * @param usual where it is the file or its folder
     */
    public static String remedy(IOException e, String usual) {
        return isOutOfFiles(e) ? OPEN_MORE : usual;
    }

    /** Whether it was refused because of how many are open, and not because of itself. */
    public static boolean isOutOfFiles(IOException e) {
        return reason(e).contains(NO_MORE_OPEN);
    }
}
