package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonArray;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The takes of a night measured at once: what is wrong with one hides nothing of the others, and a script knows which it is. */
class SeveralTakesTest extends Called {
    private static final int TEXT = 3, SOUND = 4;

    @TempDir
    Path folder;

    private Path first, second, third;

    @BeforeEach
    void takes() throws IOException {
        first = take("a");
        second = take("b");
        third = take("c");
    }

    private Path take(String name) throws IOException {
        Path take = Files.createDirectory(folder.resolve(name)).resolve("lead.wav");
        Takes.tone(take, 220, 0.2, 0.5);
        return take;
    }

    private JsonArray measured(int code) {
        assertEquals(code, run("measure", first, second, third, "--json"), err::toString);
        return JsonParser.parseString(out.toString()).getAsJsonArray();
    }

    @Test
    void aBrokenListHidesTheOthersNoMoreThanABrokenSoundDoes() throws IOException {
        Files.writeString(second.resolveSibling("lead.marks.yaml"), "marks: [\n");
        assertTrue(measured(TEXT).toString().contains(third.toString()), out::toString);
        assertTrue(err.toString().contains("lead.marks.yaml:2:1: this is not YAML"), err::toString);
    }

    @Test
    void theExitCodeIsThatOfTheFirstFault() throws IOException {
        Files.writeString(first.resolveSibling("lead.marks.yaml"), "marks: [\n");
        Files.writeString(second, "nothing");
        measured(TEXT);
        Files.writeString(first, "nothing");
        measured(SOUND);
    }
}
