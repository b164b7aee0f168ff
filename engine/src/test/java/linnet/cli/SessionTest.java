package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import linnet.dsp.Sound;
import linnet.render.Shelf;
import linnet.store.Store;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What one run of the program knows from one render to the next. */
class SessionTest {
    @TempDir
    Path folder;

    /** A thread that is stopped while it reads a file closes it; the next render of a watch must not find it so. */
    @Test
    void aSoundThatWasClosedIsOpenedAgain() throws IOException {
        Store store = new Store(folder, 1 << 20);
        double[][] x = {{0.5, 0.25, 0.125}};
        try (Shelf.Place place = store.place("one", 48_000, 1)) {
            place.write(x, 3);
            place.finish();
        }
        Shelf shelf = new Session().shelf(store);
        Sound found = shelf.find("one").orElseThrow();
        assertSame(found, shelf.find("one").orElseThrow());
        Thread.currentThread().interrupt();
        assertThrows(UncheckedIOException.class, () -> found.read(0, new double[1][3], 3));
        assertTrue(Thread.interrupted());
        double[][] again = new double[1][3];
        shelf.find("one").orElseThrow().read(0, again, 3);
        assertArrayEquals(x[0], again[0]);
    }
}
