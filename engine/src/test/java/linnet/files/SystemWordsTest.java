package linnet.files;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.NoSuchFileException;
import org.junit.jupiter.api.Test;

/** What a user is told of what the system says. The words for EMFILE are those of the GNU C library, of ENFILE too. */
class SystemWordsTest {
    private static final String OPEN_MORE = "too few files may be open at once here: say 'ulimit -n 1024' before, in a new shell where this one refuses that";

    @Test
    void tooFewOpenFilesAreNoFaultOfTheFile() {
        for (String words : new String[] {"Too many open files", "Too many open files in system"}) {
            IOException e = new FileSystemException("/songs/two.wav", null, words);
            assertEquals(words, SystemWords.reason(e));
            assertEquals(OPEN_MORE, SystemWords.remedy(e, "check the disk"));
            // A stream says it in another form.
            assertEquals(OPEN_MORE,
                    SystemWords.remedy(new IOException("/songs/two.wav (" + words + ")"), "check the disk"));
        }
        assertEquals("check the disk", SystemWords.remedy(new FileSystemException("/songs/two.wav", null, "Input/output error"), "check the disk"));
    }

    @Test
    void noReasonIsOnlyAPath() {
        assertEquals("it is a file, not a folder; move it away", SystemWords.reason(new FileAlreadyExistsException("/songs/.linnet")));
        assertEquals("it may not be written or read", SystemWords.reason(new AccessDeniedException("/songs/.linnet")));
        assertEquals("it is not there", SystemWords.reason(new NoSuchFileException("/songs/two.wav")));
        // Where the system says more than the kind of the fault that is told.
        assertEquals("Read-only file system", SystemWords.reason(new AccessDeniedException("/songs/.linnet", null, "Read-only file system")));
        assertEquals("IOException", SystemWords.reason(new IOException()));
    }
}
