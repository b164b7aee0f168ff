package linnet.audio;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Cue labels, true and lying. */
class LabelTest {
    @TempDir
    Path folder;

    private static byte[] label(int cue, String text) {
        return label(cue, text.getBytes(StandardCharsets.UTF_8), text.getBytes(StandardCharsets.UTF_8).length + 5);
    }

    private static byte[] label(int cue, byte[] text, int claimed) {
        int length = 4 + text.length + 1;
        return Riff.little(8 + length + length % 2).put("labl".getBytes(StandardCharsets.ISO_8859_1)).putInt(claimed).putInt(cue).put(text).array();
    }

    private static byte[] list(byte[]... parts) {
        ByteBuffer b = Riff.little(4 + Arrays.stream(parts).mapToInt(p -> p.length).sum()).put("adtl".getBytes(StandardCharsets.ISO_8859_1));
        for (byte[] p : parts) b.put(p);
        return b.array();
    }

    private static byte[] cues(int count, int... idsAndFrames) {
        ByteBuffer b = Riff.little(4 + 12 * idsAndFrames.length).putInt(count);
        for (int i = 0; i < idsAndFrames.length; i += 2) {
            b.putInt(idsAndFrames[i]).putInt(idsAndFrames[i + 1]).put("data".getBytes(StandardCharsets.ISO_8859_1)).putInt(0).putInt(0)
                    .putInt(idsAndFrames[i + 1]);
        }
        return b.array();
    }

    private List<Label> read(byte[] cues, byte[] list) throws Exception {
        Path file = folder.resolve("guide.wav");
        Files.write(file, Riff.riff().pcm(1, 48_000, 16).chunk("data", new byte[2000]).chunk("cue ", cues).chunk("LIST", list).bytes());
        try (WavFile wav = WavFile.open(file)) {
            return Label.of(wav.header());
        }
    }

    @Test
    void cuesComeInOrderOfTimeWithTheirLabels() throws Exception {
        assertEquals(List.of(new Label("Strophe één", 0), new Label("", 400), new Label("chorus", 900)),
                read(cues(3, 2, 900, 1, 0, 3, 400), list(label(1, "Strophe één"), label(2, "chorus\n"))));
        assertEquals(List.of(new Label("é", 7)), read(cues(1, 5, 7), list(label(5, new byte[] {(byte) 0xE9}, 6))));
    }

    @Test
    void whatIsClaimedIsHeldAgainstTheBytes() throws Exception {
        byte[] whole = cues(1, 1, 10), list = list(label(1, "a"));
        assertEquals(List.of(new Label("a", 10)), read(cues(-1, 1, 10), list));
        assertEquals(List.of(), read(cues(1000), list));
        assertEquals(List.of(), read(new byte[] {1, 0}, list));
        assertEquals(List.of(), read(cues(1, 1, 5000), list), "past the end of the sound");
        assertEquals(List.of(new Label("", 10)), read(whole, list(label(1, "a".getBytes(StandardCharsets.UTF_8), -1))));
        assertEquals(List.of(new Label("", 10)), read(whole, list(label(1, "a".getBytes(StandardCharsets.UTF_8), 0))));
        assertEquals(List.of(new Label("", 10)), read(whole, list(label(1, "a".getBytes(StandardCharsets.UTF_8), 3))));
        assertEquals(120, read(whole, list(label(1, "x".repeat(5000)))).get(0).text().length());
    }

    /** Whatever bytes are there: it ends, and nothing is read that is not there. */
    @Test
    void bytesOfChanceAreSurvived() throws Exception {
        SplittableRandom random = new SplittableRandom(7);
        byte[] cues = cues(3, 1, 10, 2, 20, 3, 30), list = list(label(1, "one"), label(2, "two"), label(3, "three"));
        for (int k = 0; k < 3000; k++) {
            byte[] c = cues.clone(), l = list.clone();
            for (int flips = random.nextInt(6); flips >= 0; flips--) {
                c[random.nextInt(c.length)] = (byte) random.nextInt(256);
                l[4 + random.nextInt(l.length - 4)] = (byte) random.nextInt(256);
            }
            WavHeader header = new WavHeader(48_000, 1, 1000, SampleFormat.INT_16, 44,
                    List.of(new Chunk("cue ", Arrays.copyOf(c, random.nextInt(c.length + 1))),
                            new Chunk("LIST", Arrays.copyOf(l, random.nextInt(l.length + 1)))), List.of());
            for (Label found : Label.of(header)) assertTrue(found.frame() >= 0 && found.frame() < 1000);
        }
    }
}
