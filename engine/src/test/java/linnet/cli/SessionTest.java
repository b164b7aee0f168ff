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
        isReadAgain(new double[][] {{0.5, 0.25, 0.125}});
    }

    /** Of what is silent nothing is read, so that reading its beginning does not tell. */
    @Test
    void soIsOneThatBeginsSilently() throws IOException {
        double[][] x = new double[1][1 << 17];
        x[0][x[0].length - 1] = 0.5;
        isReadAgain(x);
    }

    private void isReadAgain(double[][] x) throws IOException {
        Store store = new Store(folder, 1 << 20);
        int n = x[0].length;
        try (Shelf.Place place = store.place("one", 48_000, 1)) {
            place.write(x, n);
            place.finish();
        }
        Shelf shelf = new Session().shelf(store);
        Sound found = shelf.find("one").orElseThrow();
        assertSame(found, shelf.find("one").orElseThrow());
        Thread.currentThread().interrupt();
        assertThrows(UncheckedIOException.class, () -> found.read(0, new double[1][n], n));
        assertTrue(Thread.interrupted());
        double[][] again = new double[1][n];
        shelf.find("one").orElseThrow().read(0, again, n);
        assertArrayEquals(x[0], again[0]);
    }
}
