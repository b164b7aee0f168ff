package linnet.song;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import linnet.step.Catalogue;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Names of a song become names of files. */
class SongNamesTest {
    private static final Catalogue CATALOGUE = Builtins.catalogue();

    @TempDir
    Path folder;

    private Song read(String parts, String print) throws IOException, ProblemsException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 3 }\nparts:\n" + parts + "prints: [ " + print + " ]\n");
        return SongReader.read(file, CATALOGUE);
    }

    private String refused(String parts, String print) {
        return assertThrows(ProblemsException.class, () -> read(parts, print)).getMessage();
    }

    private static String part(String name) {
        return "  " + name + ": { take: a.wav }\n";
    }

    @ParameterizedTest
    @ValueSource(strings = {"lead", "double left", "-x", "1", "p.wav", "\u017e", "ad-libs (soft)", "a_b"})
    void aNameThatAFileCanHaveIsTaken(String name) throws Exception {
        assertEquals(name, read(part("\"" + name + "\""), "mix").parts().get(0).name().text());
    }

    @ParameterizedTest
    @ValueSource(strings = {"../escaped", "..", ".", "/tmp/elsewhere", "a/b", "a\\\\b", "a:b", "a*b", "a?", ".hidden", "", " ", " a", "a\\0b", "a\\nb",
            "\\u202eab"})
    void aNameThatLeadsElsewhereOrIsNoneOfAFileIsAProblemAtItsPlace(String name) {
        String said = refused(part("\"" + name + "\""), "mix");
        assertTrue(said.contains("song.yaml:5:3: a print takes its file name from this"), said);
    }

    @Test
    void aLongNameIsAProblem() {
        assertTrue(refused(part("n".repeat(300)), "mix").contains("1 to 60 characters"));
    }

    @Test
    void namesThatWouldBeOneFileAreAProblem() {
        assertTrue(refused(part("Lead") + part("lead"), "mix").contains("the name of something else already"));
        assertTrue(refused(part("\"\\u00e9\"") + part("\"e\\u0301\""), "mix").contains("the name of something else already"));
        assertTrue(refused(part("Mix"), "mix").contains("capitals make no difference"));
    }

    @Test
    void thePrintOfAnInstrumentalThatIsNotThereIsAProblem() {
        assertTrue(refused(part("lead"), "instrumental").contains("song.yaml:6:11: this song has no print 'instrumental'"));
    }
}
