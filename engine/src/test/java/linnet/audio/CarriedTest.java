package linnet.audio;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Layouts: bext after EBU Tech 3285 v2; cue and adtl after the RIFF multimedia data standard (from memory). */
class CarriedTest {
    private static final int DATA = 0x6174_6164;

    @TempDir
    Path folder;

    @Test
    void cuesAndLabelsOfTheWholeAreKept() throws Exception {
        Chunk cue = new Chunk("cue ", Riff.ints(2, 7, 100, DATA, 0, 0, 100, 8, 900, DATA, 0, 0, 900));
        Chunk labels = new Chunk("LIST", list("adtl", label("labl", 7, "verse"), label("labl", 8, "shout")));
        Chunk info = new Chunk("LIST", list("INFO", label("INAM", 0, "song")));
        WavHeader print = printed(Print.of(48_000, 1, SampleFormat.INT_16).carrying(take(48_000, cue, labels, info)), 1000);
        assertSame(List.of(cue, labels, info), print.chunks());
    }

    /** Frames 500 to 999 of the take: the first cue is before them, the third behind; the second moves to 400. */
    @Test
    void cuesMoveWithARangeAndThoseOutsideGo() throws Exception {
        Chunk cue = new Chunk("cue ", Riff.ints(3, 7, 100, DATA, 0, 0, 100, 8, 900, DATA, 0, 0, 900, 9, 1000, DATA, 0, 0, 1000));
        byte[] stays = label("note", 8, "odd");
        Chunk labels = new Chunk("LIST", list("adtl", label("labl", 7, "verse"), stays, label("labl", 9, "end")));
        WavHeader print = printed(Print.of(48_000, 1, SampleFormat.INT_24).from(500).carrying(take(48_000, cue, labels)), 500);
        assertSame(List.of(new Chunk("cue ", Riff.ints(1, 8, 400, DATA, 0, 0, 400)), new Chunk("LIST", list("adtl", stays))), print.chunks());
    }

    @Test
    void cuesKeepTheirTimeAtAnotherRate() throws Exception {
        Chunk cue = new Chunk("cue ", Riff.ints(1, 7, 44_100, DATA, 0, 0, 44_100));
        WavHeader print = printed(Print.of(48_000, 1, SampleFormat.INT_16).carrying(take(44_100, cue)), 50_000);
        assertSame(List.of(new Chunk("cue ", Riff.ints(1, 7, 48_000, DATA, 0, 0, 48_000))), print.chunks());
    }

    @Test
    void nothingIsLeftOfCuesThatAreAllOutside() throws Exception {
        Chunk cue = new Chunk("cue ", Riff.ints(1, 7, 5000, DATA, 0, 0, 5000));
        Chunk labels = new Chunk("LIST", list("adtl", label("labl", 7, "late")));
        assertEquals(List.of(), printed(Print.of(48_000, 1, SampleFormat.INT_16).carrying(take(48_000, cue, labels)), 1000).chunks());
    }

    /** A count that lies, a body that is cut: what is whole is kept, nothing breaks. */
    @Test
    void damagedCuesAndLabels() throws Exception {
        byte[] cue = Riff.ints(-1, 7, 100, DATA, 0, 0, 100, 8, 900);
        byte[] labels = Arrays.copyOf(list("adtl", label("labl", 7, "verse"), label("labl", 8, "x")), 30);
        WavHeader print = printed(Print.of(48_000, 1, SampleFormat.INT_16)
                .carrying(take(48_000, new Chunk("cue ", cue), new Chunk("LIST", labels), new Chunk("cue ", new byte[2]))), 1000);
        assertSame(List.of(new Chunk("cue ", Riff.ints(1, 7, 100, DATA, 0, 0, 100)), new Chunk("LIST", labels)), print.chunks());
    }

    @Test
    void broadcastExtension() throws Exception {
        byte[] body = new byte[602 + 20];
        ByteBuffer b = ByteBuffer.wrap(body).order(ByteOrder.LITTLE_ENDIAN);
        b.put("take one".getBytes(StandardCharsets.US_ASCII));
        b.putLong(338, 44_100L * 3600).putShort(346, (short) 2);
        for (int at = 412; at < 422; at += 2) b.putShort(at, (short) -2300);
        byte[] history = "A=PCM,F=44100\r\n".getBytes(StandardCharsets.US_ASCII);
        b.put(602, history);
        WavHeader print = printed(Print.of(48_000, 2, SampleFormat.INT_24).from(480).carrying(take(44_100, new Chunk("bext", body))), 1000);

        byte[] got = print.chunks().get(0).body();
        ByteBuffer g = ByteBuffer.wrap(got).order(ByteOrder.LITTLE_ENDIAN);
        assertArrayEquals(Arrays.copyOf(body, 338), Arrays.copyOf(got, 338), "words and dates are the take's");
        assertEquals(48_000L * 3600 + 480, g.getLong(338), "one hour after midnight and 10 ms");
        for (int at = 412; at < 422; at += 2) assertEquals(0x7FFF, g.getShort(at), "the take's loudness is not the print's");
        assertEquals("A=PCM,F=44100\r\nA=PCM,F=48000,W=24,M=stereo,T=linnet\r\n", new String(got, 602, got.length - 602, StandardCharsets.US_ASCII));
    }

    @Test
    void firstVersionHasNoLoudnessAndAnOpenLineIsClosed() throws Exception {
        byte[] body = new byte[610];
        Arrays.fill(body, 348, 602, (byte) 3);
        Arrays.fill(body, 602, 606, (byte) 'x');
        WavHeader print = printed(Print.of(48_000, 1, SampleFormat.FLOAT_32).carrying(take(48_000, new Chunk("bext", body))), 1000);
        byte[] got = print.chunks().get(0).body();
        assertArrayEquals(Arrays.copyOfRange(body, 338, 602), Arrays.copyOfRange(got, 338, 602));
        assertEquals("xxxx\r\nA=PCM,F=48000,W=32,M=mono,T=linnet; float\r\n", new String(got, 602, got.length - 602, StandardCharsets.US_ASCII));
    }

    private WavHeader printed(Print print, int frames) throws Exception {
        Path file = folder.resolve("print.wav");
        try (WavWriter writer = WavWriter.create(file, print)) {
            writer.write(new double[print.channels()][frames], frames);
            writer.finish();
        }
        try (WavFile wav = WavFile.open(file)) {
            assertEquals(frames, wav.frames());
            assertEquals(List.of(), wav.header().remarks());
            return wav.header();
        }
    }

    private static WavHeader take(int rate, Chunk... chunks) {
        return new WavHeader(rate, 1, 1_000_000, SampleFormat.INT_24, 44, List.of(chunks), List.of());
    }

    private static byte[] label(String kind, int cue, String text) {
        byte[] words = text.getBytes(StandardCharsets.US_ASCII);
        int length = 4 + words.length + 1;
        return Riff.little(8 + length + length % 2).put(kind.getBytes(StandardCharsets.US_ASCII)).putInt(length).putInt(cue).put(words).array();
    }

    private static byte[] list(String type, byte[]... parts) {
        ByteArrayOutputStream all = new ByteArrayOutputStream();
        all.writeBytes(type.getBytes(StandardCharsets.US_ASCII));
        for (byte[] part : parts) all.writeBytes(part);
        return all.toByteArray();
    }

    private static void assertSame(List<Chunk> want, List<Chunk> got) {
        assertEquals(want.stream().map(CarriedTest::words).toList(), got.stream().map(CarriedTest::words).toList());
    }

    private static String words(Chunk chunk) {
        return chunk.id() + Arrays.toString(chunk.body());
    }
}
