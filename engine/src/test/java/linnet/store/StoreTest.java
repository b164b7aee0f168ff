package linnet.store;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import linnet.dsp.Sound;
import linnet.render.Shelf;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class StoreTest {
    /** Where the system tells what a process holds open. */
    private static final Path OPEN = Path.of("/proc/self/fd");

    @TempDir
    Path folder;

    private final double[][] x = new double[2][100_000];

    StoreTest() {
        SplittableRandom random = new SplittableRandom(1);
        for (double[] c : x) for (int i = 0; i < c.length; i++) c[i] = (float) (4 * random.nextDouble() - 2);
    }

    private Store store() {
        return new Store(folder.resolve("kept"), 10 << 20);
    }

    private void keep(String signature) throws IOException {
        try (Shelf.Place place = store().place(signature, 48_000, 2)) {
            place.write(x, 99_000);
            place.write(new double[][] {Arrays.copyOfRange(x[0], 99_000, 100_000), Arrays.copyOfRange(x[1], 99_000, 100_000)}, 1000);
            place.finish();
        }
    }

    private Path file() throws IOException {
        try (Stream<Path> files = Files.list(folder.resolve("kept"))) {
            return files.findFirst().orElseThrow();
        }
    }

    @Test
    void givesBackWhatWasKept() throws IOException {
        assertTrue(store().find("a").isEmpty());
        keep("a");
        Sound sound = store().find("a").orElseThrow();
        assertEquals(List.of(48_000.0, 2, 100_000L), List.of(sound.rate(), sound.channels(), sound.frames()));
        double[][] y = new double[2][100_000];
        sound.read(0, y, 50_000);
        double[][] rest = new double[2][50_000];
        sound.read(50_000, rest, 50_000);
        for (int c = 0; c < 2; c++) System.arraycopy(rest[c], 0, y[c], 50_000, 50_000);
        assertArrayEquals(x, y);
        assertTrue(store().find("b").isEmpty());
    }

    /** Whatever lies silent in it, and where it ends, to the bit: a negative zero is no silence. */
    @ParameterizedTest
    @ValueSource(ints = {1, 2})
    void givesBackSilenceToo(int channels) throws IOException {
        double[][] gaps = new double[channels][200_000];
        SplittableRandom random = new SplittableRandom(2);
        for (double[] c : gaps) for (int i = 0; i < c.length; i++) c[i] = i / 41_000 % 2 == 0 ? 0 : (float) random.nextDouble();
        gaps[0][10_000] = -0.0;
        for (int frames : new int[] {200_000, 196_608, 196_607, 160_000, 131_072, 32_768, 16_384, 100, 0}) {
            String name = "of " + frames;
            Sound made;
            try (Shelf.Place place = store().place(name, 48_000, channels)) {
                place.write(gaps, frames);
                made = place.finish();
            }
            for (Sound sound : List.of(made, store().find(name).orElseThrow())) {
                assertEquals(frames, sound.frames());
                for (int k = 0; k < 40; k++) {
                    int from = random.nextInt(frames + 1), n = random.nextInt(frames - from + 1);
                    double[][] y = new double[channels][n + 1];
                    for (double[] c : y) Arrays.fill(c, 7);
                    sound.read(from, y, n);
                    for (int c = 0; c < channels; c++) {
                        assertArrayEquals(Arrays.copyOfRange(gaps[c], from, from + n), Arrays.copyOf(y[c], n), name);
                        assertEquals(7, y[c][n], name);
                    }
                }
            }
        }
    }

    @Test
    void whatIsGivenUpLeavesNothing() throws IOException {
        try (Shelf.Place place = store().place("a", 48_000, 2)) {
            place.write(x, 1000);
        }
        assertTrue(store().find("a").isEmpty());
        try (Stream<Path> files = Files.list(folder.resolve("kept"))) {
            assertEquals(0, files.count());
        }
    }

    /** A bit of any part turned over, and the file is as good as none. */
    @ParameterizedTest
    @ValueSource(ints = {0, 9, 17, 22, 30, 36, 40_000, 800_000})
    void whatIsDamagedIsNotUsed(int at) throws IOException {
        keep("a");
        byte[] bytes = Files.readAllBytes(file());
        bytes[at] ^= 4;
        Files.write(file(), bytes);
        assertTrue(store().find("a").isEmpty());
    }

    @ParameterizedTest
    @ValueSource(ints = {0, 5, 36, 500_000, 800_035})
    void whatIsCutIsNotUsed(int length) throws IOException {
        keep("a");
        Files.write(file(), Arrays.copyOf(Files.readAllBytes(file()), length));
        assertTrue(store().find("a").isEmpty());
        keep("a");
        assertTrue(store().find("a").isPresent());
    }

    /** Of which nothing is wrong but that it promises more than any file has: that shows only when its end is read. */
    @Test
    void noFileStaysOpenThatIsNotUsed() throws IOException {
        assumeTrue(Files.isDirectory(OPEN));
        keep("a");
        byte[] good = Files.readAllBytes(file()), damaged = good.clone(), forged = good.clone();
        damaged[1000]++;
        // Four bytes for each sample of two channels: so many frames more are none, in 64 bits.
        ByteBuffer.wrap(forged).order(ByteOrder.LITTLE_ENDIAN).putLong(20, 100_000 + (1L << 61));
        // Not the file that was written, which whoever made it may still hold.
        Path other = file().resolveSibling("b.sound");
        for (byte[] bytes : new byte[][] {damaged, forged, Arrays.copyOf(good, 30), Arrays.copyOf(good, good.length - 4)}) {
            Files.write(other, bytes);
            assertTrue(store().find("b").isEmpty());
            assertEquals(0, open(other));
        }
        Files.write(other, good);
        Sound sound = store().find("b").orElseThrow();
        assertEquals(1, open(other));
        assertEquals(100_000, sound.frames());
    }

    /** As where another user has made it, or on a disk that is only read. */
    @Test
    void whatMayNotBeTouchedIsUsedAllTheSame() throws IOException {
        keep("a");
        Store foreign = new Store(folder.resolve("kept"), 10 << 20, f -> {
            throw new AccessDeniedException(f.toString());
        });
        double[][] y = new double[2][100_000];
        foreign.find("a").orElseThrow().read(0, y, 100_000);
        assertArrayEquals(x, y);
    }

    /** How often this process holds that file open. */
    private static long open(Path file) throws IOException {
        try (Stream<Path> held = Files.list(OPEN)) {
            return held.filter(f -> {
                try {
                    return Files.readSymbolicLink(f).equals(file.toRealPath());
                } catch (IOException e) {
                    return false;
                }
            }).count();
        }
    }

    @Test
    void keepsWhatWasUsedLast() throws IOException {
        for (int i = 0; i < 20; i++) {
            keep("s" + i);
            Files.setLastModifiedTime(folder.resolve("kept/s" + i + ".sound"), FileTime.from(Instant.parse("2026-01-01T00:00:00Z").plusSeconds(60 * i)));
        }
        assertTrue(store().find("s3").isPresent());
        store().tidy();
        assertTrue(store().find("s3").isPresent());
        assertTrue(store().find("s19").isPresent());
        assertFalse(store().find("s0").isPresent());
        try (Stream<Path> files = Files.list(folder.resolve("kept"))) {
            assertEquals(13, files.count());
        }
    }

    /** Two renders of a song may run at once: one that tidies up leaves what the other writes, and takes what one that was ended has left behind. */
    @Test
    void whatAnotherRenderIsWritingIsNotTidiedAway() throws IOException {
        Path left;
        try (Shelf.Place place = store().place("a", 48_000, 2)) {
            place.write(x, 100_000);
            left = Files.createFile(folder.resolve("kept/ended.part"));
            Files.setLastModifiedTime(left, FileTime.from(Instant.now().minusSeconds(25 * 3600)));
            store().tidy();
            place.finish();
        }
        assertTrue(store().find("a").isPresent());
        assertFalse(Files.exists(left));
    }

    private void remember(String signature, String fact, String value) throws IOException {
        try (Shelf.Recollection r = store().recollection(signature)) {
            assertEquals(value, new String(r.memory().recall(fact).orElseGet(() -> {
                r.memory().keep(fact, value.getBytes());
                return value.getBytes();
            })));
        }
    }

    private boolean knows(String signature, String fact) throws IOException {
        try (Shelf.Recollection r = store().recollection(signature)) {
            return r.memory().recall(fact).isPresent();
        }
    }

    @Test
    void whatWasHeardIsKeptWithTheSoundItWasHeardIn() throws IOException {
        remember("a", "noise", "low");
        remember("a", "noise", "low");
        assertTrue(knows("a", "noise"));
        assertFalse(knows("a", "voice"));
        assertFalse(knows("b", "noise"));
        // What a run does not ask for is let go when something else comes.
        remember("a", "voice", "high");
        assertTrue(knows("a", "voice"));
        assertFalse(knows("a", "noise"));
    }

    /** Two parts of a song may have the same sound and hear other things in it, at once or one after the other. */
    @ParameterizedTest
    @ValueSource(booleans = {true, false})
    void whatOneRunHearsOfASoundIsKeptTogether(boolean atOnce) throws IOException {
        remember("a", "before", "is not asked for any more");
        Store store = store();
        Shelf.Recollection one = store.recollection("a"), other = store.recollection("a");
        assertTrue(one.memory().recall("noise").isEmpty());
        if (atOnce) assertTrue(other.memory().recall("voice").isEmpty());
        one.memory().keep("noise", "low".getBytes());
        one.close();
        other.memory().keep("voice", "high".getBytes());
        other.close();
        assertTrue(knows("a", "noise"));
        assertTrue(knows("a", "voice"));
        assertFalse(knows("a", "before"));
    }

    @ParameterizedTest
    @ValueSource(ints = {0, 3, 12, 17, 30})
    void damagedFactsAreForgotten(int at) throws IOException {
        remember("a", "noise", "low enough for any gate");
        byte[] bytes = Files.readAllBytes(file());
        bytes[at] ^= 1;
        Files.write(file(), bytes);
        assertFalse(knows("a", "noise"));
        Files.write(file(), Arrays.copyOf(bytes, at));
        assertFalse(knows("a", "noise"));
        Files.write(file(), new byte[0]);
        remember("a", "noise", "low");
        assertTrue(knows("a", "noise"));
    }
}
