package linnet.list;

import static org.junit.jupiter.api.Assertions.assertEquals;
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
import linnet.text.ProblemsException;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;

/** What a wrong list of marks is told, word for word. */
class MarksMessagesTest {
    private static final Path FOLDER = Voices.repository().resolve("engine/src/test/resources/marks");
    private static final Take LEAD = new Take("lead.wav", 48_000, 722_880, "1f0c8e77");

    private static List<Path> files() throws IOException {
        try (Stream<Path> files = Files.list(FOLDER)) {
            return files.filter(f -> f.toString().endsWith(".yaml")).sorted().toList();
        }
    }

    @TestFactory
    List<DynamicTest> everyBrokenListIsExplained() throws IOException {
        return files().stream().map(f -> dynamicTest(f.getFileName().toString(), () -> {
            ProblemsException said = assertThrows(ProblemsException.class, () -> MarksFile.read(f, Optional.of(LEAD)));
            Path expected = Path.of(f.toString().replace(".yaml", ".txt"));
            assertEquals(Files.readString(expected).stripTrailing(), said.getMessage().replace(FOLDER + "/", ""));
        })).toList();
    }

    @Test
    void thereAreEnoughOfThem() throws IOException {
        assertTrue(files().size() >= 30);
    }

    @Test
    void tooManyMarksAreToldOnce(@TempDir Path folder) throws IOException {
        StringBuilder text = new StringBuilder("marks: lead.wav\nrate: 48000 Hz\nframes: 722880\nlist:\n");
        for (int i = 0; i <= MarksFile.MOST; i++) text.append("- { vowel: ").append(i).append(" ms }\n");
        Path file = folder.resolve("lead.marks.yaml");
        Files.writeString(file, text);
        ProblemsException said = assertThrows(ProblemsException.class, () -> MarksFile.read(file, Optional.of(LEAD)));
        assertEquals(file + ":10005:3: a list holds at most 10000 marks, not 10001\n    - { vowel: 10000 ms }\n      ^^^^^^^^^^^^^^^^^^^", said.getMessage());
    }
}
