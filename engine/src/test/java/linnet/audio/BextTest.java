package linnet.audio;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import java.util.zip.CRC32C;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Layout after EBU Tech 3285 v2 (2011), the offsets written out here once more; that 0x7FFF stands for a loudness that is not told is from memory. */
class BextTest {
    @TempDir
    Path folder;

    private static final Bext FULL = new Bext("Seven Lanterns: lead", "linnet 0.1.0", "0123456789abcdef0123456789abcdef", "2026-11-26", "14:30:00",
            172_800_000L,
            new Bext.Loudness(-14.25, 6.5, -1.02, -9, -11.5), "A=PCM,F=48000,W=24,M=stereo,T=linnet\r\n");

    @Test
    void everyFieldLiesWhereTheStandardPutsIt() {
        byte[] body = FULL.chunk().body();
        ByteBuffer b = ByteBuffer.wrap(body).order(ByteOrder.LITTLE_ENDIAN);
        assertEquals(602 + FULL.history().length(), body.length);
        assertEquals("Seven Lanterns: lead", text(body, 0, 256));
        assertEquals("linnet 0.1.0", text(body, 256, 32));
        assertEquals("0123456789abcdef0123456789abcdef", text(body, 288, 32));
        assertEquals("2026-11-26", text(body, 320, 10));
        assertEquals("14:30:00", text(body, 330, 8));
        assertEquals(172_800_000L, b.getLong(338));
        assertEquals(2, b.getShort(346));
        for (int i = 348; i < 412; i++) assertEquals(0, body[i], "UMID");
        assertEquals(List.of(-1425, 650, -102, -900, -1150),
                List.of((int) b.getShort(412), (int) b.getShort(414), (int) b.getShort(416), (int) b.getShort(418), (int) b.getShort(420)));
        for (int i = 422; i < 602; i++) assertEquals(0, body[i], "reserved");
        assertEquals(FULL.history(), text(body, 602, body.length - 602));
    }

    private static String text(byte[] body, int at, int length) {
        return new String(body, at, length, StandardCharsets.US_ASCII).replace("\0", "");
    }

    @Test
    void whatIsWrittenReadsBack() {
        assertEquals(Optional.of(FULL), Bext.of(header(FULL.chunk())));
        Bext untold = new Bext("", "", "", "", "", 0, Bext.Loudness.UNTOLD, "");
        assertEquals(Optional.of(untold), Bext.of(header(untold.chunk())));
        Bext silent = new Bext("", "", "", "", "", 0, new Bext.Loudness(Double.NEGATIVE_INFINITY, 0, -400, Double.NaN, 3), "");
        assertEquals(new Bext.Loudness(Double.NaN, 0, Double.NaN, Double.NaN, 3), Bext.of(header(silent.chunk())).orElseThrow().loudness());
    }

    @Test
    void textBecomesAsciiAndIsCut() {
        Bext b = new Bext("Süße Töne ☂ ".repeat(40), "é".repeat(40), "", "", "", 0, Bext.Loudness.UNTOLD, "");
        Bext back = Bext.of(header(b.chunk())).orElseThrow();
        assertTrue(back.description().startsWith("Susse Tone ? "), back.description());
        assertEquals(256, back.description().length());
        assertEquals("e".repeat(32), back.originator());
        assertEquals(back, b.asRead());
        assertEquals(FULL, FULL.asRead());
    }

    /** Letters that are no plain one with a mark; as Latin is written in ASCII (from memory of the CLDR's Latin-ASCII). */
    @Test
    void lettersThatAsciiLacksAreWrittenWithItsOwn() {
        assertEquals("Grosse STRASSE, coeur, AEro, Lodz, Duro, Thorr, id - 'so' \"so\" ...",
                new Bext("Größe STRAẞE, cœur, Ærø, Łódź, Đuro, Þórr, ıd – ‘so’ “so” …", "", "", "", "", 0, Bext.Loudness.UNTOLD, "").asRead().description());
        assertEquals("Hhal, Njana, tsahTi, Esr, \"a\" 'b' 'c' -3 1/2",
                new Bext("Ħħal, Ŋjaŋa, ŧsahŦi, Əsr, «a» ‹b› ‚c‛ −3 ½", "", "", "", "", 0, Bext.Loudness.UNTOLD, "").asRead().description());
        assertEquals("fi ? ?", new Bext("ﬁ 歌 ☂", "", "", "", "", 0, Bext.Loudness.UNTOLD, "").asRead().description());
    }

    private static WavHeader header(Chunk chunk) {
        return new WavHeader(48_000, 1, 1, SampleFormat.INT_24, 44, List.of(chunk), List.of());
    }

    /** Whatever bytes a file has there, it is read, and so is its sound. */
    @Test
    void aMalformedExtensionHarmsNothing() throws Exception {
        SplittableRandom random = new SplittableRandom(3);
        for (int length : new int[] {0, 1, 256, 601, 602, 603, 700, 5000}) {
            byte[] body = new byte[length];
            random.nextBytes(body);
            Path file = folder.resolve(length + ".wav");
            Files.write(file, Riff.riff().pcm(1, 48_000, 16).chunk("bext", body).chunk("data", new byte[200]).bytes());
            try (WavFile wav = WavFile.open(file)) {
                assertEquals(100, wav.frames());
                Optional<Bext> bext = assertDoesNotThrow(() -> Bext.of(wav.header()));
                assertEquals(length >= 602, bext.isPresent());
                bext.ifPresent(b -> assertDoesNotThrow(() -> Origin.of(b)));
            }
        }
    }

    @Test
    void aPrintTellsItsSoundAndLoudnessInTheHeadThatWasKeptForThem() throws Exception {
        Origin origin = Origin.of("linnet 0.1.0 abc", "lead, 100 % dry", 3, 172_800_000L, "f".repeat(64),
                List.of(new Origin.Source(Origin.Kind.TEXT, "1".repeat(64), "../Lied, groß 100%41.yaml"),
                        new Origin.Source(Origin.Kind.TAKE, "2".repeat(64), "../a b.wav")));
        for (SampleFormat format : new SampleFormat[] {SampleFormat.INT_16, SampleFormat.INT_24, SampleFormat.FLOAT_32}) {
            Path file = folder.resolve(format + ".wav");
            Print form = Print.of(48_000, 2, format);
            Print print = form.described(new Bext("x", "y", "z", "", "", 0, Bext.Loudness.UNTOLD, origin.history(form)));
            try (WavWriter writer = WavWriter.create(file, print)) {
                writer.write(new double[][] {{0.5, -0.25, 0.125}, {0.1, 0.2, 0.3}}, 3);
                writer.finish(sums -> new Bext("x", "y", "z", "", "", 0, new Bext.Loudness(-20, 1, -3, -18, -19), origin.withSound(sums).history(form)));
            }
            byte[] bytes = Files.readAllBytes(file);
            int sound = 3 * 2 * format.bytes();
            String digest = HexFormat.of()
                    .formatHex(MessageDigest.getInstance("SHA-256").digest(Arrays.copyOfRange(bytes, bytes.length - sound, bytes.length)));
            try (WavFile wav = WavFile.open(file)) {
                assertEquals(3, wav.frames());
                Bext bext = Bext.of(wav.header()).orElseThrow();
                assertEquals(-20, bext.loudness().integrated());
                CRC32C crc = new CRC32C();
                crc.update(bytes, bytes.length - sound, sound);
                Origin.Sums sums = new Origin.Sums(digest, String.format("%08x", crc.getValue()));
                assertEquals(Optional.of(origin.withSound(sums)), Origin.of(bext));
                assertEquals(sums, new Origin.Sums(wav.soundDigest(), wav.quickDigest()));
                double[][] x = new double[2][3];
                wav.read(0, x, 3);
                assertArrayEquals(new double[] {0.5, -0.25, 0.125}, x[0], 1e-4);
            }
        }
    }

    /** A print may be described anew where it lies, by as many bytes; its sound is not touched. */
    @Test
    void aPrintIsDescribedAnew() throws Exception {
        Path file = folder.resolve("a.wav");
        Print form = Print.of(48_000, 1, SampleFormat.INT_24).described(FULL);
        try (WavWriter writer = WavWriter.create(file, form)) {
            writer.write(new double[][] {{0.5, 0.25}}, 2);
            writer.finish();
        }
        byte[] before = Files.readAllBytes(file);
        Bext other = new Bext("Seven Lanterns: vocals", "linnet 0.1.0", "f", "", "", 5, Bext.Loudness.UNTOLD, FULL.history().replace("48000", "44100"));
        assertTrue(BextInPlace.describe(file, form, other));
        try (WavFile wav = WavFile.open(file)) {
            assertEquals(Optional.of(other), Bext.of(wav.header()));
        }
        assertTrue(BextInPlace.describe(file, form, FULL));
        assertArrayEquals(before, Files.readAllBytes(file));
        Bext longer = new Bext("", "", "", "", "", 0, Bext.Loudness.UNTOLD, FULL.history() + "T=x\r\n");
        assertEquals(false, BextInPlace.describe(file, form, longer));
        assertEquals(false, BextInPlace.describe(file, Print.of(48_000, 1, SampleFormat.FLOAT_32).described(FULL), FULL));
        assertArrayEquals(before, Files.readAllBytes(file));
    }

    @Test
    void anExtensionOfAnotherLengthIsADefect() throws Exception {
        Print print = Print.of(48_000, 1, SampleFormat.INT_24).described(FULL);
        try (WavWriter writer = WavWriter.create(folder.resolve("a.wav"), print)) {
            writer.write(new double[1][10], 10);
            assertThrows(IllegalStateException.class,
                    () -> writer.finish(digest -> new Bext("", "", "", "", "", 0, Bext.Loudness.UNTOLD, "longer".repeat(20))));
        }
        assertTrue(Files.list(folder).findAny().isEmpty());
    }
}
