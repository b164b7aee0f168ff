package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
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

    @Test
    void eachFaultStandsInThePlaceOfItsTake() throws IOException {
        Files.writeString(second, "nothing");
        Files.writeString(third.resolveSibling("lead.marks.yaml"), "marks: [\n");
        JsonArray all = measured(SOUND);
        assertEquals(3, all.size());
        assertEquals(first.toString(), all.get(0).getAsJsonObject().get("file").getAsString());
        JsonObject sound = all.get(1).getAsJsonObject(), list = all.get(2).getAsJsonObject();
        assertEquals(second.toString(), sound.get("file").getAsString());
        assertEquals(SOUND, sound.getAsJsonObject("error").get("exit_code").getAsInt());
        assertEquals(third.toString(), list.get("file").getAsString());
        assertEquals(2, list.getAsJsonObject("error").getAsJsonArray("problems").get(0).getAsJsonObject().get("line").getAsInt());
    }

    /** An array that was asked for is one, whatever is wrong with what it is of. */
    @Test
    void soDoAllOfThem() throws IOException {
        for (Path take : new Path[] {first, second, third}) Files.delete(take);
        assertEquals(3, measured(SOUND).size());
    }

    @Test
    void theFileIsNamedAsItWasGiven() throws IOException {
        Files.writeString(second, "nothing");
        Files.delete(third);
        measured(SOUND);
        assertTrue(err.toString().startsWith(second + ": is not a WAV file"), err::toString);
        assertTrue(err.toString().lines().toList().get(1).startsWith(third + ": is not there"), err::toString);
        assertTrue(out.toString().contains("\"message\": \"" + second + ": is not a WAV file"), out::toString);
    }

    @Test
    void oneAloneIsToldAsBefore() throws IOException {
        Files.writeString(second, "nothing");
        assertEquals(SOUND, run("measure", second, "--json"));
        assertTrue(err.toString().startsWith("lead.wav: is not a WAV file"), err::toString);
        assertTrue(JsonParser.parseString(out.toString()).getAsJsonObject().has("error"), out::toString);
    }
}
