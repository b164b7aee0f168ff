package linnet.audio;

import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static java.nio.charset.StandardCharsets.UTF_8;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.ThreadMXBean;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A corpus of broken files. Each is refused quickly, in bounded memory, with the message that stands in {@code
 * broken-files.txt}, and leaves no print.
 */
class BrokenFilesTest {
    private static final byte[] SOUND = Riff.shorts(1, 2, 3, 4, 5, 6);
    private static final int RATE = 48_000;

    @TempDir
    Path folder;

    private final Map<String, byte[]> corpus = new LinkedHashMap<>();

    private void corpus() {
        // No WAV at all.
        add("empty", new byte[0]);
        add("two-bytes", "RI".getBytes(ISO_8859_1));
        add("words", "This is a lyric sheet.".getBytes(ISO_8859_1));
        add("mp3-tagged", "ID3\4\0\0\0\0\0\0\0\0\0".getBytes(ISO_8859_1));
        add("mp3-bare", new byte[] {-1, -5, -112, 100, 0, 0, 0, 0, 0, 0, 0, 0});
        add("aac", new byte[] {-1, -15, 80, -128, 0, 0, 0, 0, 0, 0, 0, 0});
        add("flac", "fLaC\0\0\0\42\20\0\20\0".getBytes(ISO_8859_1));
        add("ogg", "OggS\0\2\0\0\0\0\0\0".getBytes(ISO_8859_1));
        add("aiff", "FORM\0\0\0\56AIFFCOMM".getBytes(ISO_8859_1));
        add("mp4", "\0\0\0\40ftypM4A ".getBytes(ISO_8859_1));
        add("caf", "caff\0\1\0\0desc".getBytes(ISO_8859_1));
        add("au", ".snd\0\0\0\30\0\0\0\0".getBytes(ISO_8859_1));
        add("big-endian", "RIFX\0\0\0\44WAVEfmt ".getBytes(ISO_8859_1));
        add("zip", "PK\3\4\24\0\0\0\10\0\0\0".getBytes(ISO_8859_1));
        add("pdf", "%PDF-1.7\n%abc".getBytes(ISO_8859_1));
        add("film", "RIFF\44\0\0\0AVI LIST".getBytes(ISO_8859_1));
        // Headers cut short or chunks amiss.
        add("cut-in-head", "RIFF\44\0\0\0".getBytes(ISO_8859_1));
        add("head-only", Riff.riff());
        add("cut-in-fmt", Riff.riff().chunk("fmt ", 16, new byte[6]));
        add("no-fmt", Riff.riff().chunk("data", SOUND));
        add("no-data", Riff.riff().pcm(1, RATE, 16));
        add("short-fmt", Riff.riff().chunk("fmt ", new byte[14]).chunk("data", SOUND));
        add("two-fmt", Riff.riff().pcm(1, RATE, 16).pcm(2, RATE, 16).chunk("data", SOUND));
        add("two-data", Riff.riff().pcm(1, RATE, 16).chunk("data", SOUND).chunk("data", SOUND));
        add("lying-chunk", Riff.riff().pcm(1, RATE, 16).chunk("bext", Integer.MAX_VALUE, new byte[602]).chunk("data", SOUND));
        add("lying-unsigned", Riff.riff().pcm(1, RATE, 16).chunk("LIST", -2, new byte[8]).chunk("data", SOUND));
        add("unprintable", Riff.riff().chunk("\0\7\u00ff\n", 1 << 20, new byte[8]));
        Riff many = Riff.riff();
        for (int i = 0; i < 100_000; i++) many.chunk("junk", new byte[0]);
        add("many-chunks", many.pcm(1, RATE, 16).chunk("data", SOUND));
        // What fmt claims.
        add("no-channel", format(1, 0, RATE, 0, 16));
        add("six-channels", format(1, 6, RATE, 12, 16));
        add("most-channels", format(1, 65_535, RATE, 65_534, 16));
        add("no-rate", format(1, 1, 0, 2, 16));
        add("low-rate", format(1, 1, 4_000, 2, 16));
        add("high-rate", format(1, 1, 384_000, 2, 16));
        add("absurd-rate", format(1, 1, -1, 2, 16));
        add("align", format(1, 2, RATE, 2, 16));
        add("align-wide", format(1, 1, RATE, 4, 24));
        add("no-align", format(1, 1, RATE, 0, 16));
        add("adpcm", format(2, 1, RATE, 256, 4));
        add("a-law", format(6, 1, RATE, 1, 8));
        add("mu-law", format(7, 1, RATE, 1, 8));
        add("ima-adpcm", format(0x11, 1, RATE, 256, 4));
        add("mp3-in-wav", format(0x55, 2, RATE, 1, 0));
        add("unknown-tag", format(0x7A21, 1, RATE, 2, 16));
        add("four-bits", format(1, 1, RATE, 1, 4));
        add("no-bits", format(1, 1, RATE, 2, 0));
        add("integer-64", format(1, 1, RATE, 8, 64));
        add("half-float", format(3, 1, RATE, 2, 16));
        add("extensible-short", format(0xFFFE, 1, RATE, 2, 16));
        byte[] guid = Riff.extensible(1, 1, RATE, 2, 16, 16);
        guid[39] = 0;
        add("unknown-guid", Riff.riff().chunk("fmt ", guid).chunk("data", SOUND));
        add("extensible-adpcm", Riff.riff().chunk("fmt ", Riff.extensible(2, 1, RATE, 2, 16, 16)).chunk("data", SOUND));
        add("valid-bits", Riff.riff().chunk("fmt ", Riff.extensible(1, 1, RATE, 2, 16, 24)).chunk("data", SOUND));
        // What data claims.
        add("cut-short", Riff.riff().pcm(2, RATE, 24).chunk("data", 10 * 6 * RATE, new byte[3 * RATE]));
        add("2-31-frames", Riff.riff().pcm(1, RATE, 8).chunk("data", Integer.MIN_VALUE, SOUND));
        add("no-frame", Riff.riff().pcm(1, RATE, 16).chunk("data", new byte[0]));
        add("no-frame-then-more", Riff.riff().pcm(1, RATE, 16).chunk("data", new byte[0]).chunk("bext", new byte[602]));
        add("part-of-a-frame", Riff.riff().pcm(2, RATE, 24).chunk("data", new byte[5]));
        add("rf64-no-ds64", Riff.start("RF64").pcm(1, RATE, 16).chunk("data", -1, SOUND));
        add("rf64-late-ds64", Riff.start("RF64").pcm(1, RATE, 16).chunk("data", -1, SOUND).chunk("ds64", Riff.ds64(0, 12, 6)));
        add("rf64-short-ds64", Riff.start("RF64").chunk("ds64", new byte[20]).pcm(1, RATE, 16).chunk("data", -1, SOUND));
        add("rf64-beyond-all", Riff.start("BW64").chunk("ds64", Riff.ds64(0, Long.MIN_VALUE, 6)).pcm(1, RATE, 16).chunk("data", -1, SOUND));
        add("rf64-lying", Riff.start("RF64").chunk("ds64", Riff.ds64(0, Long.MAX_VALUE, 6)).pcm(1, RATE, 16).chunk("data", -1, SOUND));
        // Samples that are none.
        float[] x = new float[2 * RATE];
        x[RATE] = Float.NaN;
        add("nan", Riff.riff().chunk("fmt ", Riff.fmt(3, 1, RATE, 4, 32)).chunk("data", Riff.floats(x)));
        x[RATE] = 0;
        x[RATE + 25] = Float.NEGATIVE_INFINITY;
        add("infinite", Riff.riff().chunk("fmt ", Riff.fmt(3, 2, RATE, 8, 32)).chunk("data", Riff.floats(x)));
        x[RATE + 24] = 2e9f;
        add("integers-as-float", Riff.riff().chunk("fmt ", Riff.fmt(3, 2, RATE, 8, 32)).chunk("data", Riff.floats(x)));
        add("nan-64", Riff.riff().chunk("fmt ", Riff.fmt(3, 1, RATE, 8, 64)).chunk("data", Riff.little(16).putDouble(0).putDouble(Double.NaN).array()));
    }

    private void add(String name, Riff riff) {
        add(name, riff.bytes());
    }

    private void add(String name, byte[] bytes) {
        corpus.put(name + ".wav", bytes);
    }

    private static Riff format(int tag, int channels, int rate, int align, int bits) {
        return Riff.riff().chunk("fmt ", Riff.fmt(tag, channels, rate, align, bits)).chunk("data", SOUND);
    }

    @Test
    void eachIsRefusedInItsOwnWords() throws Exception {
        corpus();
        List<String> messages = new ArrayList<>();
        messages.add(refusal(folder.resolve("not-there.wav")));
        messages.add(refusal(folder.resolve("\ufffd.wav")));
        messages.add(refusal(Files.createDirectory(folder.resolve("folder.wav"))));
        for (Map.Entry<String, byte[]> broken : corpus.entrySet()) {
            messages.add(refusal(Files.write(folder.resolve(broken.getKey()), broken.getValue())));
        }
        try (var expected = BrokenFilesTest.class.getResourceAsStream("broken-files.txt")) {
            assertEquals(new String(expected.readAllBytes(), UTF_8), String.join("\n", messages) + "\n");
        }
    }

    @Test
    void aFileThatShrinksWhileItIsRead() throws Exception {
        Path file = Files.write(folder.resolve("shrinks.wav"), Riff.riff().pcm(1, RATE, 16).chunk("data", new byte[1 << 20]).bytes());
        try (WavFile wav = WavFile.open(file)) {
            Files.write(file, Arrays.copyOf(Files.readAllBytes(file), 1000));
            UncheckedIOException e = assertThrows(UncheckedIOException.class, () -> wav.read(400_000, new double[1][480], 480));
            assertEquals("shrinks.wav: became shorter while it was read; wait until its copy has finished", e.getCause().getMessage());
        }
    }

    private String refusal(Path file) throws IOException {
        ThreadMXBean thread = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        long allocated = thread.getCurrentThreadAllocatedBytes();
        long start = System.nanoTime();
        Path out = folder.resolve("out.wav");
        SoundFileException e = assertThrows(SoundFileException.class, () -> copy(file, out), file.toString());
        assertTrue(System.nanoTime() - start < 2_000_000_000L, file + " took too long");
        assertTrue(thread.getCurrentThreadAllocatedBytes() - allocated < 8 << 20, file + " took too much memory");
        assertEquals(file, e.file());
        try (var files = Files.list(folder)) {
            assertTrue(files.map(f -> f.getFileName().toString())
                    .allMatch(f -> f.equals(file.getFileName().toString()) || corpus.containsKey(f) || f.equals("folder.wav")));
        }
        return e.getMessage();
    }

    /** A print of the file as it is. */
    static void copy(Path file, Path out) throws SoundFileException {
        try (WavFile wav = WavFile.open(file)) {
            Print print = Print.of((int) wav.rate(), wav.channels(), SampleFormat.INT_24).carrying(wav.header()).sparing(List.of(file)).overwriting();
            try (WavWriter writer = WavWriter.create(out, print)) {
                double[][] block = new double[wav.channels()][480];
                for (long at = 0; at < wav.frames(); at += 480) {
                    int n = (int) Math.min(480, wav.frames() - at);
                    wav.read(at, block, n);
                    writer.write(block, n);
                }
                writer.finish();
            }
        } catch (UncheckedIOException e) {
            if (e.getCause() instanceof SoundFileException s) throw s;
            throw e;
        }
    }
}
