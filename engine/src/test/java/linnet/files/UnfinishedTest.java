package linnet.files;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.concurrent.CountDownLatch;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** What an end leaves of files under way. */
@Timeout(60)
class UnfinishedTest {
    @TempDir
    Path folder;

    private final Unfinished files = new Unfinished();

    private Path part(String name) {
        return folder.resolve(name + ".part");
    }

    private static Thread begun(Runnable what) {
        Thread thread = new Thread(what);
        thread.setDaemon(true);
        thread.start();
        return thread;
    }

    private static void awaitStandstill(Thread thread) throws InterruptedException {
        while (thread.getState() != Thread.State.WAITING) Thread.sleep(1);
    }

    @Test
    void whatHasNoNameOfItsOwnGoesAndTheRestStays() throws IOException {
        for (String name : new String[] {"named", "dropped", "left"}) files.begin(() -> Files.createFile(part(name)));
        files.name(part("named"), () -> Files.move(part("named"), folder.resolve("print.wav")));
        // Another has that name since.
        Files.createFile(part("named"));
        files.drop(part("dropped"));
        Files.createFile(part("dropped"));
        assertThrows(NoSuchFileException.class, () -> files.name(part("left"), () -> Files.move(part("left"), folder.resolve("no/print.wav"))));
        files.end();
        assertTrue(Files.exists(folder.resolve("print.wav")) && Files.exists(part("named")) && Files.exists(part("dropped")));
        assertFalse(Files.exists(part("left")));
    }

    @Test
    void whatIsDroppedIsGone() throws IOException {
        files.begin(() -> Files.createFile(part("dropped")));
        files.drop(part("dropped"));
        assertFalse(Files.exists(part("dropped")));
        files.drop(part("dropped"));
    }

    /** What goes wrong in an act leaves no count of it behind. */
    @Test
    void anEndWaitsForNoActThatWentWrong() throws Exception {
        Unfinished.Act<Path> wrong = () -> {
            throw new IOException("no room");
        };
        assertThrows(IOException.class, () -> files.begin(wrong));
        assertThrows(IOException.class, () -> files.name(part("none"), wrong));
        assertThrows(IOException.class, () -> files.together(wrong));
        Thread end = begun(files::end);
        end.join(5000);
        assertFalse(end.isAlive());
    }

    private Path begun(String target) throws IOException {
        Path part = Unfinished.hidden(folder.resolve(target));
        files.begin(() -> Files.createFile(part));
        return Files.writeString(part, "ours");
    }

    @Test
    void aFileThatCameMeanwhileStaysAndIsTold() throws IOException {
        Path target = folder.resolve("print.wav"), part = begun("print.wav");
        Files.writeString(target, "theirs");
        assertThrows(FileAlreadyExistsException.class, () -> files.take(part, target, false));
        assertEquals("theirs", Files.readString(target));
        assertEquals("ours", Files.readString(part));
        files.take(part, target, true);
        assertEquals("ours", Files.readString(target));
        assertFalse(Files.exists(part));
    }

    @Test
    void aLinkIsNoFreeNameAndIsReplacedItself() throws IOException {
        Path link = Files.createSymbolicLink(folder.resolve("link"), folder.resolve("elsewhere")), part = begun("link");
        assertThrows(FileAlreadyExistsException.class, () -> files.take(part, link, false));
        files.take(part, link, true);
        assertTrue(Files.isRegularFile(link, LinkOption.NOFOLLOW_LINKS));
        assertFalse(Files.exists(folder.resolve("elsewhere")));
    }

    /** A name that was claimed is let go where nothing comes to have it. */
    @Test
    void ofWhatIsGoneNothingHasTheName() throws IOException {
        Path part = begun("print.wav");
        Files.delete(part);
        assertThrows(NoSuchFileException.class, () -> files.take(part, folder.resolve("print.wav"), false));
        assertFalse(Files.exists(folder.resolve("print.wav")));
    }

    @Test
    void twoHaveNoHiddenNameInCommonAndLieBesideTheTarget() {
        Path target = folder.resolve("print.wav"), one = Unfinished.hidden(target), other = Unfinished.hidden(target);
        assertFalse(one.equals(other));
        assertEquals(folder, one.getParent());
        // By which they are known: robustness.md says that what is left may be deleted, and a store tidies it away.
        assertTrue(one.getFileName().toString().startsWith(".linnet-") && one.toString().endsWith(".part"));
    }

    @Test
    void anEndWaitsForWhatIsDoneTogetherAndForThoseBeside() throws Exception {
        CountDownLatch under = new CountDownLatch(1), goOn = new CountDownLatch(1);
        Thread act = begun(() -> {
            try {
                files.together(() -> {
                    under.countDown();
                    await(goOn::await);
                    // Beside it, while an end waits already.
                    await(begun(() -> make("beside"))::join);
                    return Files.createFile(folder.resolve("done"));
                });
            } catch (IOException e) {
                throw new AssertionError(e);
            }
        });
        under.await();
        Thread end = begun(files::end);
        awaitStandstill(end);
        goOn.countDown();
        end.join();
        act.join();
        assertTrue(Files.exists(folder.resolve("done")));
        assertFalse(Files.exists(part("beside")));
    }

    private interface Waiting {
        void await() throws InterruptedException;
    }

    private static void await(Waiting what) {
        try {
            what.await();
        } catch (InterruptedException e) {
            throw new AssertionError(e);
        }
    }

    private void make(String name) {
        try {
            files.begin(() -> Files.createFile(part(name)));
        } catch (IOException e) {
            throw new AssertionError(e);
        }
    }

    /** However many go on making files: once an end waits, those under way are the last. */
    @Test
    void anEndComesWhileManyMakeFiles() throws Exception {
        // What was done together before gives nobody a right to begin now.
        files.together(() -> files.begin(() -> Files.createFile(part("of a group"))));
        for (int k = 0; k < 16; k++) {
            String name = "part " + k;
            begun(() -> {
                while (true) {
                    make(name);
                    try {
                        files.drop(part(name));
                    } catch (IOException e) {
                        throw new AssertionError(e);
                    }
                }
            });
        }
        Thread.sleep(100);
        Thread end = begun(files::end);
        end.join(5000);
        assertFalse(end.isAlive());
        try (var all = Files.list(folder)) {
            assertEquals(0, all.count());
        }
    }

    @Test
    void nothingIsBegunNorToldAfterAnEnd() throws Exception {
        files.end();
        for (Thread late : new Thread[] {begun(() -> make("late")), begun(files::awaitEnd)}) {
            awaitStandstill(late);
            late.interrupt();
            Thread.sleep(20);
            awaitStandstill(late);
        }
        try (var all = Files.list(folder)) {
            assertEquals(0, all.count());
        }
    }
}
