package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Set;
import org.junit.jupiter.api.Test;

/** Of a file that is refused the true reason is told, and what to do. */
class RefusedFilesTest extends SongFolder {
    private static final String OPEN_MORE = "too few files may be open at once here: say 'ulimit -n 1024' before, in a new shell where this one refuses that";

    private void renderSays(String words) {
        assertEquals(3, run("render", song, "--out", prints), err::toString);
        assertTrue(err.toString().startsWith(song + words), err.toString());
    }

    @Test
    void aSongThatIsNotUtf8IsToldWithThePlace() throws IOException {
        String text = "song: übrig\ntempo: 100 bpm # schön\nsections: { a: 1, end: 2 }\nparts: { lead: { take: take.wav } }\nprints: [ mix ]\n";
        Files.writeString(song, text, StandardCharsets.ISO_8859_1);
        renderSays(":1:7: is not UTF-8 text: the byte FC here is none of it; save it as UTF-8");
        assertEquals(3, run("check", song));
        assertTrue(err.toString().startsWith(song + ":1:7: is not UTF-8 text"), err.toString());
        // Good signs before it count as one each.
        byte[] mixed = text.getBytes(StandardCharsets.UTF_8);
        mixed[text.indexOf("schön") + 1 + "sch".length()] = (byte) 0xF6;
        Files.write(song, mixed);
        renderSays(":2:21: is not UTF-8 text: the byte F6 here");
        Files.write(song, "song: x\n".getBytes(StandardCharsets.UTF_16));
        renderSays(":1:1: is not UTF-8 text: the byte FE here");
        // Cut within a sign.
        Files.write(song, new byte[] {'s', 'o', 'n', 'g', ':', ' ', (byte) 0xC3});
        renderSays(":1:7: is not UTF-8 text: the byte C3 here");
    }

    @Test
    void aSongThatIsTooLargeIsNoChain() throws IOException {
        Files.writeString(song, "# " + "x".repeat(1 << 20) + "\n" + Files.readString(song));
        renderSays(":1:1: is larger than 1 MiB: no song file is");
        Files.writeString(song, "song: x\n# " + "x".repeat(1 << 20) + "\n");
        assertEquals(3, run("check", song));
        assertTrue(err.toString().contains("is larger than 1 MiB: no song file is"), err.toString());
    }

    @Test
    void aSongThatMayNotBeReadIsNoChain() throws IOException {
        assumeTrue(Files.getFileStore(folder).supportsFileAttributeView("posix"));
        Files.setPosixFilePermissions(song, Set.of());
        assumeTrue(!Files.isReadable(song), "root may read everything");
        renderSays(":1:1: may not be read; give yourself the right to read it");
    }

    @Test
    void aFolderIsNoChain() {
        assertEquals(3, run("render", folder, "--out", prints));
        assertTrue(err.toString().contains("is a folder, not a song file"), err.toString());
    }

    @Test
    void whatLiesInThePlaceOfTheStoreIsTold() throws IOException {
        Files.writeString(folder.resolve(".linnet"), "a file");
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        assertTrue(err.toString().contains(".linnet: not all could be kept for the next render (it is a file, not a folder; move it away)"), err.toString());
    }

    @Test
    void whereTheSystemMakesNoFoldersAnotherPlaceIsAskedFor() {
        assumeTrue(Files.isDirectory(Path.of("/proc/self")));
        assertEquals(2, run("render", song, "--out", "/proc/x"));
        assertEquals("/proc/x: no folder can be made there; choose another place", err.toString().strip());
    }

    @Test
    void measureTellsWhatIsLeftOutOfATake() throws IOException {
        Path take = folder.resolve("take.wav");
        Takes.tone(take, 220, 0.3, 2);
        byte[] bytes = Files.readAllBytes(take);
        int at = new String(bytes, StandardCharsets.ISO_8859_1).indexOf("data") + 4;
        ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN).putInt(at, 3 * 24_000);
        Files.write(take, bytes);
        String left = take + ": what follows its sound of 0.500 s is damaged and is left out: 216000 bytes, 1.500 s if it is sound\n";
        assertEquals(0, run("measure", take), err::toString);
        assertEquals(left, err.toString().replace("\r\n", "\n"));
        assertEquals(0, run("mark", take), err::toString);
        assertTrue(err.toString().startsWith(left), err.toString());
    }

    @Test
    void tooFewOpenFilesAreToldAsSuch() {
        FileSystemException e = new FileSystemException("/songs/out", null, "Too many open files");
        assertEquals("/songs/out: cannot be read or written (Too many open files); " + OPEN_MORE,
                Fault.of(e).message());
        assertEquals("could not read or write: no more (Too many open files); " + OPEN_MORE,
                Fault.of(new IOException("no more (Too many open files)")).message());
        // docs/chain-format.md: 4 is a sound file, or no room to write; 2 is what was said wrongly.
        assertEquals(4, Fault.of(e).code());
        assertEquals(4, Fault.of(new UncheckedIOException(e)).code());
        assertEquals(2, Fault.of(new FileSystemException("/songs/out", null, "Input/output error")).code());
    }
}
