package linnet.list;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import linnet.dsp.Samples;
import linnet.hear.Mark;
import linnet.hear.Mark.Kind;
import linnet.hear.Marks;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A list of marks is written, read back to the sample, and known for one that a person changed. */
class MarksFileTest {
    @TempDir
    Path folder;

    private static final Take LEAD = new Take("lead.wav", 48_000, 722_880, "1f0c8e77");

    private static final Marks SOME = new Marks(List.of(
            new Mark(Kind.PHRASE, 180_000, 300_001, 0.97, false),
            new Mark(Kind.BREATH, 160_896, 176_784, 0.92, false),
            new Mark(Kind.VOWEL, 182_880, 182_880, 0.88, false, "salt, \"on\" the \\ stones: größer"),
            new Mark(Kind.CLICK, 192_960, 193_061, 1, true),
            new Mark(Kind.KEEP, 580_800, 600_000, 1, true)));

    private Path write(String text) throws IOException {
        Path file = folder.resolve("lead.marks.yaml");
        Files.writeString(file, text);
        return file;
    }

    private MarksFile read(String text) throws IOException, ProblemsException {
        return MarksFile.read(write(text), Optional.of(LEAD));
    }

    @Test
    void isWrittenForAPersonToRead() {
        List<String> lines = new MarksFile(LEAD, SOME, false).text().lines().filter(l -> !l.startsWith("#") && !l.startsWith("check: ")).toList();
        assertEquals(List.of(
                "marks: \"lead.wav\"",
                "rate: 48000 Hz",
                "frames: 722880",
                "sound: \"1f0c8e77\"",
                "list:",
                "  - { breath: 3.352 s, length: 331 ms, sure: 92 % }",
                "  - { phrase: 3.75 s, length: 2.50002 s, sure: 97 % }",
                "  - { vowel: 3.81 s, sure: 88 %, word: \"salt, \\\"on\\\" the \\\\ stones: größer\" }",
                "  - { click: 4.02 s, length: 2.1 ms, keep: yes }",
                "  - { keep: 12.1 s, length: 400 ms }"), lines);
    }

    @Test
    void readsBackWhatWasWritten() throws Exception {
        MarksFile back = read(new MarksFile(LEAD, SOME, false).text());
        assertEquals(new MarksFile(LEAD, SOME, false), back);
        assertEquals(new MarksFile(LEAD, new Marks(List.of()), false), read(new MarksFile(LEAD, new Marks(List.of()), false).text()));
    }

    /** Any sample of an hour, at any rate. Every mark begins and ends at a sample of its own. */
    @ParameterizedTest
    @ValueSource(doubles = {8000, 11025, 22050, 44100, 48000, 88200, 96000, 176400, 192000})
    void everySampleReadsBack(double rate) throws Exception {
        long frames = (long) (3600 * rate);
        List<Mark> marks = new ArrayList<>();
        for (long at = 0; at < frames - 40_000 && marks.size() < 3000; at += frames / 2990 + marks.size() % 7) {
            marks.add(new Mark(Kind.CLICK, at, at + 1 + (at * 31) % 7919, 1, false));
        }
        Take take = new Take("lead.wav", rate, frames, "");
        assertTrue(marks.size() > 2900);
        assertEquals(marks, MarksFile.read(write(new MarksFile(take, new Marks(marks), false).text()), Optional.of(take)).marks().all());
    }

    @Test
    void aPersonsWayOfWritingIsRead() throws Exception {
        Marks marks = read("""
                marks: lead.wav
                rate: 48 kHz
                frames: 722880
                list:
                  - vowel: 3.81
                    word: salt
                  - { click: 4020 ms, length: 0.0021 s, keep: no }
                  - { keep: 12.1 s, length: 0.4 s, word: laughs here }
                  - { breath: 3.352 s, length: 331 ms }
                """).marks();
        assertEquals(List.of(
                new Mark(Kind.BREATH, 160_896, 176_784, 1, false),
                new Mark(Kind.VOWEL, 182_880, 182_880, 1, false, "salt"),
                new Mark(Kind.CLICK, 192_960, 193_061, 1, false),
                new Mark(Kind.KEEP, 580_800, 600_000, 1, true, "laughs here")), marks.all());
    }

    /** The list differs by one mark, and no other. */
    @Test
    void oneChangedRowChangesOneMark() throws Exception {
        String text = new MarksFile(LEAD, SOME, false).text();
        MarksFile back = read(text.replace("vowel: 3.81 s", "vowel: 3.825 s"));
        List<Mark> expected = new ArrayList<>(SOME.all());
        assertEquals(Kind.VOWEL, expected.get(2).kind());
        expected.set(2, new Mark(Kind.VOWEL, 183_600, 183_600, 0.88, false, SOME.all().get(2).word()));
        assertEquals(expected, back.marks().all());
        assertTrue(back.edited());
    }

    @Test
    void anyEditBreaksTheSeal() throws Exception {
        String text = new MarksFile(LEAD, SOME, false).text();
        assertTrue(Seal.holds(write(text)));
        for (String edited : List.of(
                text.replace("3.352 s", "3.353 s"),
                text.replace("  - { click: 4.02 s, length: 2.1 ms, keep: yes }\n", ""),
                text + "  # the breath before the bridge is meant\n",
                text.replaceAll("check: .*\n", ""),
                text.replaceAll("check: ....", "check: 0000"),
                "chain: no list at all\nsteps: [ trim ]\n",
                "")) {
            assertNotEquals(text, edited);
            assertFalse(Seal.holds(write(edited)), edited);
        }
        assertFalse(Seal.holds(folder.resolve("nothing.yaml")));
    }

    /** Line ends that a version control or an editor turned, and a take that was renamed, are no correction of the list. */
    @Test
    void theSealBearsOtherLineEndsAndAnotherName() throws Exception {
        String text = new MarksFile(LEAD, SOME, false).text();
        assertTrue(Seal.holds(write(text.replace("\n", "\r\n"))));
        assertTrue(Seal.holds(write(text.replace("\"lead.wav\"", "lead-old.wav"))));
    }

    @Test
    void aListOfAnyTakeIsReadWhereNoneIsNamed() throws Exception {
        Take other = new Take("other.wav", 44_100, 900_000, "");
        assertEquals(other, MarksFile.read(write(new MarksFile(other, SOME, false).text()), Optional.empty()).take());
    }

    @Test
    void liesBesideItsTake() {
        assertEquals(Path.of("songs", "lead.marks.yaml"), MarksFile.beside(Path.of("songs", "lead.wav")));
        assertEquals(Path.of("lead.v2.marks.yaml"), MarksFile.beside(Path.of("lead.v2.WAV")));
        assertEquals(Path.of("lead.marks.yaml"), MarksFile.beside(Path.of("lead")));
    }

    @Test
    void aTakeIsKnownByItsSamples() {
        double[] x = new double[10_000];
        for (int i = 0; i < x.length; i++) x[i] = 0.5 * Math.sin(0.1 * i);
        Take whole = Take.of("lead.wav", new Samples(48_000, x));
        assertEquals(whole, Take.of("lead.wav", new Samples(48_000, x.clone())));
        double[] other = x.clone();
        other[9_999] += 1e-6;
        assertNotEquals(whole, Take.of("lead.wav", new Samples(48_000, other)));
        assertNotEquals(whole.sound(), Take.of("lead.wav", new Samples(48_000, x, other)).sound());
    }
}
