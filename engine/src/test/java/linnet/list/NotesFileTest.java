package linnet.list;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import linnet.Voices;
import linnet.hear.Note;
import linnet.hear.Note.Target;
import linnet.hear.Notes;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;

/** A list of notes is written, read back, and known for one that a person changed; a wrong one is explained word for word. */
class NotesFileTest {
    private static final Path FOLDER = Voices.repository().resolve("engine/src/test/resources/notes");
    private static final Take LEAD = new Take("lead.wav", 48_000, 722_880, "1f0c8e77");

    private static final Notes SOME = new Notes(List.of(
            new Note(592_320, 622_080, 65.77, 5.6, 42, 0, -68, 0.93, Optional.of(Target.at(66))),
            new Note(48_000, 96_001, 58.04, 0, 0, -80, 0, 1, Optional.of(Target.leave())),
            new Note(144_000, 150_000, 60.5, 0, 0, 0, 0, 0.4, Optional.empty()),
            new Note(150_000, 156_000, 62.4, 0, 0, 0, 0, 0.3, Optional.of(Target.withNeighbours())),
            new Note(200_000, 204_800, 70.33, 0, 0, 0, 0, 0.88, Optional.of(Target.at(70.2)))));

    @TempDir
    Path folder;

    private Path write(String text) throws IOException {
        Path file = folder.resolve("lead.notes.yaml");
        Files.writeString(file, text);
        return file;
    }

    private NotesFile read(String text) throws IOException, ProblemsException {
        return NotesFile.read(write(text), Optional.of(LEAD));
    }

    @Test
    void isWrittenForAPersonToRead() {
        List<String> lines = new NotesFile(LEAD, 440, false, SOME, false).text().lines().filter(l -> !l.startsWith("#") && !l.startsWith("check: ")).toList();
        assertEquals(List.of(
                "notes: \"lead.wav\"",
                "rate: 48000 Hz",
                "frames: 722880",
                "sound: \"1f0c8e77\"",
                "reference: 440 Hz",
                "list:",
                "  - { note: 1 s, length: 1.00002 s, heard: A#3 +4 cents, target: leave, scoop: -80 cents }",
                "  - { note: 3 s, length: 125 ms, heard: C#4 -50 cents, sure: 40 % }",
                "  - { note: 3.125 s, length: 125 ms, heard: D4 +40 cents, target: neighbours, sure: 30 % }",
                "  - { note: 4.16667 s, length: 100 ms, heard: A#4 +33 cents, target: A#4 +20 cents, sure: 88 % }",
                "  - { note: 12.34 s, length: 620 ms, heard: F#4 -23 cents, target: F#4, vibrato: 5.6 Hz 42 cents, fall: -68 cents, sure: 93 % }"), lines);
        assertTrue(new NotesFile(LEAD, 440, true, SOME, false).text().contains("heard: Bb3 +4 cents"));
    }

    /** At any reference: times to the sample, pitches to a hundredth of a cent. */
    @Test
    void readsBackWhatWasWritten() throws Exception {
        for (double reference : new double[] {440, 415, 442.5, 466}) {
            String text = new NotesFile(LEAD, reference, true, SOME, false).text();
            NotesFile back = read(text);
            assertEquals(text, back.text());
            assertFalse(back.edited());
            assertEquals(reference, back.reference());
            for (int k = 0; k < SOME.all().size(); k++) {
                Note a = SOME.all().get(k), b = back.notes().all().get(k);
                assertEquals(a.from(), b.from());
                assertEquals(a.to(), b.to());
                assertEquals(a.pitch(), b.pitch(), 0.0051);
                assertEquals(a.target().map(Target::kind), b.target().map(Target::kind));
                if (a.target().isPresent()) assertEquals(a.target().get().pitch(), b.target().get().pitch(), 0.0051);
                assertEquals(a.confidence(), b.confidence(), 0.0051);
            }
        }
    }

    /** What is written is a pitch above the A of that file. */
    @Test
    void theReferenceSaysWhatANameMeans() throws Exception {
        String text = "notes: lead.wav\nrate: 48 kHz\nframes: 722880\nreference: 443 Hz\nlist:\n  - { note: 1 s, length: 1 s, target: A4 }\n";
        assertEquals(69.1176381, read(text).notes().all().get(0).target().orElseThrow().pitch(), 1e-6);
    }

    @Test
    void aPersonsWayOfWritingIsRead() throws Exception {
        Notes notes = read("""
                notes: lead.wav
                rate: 48 kHz
                frames: 722880
                list:
                  - note: 12.34
                    length: 0.62 s
                    target: f#4
                  - { note: 1000 ms, length: 1 s, target: Gb4 + 20 cents, word: oh }
                  - { note: 3 s, length: 1 s, target: leave }
                  - { note: 5 s, length: 1 s, target: B3 -40 }
                """).notes();
        assertEquals(List.of(66.2, 0.0, 58.6, 66.0), notes.all().stream().map(n -> Math.round(n.target().orElseThrow().pitch() * 1e6) / 1e6).toList());
        assertEquals(1, notes.all().get(0).confidence());
        assertTrue(Double.isNaN(notes.all().get(0).pitch()));
    }

    @Test
    void anyEditBreaksTheSeal() throws Exception {
        String text = new NotesFile(LEAD, 440, false, SOME, false).text();
        assertTrue(Seal.holds(write(text)));
        assertTrue(Seal.holds(write(text.replace("\"lead.wav\"", "lead-old.wav"))));
        for (String edited : List.of(text.replace("target: F#4", "target: G4"), text.replace("440 Hz", "442 Hz"), text + "  # sings it so\n", "")) {
            assertFalse(Seal.holds(write(edited)), edited);
        }
        assertTrue(read(text.replace("target: F#4", "target: G4")).edited());
    }

    @Test
    void liesBesideItsTake() {
        assertEquals(Path.of("songs", "lead.notes.yaml"), NotesFile.beside(Path.of("songs", "lead.wav")));
    }

    private static List<Path> broken() throws IOException {
        try (Stream<Path> files = Files.list(FOLDER)) {
            return files.filter(f -> f.toString().endsWith(".yaml")).sorted().toList();
        }
    }

    @TestFactory
    List<DynamicTest> everyBrokenListIsExplained() throws IOException {
        assertTrue(broken().size() >= 8);
        return broken().stream().map(f -> dynamicTest(f.getFileName().toString(), () -> {
            ProblemsException said = assertThrows(ProblemsException.class, () -> NotesFile.read(f, Optional.of(LEAD)));
            assertEquals(Files.readString(Path.of(f.toString().replace(".yaml", ".txt"))).stripTrailing(), said.getMessage().replace(FOLDER + "/", ""));
        })).toList();
    }
}
