package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.audio.WavWriter;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** The same recording in two parts, as a slip of pasting makes it. That two of it are no two voices is common practice. */
class SameRecordingsTest extends SongFolder {
    private static final String TOLD = "the recording of one once more, 2.0 s of it at the same place: both are one voice, in the centre where they lie "
            + "opposite; name the take of two, or write a 'nudge' where an echo is meant";

    @BeforeEach
    void takes() throws IOException {
        Takes.tone(folder.resolve("one.wav"), 220, 0.1, 2);
        Takes.tone(folder.resolve("two.wav"), 222, 0.1, 2);
        Files.copy(folder.resolve("one.wav"), folder.resolve("copy.wav"));
    }

    /** Lines of the check, without what they begin with. */
    private List<String> told(String parts) throws IOException {
        write(parts);
        assertEquals(0, run("check", song), err::toString);
        return out.toString().lines().filter(l -> l.contains("once more")).map(String::strip).toList();
    }

    private void write(String parts) throws IOException {
        Files.writeString(song, "song: x\ntempo: 120 bpm\nsections: { a: 1, b: 2, end: 3 }\nparts:\n  lead: { take: take.wav }\n" + parts
                + "prints: [ mix ]\n");
    }

    private static String two(String one, String two) {
        return "  one: { " + one + " }\n  two: { " + two + " }\n";
    }

    @Test
    void aTakeThatWasPastedTwiceIsTold() throws IOException {
        assertEquals(List.of("two: one.wav: " + TOLD), told(two("take: one.wav, pan: 80 % left", "take: one.wav, pan: 80 % right")));
        assertEquals(List.of(), told(two("take: one.wav", "take: two.wav")));
        write(two("take: one.wav", "take: one.wav"));
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        assertEquals(List.of("two: one.wav: " + TOLD), err.toString().lines().filter(l -> l.contains("once more")).toList());
        assertTrue(Files.readString(prints.resolve("sheet.md")).contains("once more"));
    }

    @Test
    void soIsACopyOfAnotherName() throws IOException {
        assertEquals(List.of("two: copy.wav: " + TOLD.replace("of one", "of one (one.wav)")), told(two("take: one.wav", "take: copy.wav")));
    }

    /** By whomever, after what is told of the song before it is rendered: one that is refused until then is not told of it. */
    @Test
    void itIsToldAtOnePlace() throws IOException {
        assertEquals(0, run("mark", folder.resolve("take.wav")), err::toString);
        Takes.tone(folder.resolve("take.wav"), 220, 0.2, 0.2);
        write(two("take: one.wav", "take: one.wav"));
        assertEquals(0, run("check", song), err::toString);
        assertBefore("does not sound as it did", "once more", out.toString());
        assertEquals(0, run("check", "--json", song), err::toString);
        String notes = JsonParser.parseString(out.toString()).getAsJsonObject().get("remarks").toString();
        assertBefore("does not sound as it did", "once more", notes);
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        assertBefore("does not sound as it did", "once more", err.toString());
    }

    private static void assertBefore(String first, String then, String told) {
        assertTrue(told.contains(first) && told.indexOf(first) < told.indexOf(then), told);
    }

    /** As another program writes them: behind another header, or as floats. */
    @Test
    void soAreItsSamplesInAnotherFile() throws IOException {
        ByteBuffer plain = ByteBuffer.wrap(Files.readAllBytes(folder.resolve("one.wav"))).order(ByteOrder.LITTLE_ENDIAN);
        ByteBuffer more = ByteBuffer.allocate(plain.capacity() + 12).order(ByteOrder.LITTLE_ENDIAN).put(plain.array());
        more.put("note".getBytes(StandardCharsets.US_ASCII)).putInt(4).put("take".getBytes(StandardCharsets.US_ASCII));
        Files.write(folder.resolve("copy.wav"), more.putInt(4, plain.getInt(4) + 12).array());
        String told = "two: copy.wav: " + TOLD.replace("of one", "of one (one.wav)");
        assertEquals(List.of(told), told(two("take: one.wav", "take: copy.wav")));
        written(folder.resolve("copy.wav"), 0);
        assertEquals(List.of(told), told(two("take: one.wav", "take: copy.wav")));
    }

    /** What differs by one sample, or is as long and as silent where both are looked at, is another recording. */
    @Test
    void whatDiffersAnywhereIsNone() throws IOException {
        for (int places = 1; places <= 3; places++) {
            written(folder.resolve("copy.wav"), places);
            assertEquals(List.of(), told(two("take: one.wav", "take: copy.wav")));
        }
        double[][] none = new double[1][96_000];
        for (String name : new String[] {"one.wav", "copy.wav"}) {
            none[0][name.equals("one.wav") ? 100 : 95_000] = 0.5;
            write(folder.resolve(name), none);
            none[0] = new double[96_000];
        }
        assertEquals(List.of(), told(two("take: one.wav", "take: copy.wav")));
    }

    /** The recording as floats, but for so many samples at its end. */
    private void written(Path file, int others) throws IOException {
        double[][] x = new double[1][96_000];
        try (WavFile one = WavFile.open(folder.resolve("one.wav"))) {
            one.read(0, x, x[0].length);
        }
        for (int i = 0; i < others; i++) x[0][x[0].length - 1 - i] = 0.01;
        write(file, x);
    }

    private static void write(Path file, double[][] x) throws IOException {
        try (WavWriter writer = WavWriter.create(file, Print.of(48_000, 1, SampleFormat.FLOAT_32).overwriting())) {
            writer.write(x, x[0].length);
            writer.finish();
        }
    }

    /** Of three the third is told of the first as the second is, and each once. */
    @Test
    void eachIsToldOnce() throws IOException {
        List<String> told = told(two("take: one.wav", "take: one.wav") + "  three: { take: copy.wav, level: -3 dB }\n");
        assertEquals(List.of("two: one.wav: " + TOLD,
                "three: copy.wav: " + TOLD.replace("of one", "of one (one.wav)").replace("take of two", "take of three")), told);
    }

    /** What is put elsewhere, or made something else of, is meant. */
    @Test
    void whatIsMeantIsNot() throws IOException {
        String[][] meant = {
            {"take: one.wav", "take: one.wav, nudge: 20 ms later"},
            {"take: one.wav", "take: one.wav, at: b"},
            {"take: one.wav", "from: one"},
            {"take: one.wav", "take: one.wav, chain: [ shift: { by: 3 semitones } ]"},
            {"take: one.wav, chain: [ shift: { by: 3 semitones } ]", "take: one.wav, chain: [ shift: { by: -4 semitones } ]"},
            {"take: one.wav", "take: one.wav, chain: [ parallel: [ { level: 0 dB }, { level: -12 dB, steps: [ saturate: { drive: 6 dB } ] } ] ]"},
            // Each has its own stretch of it.
            {"take: one.wav, to: 1 s", "take: one.wav, from: 1 s"},
            {"take: one.wav, only: bar 1 beat 1 to bar 1 beat 3", "take: one.wav, edits: [ { mute: bar 1 beat 1 to bar 1 beat 3 } ]"},
            {"comp: [ { take: one.wav, from: 0 s }, { take: two.wav, from: 1 s } ]", "comp: [ { take: two.wav, from: 0 s }, { take: one.wav, from: 1 s } ]"},
        };
        for (String[] m : meant) assertEquals(List.of(), told(two(m[0], m[1])), m[1]);
    }

    /** What only mends, or puts in a place, makes no other voice of it; nor does another level. */
    @Test
    void theStretchInCommonCounts() throws IOException {
        String[][] slips = {
            {"take: one.wav", "take: one.wav, level: -6 dB, into: 3 dB", "2.0 s"},
            {"take: one.wav, chain: [ pan: { to: 40 % left } ]", "take: one.wav, chain: [ hum, pan: { to: 40 % right } ]", "2.0 s"},
            {"comp: [ { take: one.wav, from: 0 s }, { take: two.wav, from: 1.5 s } ]", "take: one.wav", "1.5 s"},
            {"take: one.wav, edits: [ { mute: bar 1 beat 2 to bar 1 beat 3 } ]", "take: one.wav", "1.5 s"},
            {"take: one.wav, nudge: 20 ms later", "take: one.wav, nudge: 20 ms later", "2.0 s"},
        };
        for (String[] s : slips) {
            List<String> told = told(two(s[0], s[1]));
            assertEquals(1, told.size(), s[1]);
            assertTrue(told.get(0).endsWith(TOLD.replace("2.0 s", s[2])), told.toString());
        }
    }

    /** The lead's own recording in a part that follows her is told where it is tidied. */
    @Test
    void whatFollowsItIsToldThere() throws IOException {
        assertEquals(List.of(), told(two("take: one.wav", "take: one.wav, tidy: { like: one }")));
    }
}
