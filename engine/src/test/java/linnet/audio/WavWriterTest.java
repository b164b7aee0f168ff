package linnet.audio;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class WavWriterTest {
    @TempDir
    Path folder;

    /** Every integer of the word length passes unchanged where it is only rounded. */
    @ParameterizedTest
    @CsvSource({"INT_16", "INT_24"})
    void everyIntegerComesBack(SampleFormat format) throws Exception {
        int half = 1 << format.bits() - 1;
        int n = 1 << 15;
        double[][] x = new double[1][n];
        double[][] y = new double[1][n];
        Path file = folder.resolve("all.wav");
        try (WavWriter writer = WavWriter.create(file, Print.of(48_000, 1, format).dither(Dither.none()))) {
            for (int k = -half; k < half; k += n) {
                for (int i = 0; i < n; i++) x[0][i] = (double) (k + i) / half;
                writer.write(x, n);
            }
            writer.finish();
        }
        try (WavFile wav = WavFile.open(file)) {
            for (int k = -half; k < half; k += n) {
                wav.read((long) k + half, y, n);
                for (int i = 0; i < n; i++) assertEquals((double) (k + i) / half, y[0][i]);
            }
        }
    }

    @ParameterizedTest
    @CsvSource({"INT_16", "INT_24", "FLOAT_32"})
    void channelsKeepTheirPlaces(SampleFormat format) throws Exception {
        double[][] x = new double[2][10_001];
        for (int i = 0; i < x[0].length; i++) {
            x[0][i] = (i % 2 == 0 ? i : -i) / 32768.0;
            x[1][i] = (i % 3 == 0 ? 3 * i : -3 * i) / 32768.0;
        }
        assertSame(x, print(x, Print.of(44_100, 2, format).dither(Dither.none())));
    }

    @ParameterizedTest
    @CsvSource({"1", "2"})
    void floatsComeBack(int channels) throws Exception {
        Random random = new Random(5);
        double[][] x = new double[channels][10_001];
        for (double[] channel : x) Arrays.setAll(channel, i -> (float) (random.nextGaussian() * Math.pow(10, random.nextInt(9) - 8)));
        assertSame(x, print(x, Print.of(96_000, channels, SampleFormat.FLOAT_32)));
    }

    /** Little-endian two's complement: the bytes are worked out by hand from k = round(x 2^23), held to 2^23 - 1. */
    @Test
    void bytesOf24Bits() throws Exception {
        double[][] x = {{0.5, -0.5, -1, 1, 0x1p-23}};
        byte[] file = Files.readAllBytes(print(x, Print.of(48_000, 1, SampleFormat.INT_24).dither(Dither.none())));
        byte[] want = {0, 0, 0x40, 0, 0, (byte) 0xC0, 0, 0, (byte) 0x80, -1, -1, 0x7F, 1, 0, 0, 0};
        assertArrayEquals(want, Arrays.copyOfRange(file, file.length - 16, file.length), "15 bytes and the pad");
        ByteBuffer b = ByteBuffer.wrap(file).order(ByteOrder.LITTLE_ENDIAN);
        assertEquals(file.length - 8, b.getInt(4));
        assertEquals(15, b.getInt(file.length - 20), "the pad byte is not counted");
    }

    @Test
    void samplesBeyondFullScaleAreHeld() throws Exception {
        double[][] x = {{1.5, 1, -1, -1.25, 0.5}};
        for (Dither dither : List.of(Dither.none(), Dither.triangular(3))) {
            Path file = folder.resolve("over.wav");
            try (WavWriter writer = WavWriter.create(file, Print.of(48_000, 1, SampleFormat.INT_16).dither(dither).overwriting())) {
                writer.write(x, 5);
                writer.finish();
            }
            double[] y = read(file)[0];
            assertEquals(32767 / 32768.0, y[0]);
            assertEquals(-1, y[3]);
            assertEquals(0.5, y[4], 2 / 32768.0);
        }
    }

    @Test
    void nothingRemainsOfAPrintThatIsNotFinished() throws Exception {
        try (WavWriter writer = WavWriter.create(folder.resolve("a.wav"), Print.of(48_000, 1, SampleFormat.INT_16))) {
            writer.write(new double[1][100], 100);
            assertEquals(1, listing().size(), "the unfinished file lies beside its target");
        }
        assertEquals(List.of(), listing());
    }

    /** Somebody tidies the folder away meanwhile: the remedy is not that of a take. */
    @Test
    void anUnfinishedFileThatIsRemovedIsTold() throws Exception {
        String told = "a.wav: its unfinished file was removed while it was written; leave files that begin with .linnet- alone, and render again";
        Print print = Print.of(48_000, 1, SampleFormat.INT_16);
        try (WavWriter writer = WavWriter.create(folder.resolve("a.wav"), print)) {
            writer.write(new double[1][100], 100);
            Files.delete(listing().get(0));
            assertEquals(told, assertThrows(SoundFileException.class, () -> writer.seal(null)).getMessage());
        }
        try (WavWriter writer = WavWriter.create(folder.resolve("a.wav"), print)) {
            Files.delete(writer.seal(null));
            assertEquals(told, assertThrows(SoundFileException.class, writer::release).getMessage());
        }
        assertEquals(List.of(), listing());
    }

    @Test
    void aSampleThatIsNoNumberIsRefused() throws Exception {
        double[][] x = new double[2][48_000];
        x[1][24_000] = Double.NaN;
        try (WavWriter writer = WavWriter.create(folder.resolve("a.wav"), Print.of(48_000, 2, SampleFormat.FLOAT_32))) {
            writer.write(new double[2][48_000], 48_000);
            Exception e = assertThrows(IllegalArgumentException.class, () -> writer.write(x, 48_000));
            assertEquals("a.wav: the sample at 1.500 s in the right channel is not a number", e.getMessage());
            x[1][24_000] = 1e39;
            assertThrows(IllegalArgumentException.class, () -> writer.write(x, 48_000), "infinite as a float");
        }
        assertEquals(List.of(), listing());
    }

    @Test
    void aFileThatIsThereIsReplacedOnlyWhenAsked() throws Exception {
        Path file = folder.resolve("mix.wav");
        Files.writeString(file, "dear");
        Print print = Print.of(48_000, 1, SampleFormat.INT_16);
        assertRefused("mix.wav: is there already; give the print another name, or ask to overwrite", file, print);
        assertEquals("dear", Files.readString(file));
        print(file, new double[1][10], print.overwriting());
        assertEquals(10, read(file)[0].length);
    }

    @Test
    void aFileThatCameMeanwhileIsNotLost() throws Exception {
        Path file = folder.resolve("mix.wav");
        try (WavWriter writer = WavWriter.create(file, Print.of(48_000, 1, SampleFormat.INT_16))) {
            writer.write(new double[1][10], 10);
            Files.writeString(file, "dear");
            Exception e = assertThrows(SoundFileException.class, writer::finish);
            assertEquals("mix.wav: is there already; give the print another name, or ask to overwrite", e.getMessage());
        }
        assertEquals("dear", Files.readString(file));
        assertEquals(1, listing().size());
    }

    @Test
    void anInputIsNeverWrittenUnderAnyName() throws Exception {
        Path take = print(new double[1][10], Print.of(48_000, 1, SampleFormat.INT_16));
        Path soft = Files.createSymbolicLink(folder.resolve("soft.wav"), take);
        Path hard = Files.createLink(folder.resolve("hard.wav"), take);
        Path detour = folder.resolve("..").resolve(folder.getFileName()).resolve(take.getFileName());
        Print print = Print.of(48_000, 1, SampleFormat.INT_16).overwriting().sparing(List.of(take));
        for (Path name : List.of(take, soft, hard, detour)) {
            assertRefused(name.getFileName() + ": is an input of this print; give the print another name", name, print);
        }
        assertRefused("take.wav: is an input of this print; give the print another name", take, print.sparing(List.of(soft)));
    }

    @Test
    void badTargets() throws Exception {
        Print print = Print.of(48_000, 1, SampleFormat.INT_16).overwriting();
        assertRefused("none.wav: has no folder to go to; make the folder first", folder.resolve("no").resolve("none.wav"), print);
        Files.createDirectory(folder.resolve("dir.wav"));
        assertRefused("dir.wav: is a folder; give the print a file name", folder.resolve("dir.wav"), print);
    }

    /** The switch to RF64 at a limit a test can afford; the true one is behind the tag {@code large}. */
    @ParameterizedTest
    @CsvSource({"INT_16, 1", "INT_24, 2", "FLOAT_32, 2"})
    void outgrownFilesBecomeRf64(SampleFormat format, int channels) throws Exception {
        double[][] x = new double[channels][999];
        for (int c = 0; c < channels; c++) for (int i = 0; i < 999; i++) x[c][i] = (i - 500 * c) / 1024.0;
        for (long room : new long[] {0, -1}) {
            Path file = folder.resolve("wide" + room + ".wav");
            Print print = Print.of(48_000, channels, format).dither(Dither.none());
            long riffBytes = Files.size(print(folder.resolve("plain" + room + ".wav"), x, print)) - 8;
            try (WavWriter writer = WavWriter.create(file, print, riffBytes + room)) {
                writer.write(x, 999);
                writer.finish();
            }
            assertSame(x, file);
            ByteBuffer b = ByteBuffer.wrap(Files.readAllBytes(file)).order(ByteOrder.LITTLE_ENDIAN);
            String[] ids = room == 0 ? new String[] {"RIFF", "JUNK"} : new String[] {"RF64", "ds64"};
            assertEquals(ids[0], id(b, 0));
            assertEquals(ids[1], id(b, 12));
            if (room < 0) {
                // EBU Tech 3306: sizes of 32 bits are all ones, the true ones stand in ds64.
                assertEquals(-1, b.getInt(4));
                assertEquals(b.capacity() - 8, b.getLong(20));
                assertEquals(999L * channels * format.bytes(), b.getLong(28));
                assertEquals(999, b.getLong(36));
            }
        }
    }

    @Test
    @Tag("large")
    void moreThanFourGibibytesAreWrittenAndRead() throws Exception {
        int block = 1 << 20;
        long blocks = (1L << 32) / (6L * block) + 1;
        double[][] x = new double[2][block];
        for (int i = 0; i < block; i++) x[0][i] = x[1][block - 1 - i] = i / (double) (1 << 20);
        Path file = folder.resolve("large.wav");
        try (WavWriter writer = WavWriter.create(file, Print.of(48_000, 2, SampleFormat.INT_24).dither(Dither.none()))) {
            for (long k = 0; k < blocks; k++) writer.write(x, block);
            writer.finish();
        }
        assertTrue(Files.size(file) > 1L << 32);
        try (WavFile wav = WavFile.open(file)) {
            assertEquals(blocks * block, wav.frames());
            double[][] y = new double[2][block];
            wav.read((blocks - 1) * block, y, block);
            assertArrayEquals(x, y);
        }
    }

    /** What goes to the disk meanwhile is what was written; and where the disk would not have it, the print that was there stays. */
    @Test
    void thatThePrintGoesToTheDiskMeanwhileMakesNoDifference() throws IOException {
        double[][] x = new double[1][50_000];
        Random random = new Random(5);
        for (int i = 0; i < x[0].length; i++) x[0][i] = random.nextDouble() - 0.5;
        Print print = Print.of(48_000, 1, SampleFormat.FLOAT_32).overwriting();
        byte[] plain = Files.readAllBytes(print(x, print));
        Path file = folder.resolve("again.wav");
        for (boolean there : new boolean[] {false, true}) {
            assertEquals(there, Files.exists(file));
            try (WavWriter writer = WavWriter.create(file, print)) {
                for (int at = 0; at < 50_000; at += 1000) {
                    writer.write(new double[][] {Arrays.copyOfRange(x[0], at, at + 1000)}, 1000);
                    writer.toDisk();
                }
                writer.finish();
            }
            assertArrayEquals(plain, Files.readAllBytes(file));
        }
        try (WavWriter writer = WavWriter.create(file, print)) {
            writer.write(new double[1][1000], 1000);
            // A file that is interrupted is closed: what the system says of it, once, is not forgotten.
            Thread.currentThread().interrupt();
            writer.toDisk();
            assertTrue(Thread.interrupted());
            writer.toDisk();
            assertThrows(SoundFileException.class, writer::finish);
        }
        assertArrayEquals(plain, Files.readAllBytes(file));
    }

    private static String id(ByteBuffer b, int at) {
        return new String(b.array(), at, 4, java.nio.charset.StandardCharsets.ISO_8859_1);
    }

    private Path print(double[][] x, Print print) throws IOException {
        return print(folder.resolve("take.wav"), x, print);
    }

    private static Path print(Path file, double[][] x, Print print) throws IOException {
        try (WavWriter writer = WavWriter.create(file, print)) {
            writer.write(x, x[0].length);
            writer.finish();
        }
        return file;
    }

    private static double[][] read(Path file) throws IOException {
        try (WavFile wav = WavFile.open(file)) {
            double[][] x = new double[wav.channels()][(int) wav.frames()];
            wav.read(0, x, x[0].length);
            return x;
        }
    }

    private static void assertSame(double[][] x, Path file) throws IOException {
        double[][] y = read(file);
        assertEquals(x.length, y.length);
        for (int c = 0; c < x.length; c++) assertArrayEquals(x[c], y[c]);
    }

    private void assertRefused(String message, Path target, Print print) {
        Exception e = assertThrows(SoundFileException.class, () -> WavWriter.create(target, print).close());
        assertEquals(message, e.getMessage());
    }

    private List<Path> listing() throws IOException {
        try (Stream<Path> files = Files.list(folder)) {
            return files.toList();
        }
    }
}
