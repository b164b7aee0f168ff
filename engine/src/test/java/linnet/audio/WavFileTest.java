package linnet.audio;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.RandomAccessFile;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import linnet.Voices;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class WavFileTest {
    private static final double[] RAMP = {-1, -0.5, 0, 0.25, 0.5, 0.75};

    @TempDir
    Path folder;

    @Test
    void everyRealVoiceReadsTheSameInAnyOrder() throws Exception {
        Voices.assumePresent();
        for (Path voice : Voices.all()) {
            try (WavFile whole = WavFile.open(voice); WavFile parts = WavFile.open(voice)) {
                int n = (int) Math.min(whole.frames(), 200_000);
                double[][] all = new double[whole.channels()][n];
                whole.read(0, all, n);
                double[][] block = new double[whole.channels()][480];
                for (int from = n - 480; from >= 0; from -= 4801) {
                    parts.read(from, block, 480);
                    for (int c = 0; c < all.length; c++) {
                        assertArrayEquals(Arrays.copyOfRange(all[c], from, from + 480), block[c]);
                    }
                }
                assertEquals(List.of(), whole.header().remarks(), voice.toString());
            }
        }
    }

    @ParameterizedTest
    @ValueSource(ints = {8, 12, 16, 20, 24, 32})
    void integersOfEveryLength(int bits) throws Exception {
        int bytes = (bits + 7) / 8;
        byte[] sound = new byte[RAMP.length * bytes];
        for (int i = 0; i < RAMP.length; i++) {
            long k = Math.round(RAMP[i] * (1L << 8 * bytes - 1)) + (bytes == 1 ? 128 : 0);
            for (int b = 0; b < bytes; b++) sound[i * bytes + b] = (byte) (k >> 8 * b);
        }
        assertReads(RAMP, Riff.riff().pcm(1, 48_000, bits).chunk("data", sound));
        assertReads(RAMP, Riff.riff().chunk("fmt ", Riff.extensible(1, 1, 48_000, bytes, 8 * bytes, bits)).chunk("data", sound));
    }

    @Test
    void floatsOfBothLengths() throws Exception {
        double[] x = {1e-8f, -3.5f, 1 << 20};
        byte[] floats = Riff.floats(1e-8f, -3.5f, 1 << 20);
        byte[] doubles = Riff.little(24).putDouble(x[0]).putDouble(x[1]).putDouble(x[2]).array();
        assertReads(x, Riff.riff().chunk("fmt ", Riff.fmt(3, 1, 44_100, 4, 32)).chunk("data", floats));
        assertReads(x, Riff.riff().chunk("fmt ", Riff.fmt(3, 1, 44_100, 8, 64)).chunk("data", doubles));
        assertReads(x, Riff.riff().chunk("fmt ", Riff.extensible(3, 1, 44_100, 4, 32, 32)).chunk("data", floats));
        assertReads(x, Riff.riff().chunk("fmt ", Riff.extensible(3, 1, 44_100, 8, 64, 64)).chunk("data", doubles));
    }

    /** Unknown chunks of odd length are stepped over with their pad; those that are kept may stand on either side. */
    @Test
    void chunksInAnyOrder() throws Exception {
        byte[] sound = Riff.shorts(-32768, 16384);
        byte[] cue = Riff.ints(0);
        Riff riff = Riff.riff().chunk("junk", new byte[3]).chunk("bext", new byte[602]).chunk("data", sound)
                .chunk("LIST", "adtl".getBytes()).chunk("LIST", "wavl".getBytes()).pcm(2, 48_000, 16).chunk("cue ", cue).chunk("LIST", "INFO".getBytes());
        try (WavFile wav = WavFile.open(file(riff))) {
            assertEquals(List.of("bext", "LIST", "cue ", "LIST"), wav.header().chunks().stream().map(Chunk::id).toList());
            assertArrayEquals(cue, wav.header().chunks().get(2).body());
            double[][] x = new double[2][1];
            wav.read(0, x, 1);
            assertArrayEquals(new double[][] {{-1}, {0.5}}, x);
            assertEquals(List.of(), wav.header().remarks());
        }
    }

    /** A recorder that crashed or wrote to a pipe leaves 0 or all ones; the take is read to the end and that is said. */
    @ParameterizedTest
    @ValueSource(ints = {0, -1})
    void aTakeThatWasNeverClosed(int claimed) throws Exception {
        Riff riff = Riff.riff().pcm(1, 48_000, 16).chunk("data", claimed, Riff.shorts(0, 16384, 0, 0, 0));
        try (WavFile wav = WavFile.open(file(riff))) {
            assertEquals(5, wav.frames());
            assertEquals(List.of("its recorder did not close it: all that is there is read, 0.000 s to the end of the file"), wav.header().remarks());
        }
    }

    @Test
    void harmlessOddities() throws Exception {
        byte[] sound = Riff.shorts(1, 2, 3);
        assertRemark("what follows its sound of 0.000 s is damaged and is left out: 18 bytes",
                Riff.riff().pcm(1, 48_000, 16).chunk("data", sound).chunk("TAG!", 1 << 30, new byte[9]));
        // 65536 bytes of 2 a sample, 48000 a second.
        assertRemark("what follows its sound of 0.000 s is damaged and is left out: 65536 bytes, 0.683 s if it is sound",
                Riff.riff().pcm(1, 48_000, 16).chunk("data", sound).raw(new byte[1 << 16]));
        assertRemark("its last sample is incomplete and is left out",
                Riff.riff().pcm(1, 48_000, 16).chunk("data", Arrays.copyOf(sound, 7)));
        assertRemark("its last sample is incomplete and is left out",
                Riff.riff().pcm(1, 48_000, 16).chunk("data", 7, sound));
        assertRemark("its chunk 'bext' is too large to be carried on",
                Riff.riff().pcm(1, 48_000, 16).chunk("bext", new byte[5 << 20]).chunk("data", sound));
    }

    @ParameterizedTest
    @ValueSource(strings = {"RF64", "BW64"})
    void soundBeyondFourGibibytes(String id) throws Exception {
        long frames = (5L << 30) / 4;
        byte[] head = Riff.start(id).chunk("ds64", Riff.ds64(4 * frames + 72, 4 * frames, frames)).pcm(2, 48_000, 16)
                .chunk("data", -1, new byte[0]).bytes();
        Path file = folder.resolve("large.wav");
        // Sparse: the length is set, the bytes between were never written.
        try (RandomAccessFile sparse = new RandomAccessFile(file.toFile(), "rw")) {
            sparse.write(head);
            sparse.setLength(head.length + 4 * frames);
            sparse.seek(head.length + 4 * frames - 8);
            sparse.write(Riff.shorts(-32768, 16384, 8192, -8192));
        }
        try (WavFile wav = WavFile.open(file)) {
            assertEquals(frames, wav.frames());
            double[][] x = new double[2][3];
            wav.read(frames - 3, x, 3);
            assertArrayEquals(new double[][] {{0, -1, 0.25}, {0, 0.5, -0.25}}, x);
            assertThrows(IndexOutOfBoundsException.class, () -> wav.read(frames - 2, x, 3));
        }
    }

    /** A pipe or a device would hang the reader. */
    @Test
    void onlyPlainFiles() {
        Path device = Path.of("/dev/zero");
        assumeTrue(Files.exists(device));
        Exception e = assertThrows(SoundFileException.class, () -> WavFile.open(device));
        assertEquals("zero: is no plain file; name a sound file on disk", e.getMessage());
    }

    private void assertRemark(String remark, Riff riff) throws Exception {
        try (WavFile wav = WavFile.open(file(riff))) {
            assertEquals(List.of(remark), wav.header().remarks());
            assertEquals(3, wav.frames());
        }
    }

    private void assertReads(double[] want, Riff riff) throws Exception {
        try (WavFile wav = WavFile.open(file(riff))) {
            double[][] x = new double[1][want.length];
            wav.read(0, x, want.length);
            assertArrayEquals(want, x[0]);
            assertTrue(wav.header().remarks().isEmpty());
        }
    }

    private Path file(Riff riff) throws Exception {
        return Files.write(folder.resolve("take.wav"), riff.bytes());
    }

    @Test
    void aFileThatIsChangedMeanwhileIsRefused() throws Exception {
        Path path = file(Riff.riff().pcm(1, 48_000, 16).chunk("data", Riff.shorts(1, 2, 3)));
        try (WavFile wav = WavFile.open(path)) {
            wav.checkUnchanged();
            byte[] bytes = Files.readAllBytes(path);
            Files.write(path, bytes);
            Files.setLastModifiedTime(path, java.nio.file.attribute.FileTime.fromMillis(1));
            assertEquals("take.wav: was changed while it was read; let whatever writes it finish, and render again",
                    assertThrows(SoundFileException.class, wav::checkUnchanged).getMessage());
        }
        try (WavFile wav = WavFile.open(path)) {
            Path other = Files.write(path.resolveSibling("other.wav"), Files.readAllBytes(path));
            Files.setLastModifiedTime(other, java.nio.file.attribute.FileTime.fromMillis(1));
            Files.move(other, path, java.nio.file.StandardCopyOption.REPLACE_EXISTING);
            assertThrows(SoundFileException.class, wav::checkUnchanged, "another file of the same age has its name");
            Files.delete(path);
            wav.checkUnchanged();
        }
    }
}
