package linnet.store;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicInteger;
import linnet.dsp.Sound;
import linnet.hear.Memory;
import linnet.render.Shelf;
import linnet.render.Signature;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A digest is taken once, and again as soon as its file may be another. */
class FileDigestsTest {
    @TempDir
    Path folder;

    private Path take;
    private final AtomicInteger kept = new AtomicInteger();
    private Instant now = Instant.now().plusSeconds(60);

    @BeforeEach
    void aTake() throws IOException {
        assumeTrue(FileSystems.getDefault().supportedFileAttributeViews().contains("unix"));
        take = folder.resolve("take.wav");
        Files.writeString(take, "one");
    }

    /** As another run would ask, which knows only what was kept. */
    private String digest() throws IOException {
        Store store = new Store(folder.resolve("kept"), 1 << 20);
        return new FileDigests(() -> now).of(take, new Shelf() {
            @Override
            public Optional<Sound> find(String signature) {
                return store.find(signature);
            }

            @Override
            public Place place(String signature, double rate, int channels) throws IOException {
                return store.place(signature, rate, channels);
            }

            @Override
            public Recollection recollection(String signature) {
                Recollection of = store.recollection(signature);
                return new Recollection() {
                    @Override
                    public Memory memory() {
                        return of.memory();
                    }

                    @Override
                    public void close() throws IOException {
                        kept.incrementAndGet();
                        of.close();
                    }
                };
            }
        });
    }

    private String bytes() throws IOException {
        try (InputStream in = Files.newInputStream(take)) {
            return Signature.digest(in);
        }
    }

    /** Whether the file was read: then something was kept. */
    private boolean isTaken() throws IOException {
        int before = kept.get();
        assertEquals(bytes(), digest());
        return kept.get() > before;
    }

    @Test
    void whatStaysAsItWasIsReadOnce() throws IOException {
        assertTrue(isTaken());
        assertFalse(isTaken());
    }

    @Test
    void anotherTextAnotherLengthAndAnotherFileAreRead() throws IOException {
        isTaken();
        FileTime modified = Files.getLastModifiedTime(take);
        Object changed = Files.getAttribute(take, "unix:ctime");
        // As if nothing had been written, as far as a program can tell so; a step of the system's clock later.
        while (changed.equals(Files.getAttribute(take, "unix:ctime"))) {
            Files.writeString(take, "two");
            Files.setLastModifiedTime(take, modified);
        }
        assertTrue(isTaken());
        Files.writeString(take, "three");
        assertTrue(isTaken());
        Path other = Files.writeString(folder.resolve("other"), "again");
        Files.move(other, take, StandardCopyOption.REPLACE_EXISTING);
        assertTrue(isTaken());
        assertFalse(isTaken());
    }

    /** Two changes within one step of a clock look like one. */
    @Test
    void whatWasChangedJustNowIsNotTrusted() throws IOException {
        now = Instant.now();
        for (int k = 0; k < 2; k++) {
            assertEquals(bytes(), digest());
            assertEquals(0, kept.get());
        }
    }

    @Test
    void whatIsDamagedIsTakenAgain() throws IOException {
        isTaken();
        Path fact;
        try (var files = Files.list(folder.resolve("kept"))) {
            fact = files.findFirst().orElseThrow();
        }
        byte[] whole = Files.readAllBytes(fact);
        for (int at = 0; at < whole.length; at += 7) {
            byte[] bytes = whole.clone();
            bytes[at] ^= 1;
            Files.write(fact, bytes);
            assertTrue(isTaken(), "byte " + at);
        }
    }

    /** A store where nothing can be written costs time, and nothing else. */
    @Test
    void withoutAStoreItIsTakenEachTime() throws IOException {
        Files.writeString(folder.resolve("kept"), "no folder");
        assertTrue(isTaken());
        assertTrue(isTaken());
    }
}
