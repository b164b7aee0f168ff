package linnet.audio;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import net.jqwik.api.Tuple;
import net.jqwik.api.lifecycle.AfterContainer;
import net.jqwik.api.lifecycle.BeforeContainer;

/** Whatever becomes of its bytes, a file is printed or refused by the room's own exception, and never holds anyone up. */
class SoundFileFuzzTest {
    private static final int HEAD = 300;
    private static final int[] TELLING = {0, 1, 2, 0x7F, 0x80, 0xFE, 0xFF, 'd', 'R'};
    private static Path folder;

    record Change(int file, List<Integer> places, List<Integer> values, int cut) {}

    @BeforeContainer
    static void make() throws Exception {
        folder = Files.createTempDirectory("fuzz");
    }

    @AfterContainer
    static void remove() throws Exception {
        for (String name : List.of("fuzz.wav", "out.wav")) Files.deleteIfExists(folder.resolve(name));
        Files.delete(folder);
    }

    @Property(tries = 1000)
    void changedBytesArePrintedOrRefused(@ForAll("changes") Change change) throws Exception {
        byte[] bytes = valid().get(change.file).clone();
        for (int i = 0; i < change.places.size(); i++) {
            bytes[change.places.get(i) % bytes.length] = change.values.get(i).byteValue();
        }
        Path file = Files.write(folder.resolve("fuzz.wav"), Arrays.copyOf(bytes, Math.max(0, bytes.length - change.cut)));
        long start = System.nanoTime();
        try {
            BrokenFilesTest.copy(file, folder.resolve("out.wav"));
        } catch (SoundFileException e) {
            assertTrue(e.getMessage().matches("fuzz\\.wav: [^;]+; [^;]+"), e.getMessage());
        }
        assertTrue(System.nanoTime() - start < 2_000_000_000L);
        try (var files = Files.list(folder)) {
            assertTrue(files.noneMatch(f -> f.toString().endsWith(".part")));
        }
    }

    @Provide
    Arbitrary<Change> changes() {
        Arbitrary<Integer> places = Arbitraries.integers().between(0, HEAD);
        Arbitrary<Integer> values = Arbitraries.oneOf(Arbitraries.integers().between(0, 255),
                Arbitraries.of(Arrays.stream(TELLING).boxed().toList()));
        return Combinators.combine(Arbitraries.integers().between(0, valid().size() - 1), places.list().ofMinSize(1).ofMaxSize(6),
                values.list().ofSize(6), Arbitraries.frequencyOf(Tuple.of(3, Arbitraries.just(0)),
                        Tuple.of(1, Arbitraries.integers().between(0, 400)))).as(Change::new);
    }

    private static List<byte[]> valid() {
        byte[] cue = ByteBuffer.allocate(52).put(Riff.ints(2, 1, 5, 0x61746164, 0, 0, 5, 2, 30, 0x61746164, 0, 0, 30)).array();
        byte[] labels = ByteBuffer.allocate(32).put("adtl".getBytes(StandardCharsets.US_ASCII))
                .put("labl".getBytes(StandardCharsets.US_ASCII)).put(Riff.ints(6, 1, 0x0061)).put("note".getBytes(StandardCharsets.US_ASCII)).array();
        byte[] sound = new byte[6 * 40];
        return List.of(
                Riff.riff().pcm(2, 48_000, 24).chunk("cue ", cue).chunk("LIST", labels).chunk("data", sound).bytes(),
                Riff.riff().pcm(1, 44_100, 16).chunk("data", sound).chunk("LIST", labels).chunk("cue ", cue).bytes(),
                Riff.riff().chunk("fmt ", Riff.extensible(3, 1, 48_000, 4, 32, 32)).chunk("data", sound).chunk("bext", new byte[700]).bytes(),
                Riff.start("RF64").chunk("ds64", Riff.ds64(400, 240, 60)).pcm(2, 48_000, 16).chunk("data", -1, sound).chunk("cue ", cue).bytes());
    }
}
