package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.SoundFileException;
import linnet.audio.WavWriter;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** Whatever ends a command that was asked for JSON, a script finds one object where it looks for the answer, and a reader finds the words where they were. */
class FaultAsJsonTest extends Called {
    private static final int NO_FILE = 2, NO_TEXT = 3, NO_SOUND = 4;

    @TempDir
    Path folder;

    private JsonObject error(int code, Object... words) {
        assertEquals(code, run(words), err::toString);
        assertFalse(err.toString().isBlank());
        JsonObject all = JsonParser.parseString(out.toString()).getAsJsonObject();
        assertEquals(1, all.size(), all::toString);
        JsonObject error = all.getAsJsonObject("error");
        assertEquals(code, error.get("exit_code").getAsInt());
        assertTrue(err.toString().startsWith(error.get("message").getAsString()), err::toString);
        return error;
    }

    /** Java meets names that the locale has no letters for; a defect of ours it is not. */
    @Test
    void aNameOfOtherLettersIsNoDefect() {
        Fault fault = Fault.of(new InvalidPathException("über.wav", "Malformed input or input contains unmappable characters"));
        assertEquals(NO_FILE, fault.code());
        assertEquals("über.wav: the characters of this name are not those of the locale; say 'export LC_ALL=C.UTF-8' before", fault.message());
        assertTrue(fault.defect().isEmpty());
    }

    /** Whether it was there before, or came there while this one was rendered. */
    @Test
    void aPrintThatIsThereAlreadyIsOneFault() throws IOException {
        Path print = folder.resolve("print.wav"), take = folder.resolve("take.wav"), chain = text("chain.yaml", "steps: [ trim ]\n");
        Takes.tone(take, 220, 0.2, 0.1);
        Print form = Print.of(48_000, 1, SampleFormat.INT_24);
        Fault late;
        try (WavWriter slow = WavWriter.create(print, form)) {
            Takes.tone(print, 220, 0.2, 0.1);
            slow.write(new double[1][48], 48);
            late = Fault.of(assertThrows(SoundFileException.class, slow::finish));
        }
        JsonObject early = error(NO_FILE, "render", chain, take, "--out", print, "--json");
        assertEquals(print + " is there already; say --force to replace it", early.get("message").getAsString());
        assertEquals(print.toString(), early.get("file").getAsString());
        assertEquals(early, late.json().getAsJsonObject("error"));
        assertEquals(early, Fault.of(assertThrows(SoundFileException.class, () -> WavWriter.create(print, form))).json().getAsJsonObject("error"));
    }

    private Path text(String name, String text) throws IOException {
        return Files.writeString(folder.resolve(name), text);
    }

    @Test
    void ofATextWithEveryPlace() throws IOException {
        Path chain = text("chain.yaml", "steps:\n  - trimm: { level: -3 dB }\n  - high-pass: { frequency: 80 Hz, slop: 24 }\n");
        JsonObject error = error(NO_TEXT, "check", chain, "--json");
        assertEquals(2, error.getAsJsonArray("problems").size(), error::toString);
        JsonObject first = error.getAsJsonArray("problems").get(0).getAsJsonObject();
        assertEquals(chain.toString(), first.get("file").getAsString());
        assertEquals(2, first.get("line").getAsInt());
        assertEquals(5, first.get("column").getAsInt());
        assertEquals("there is no step 'trimm'; did you mean 'trim'?", first.get("message").getAsString());
    }

    @Test
    void ofASoundWithItsFile() {
        Path none = folder.resolve("none.wav");
        assertEquals(none.toString(), error(NO_SOUND, "measure", none, "--json").get("file").getAsString());
        assertEquals(none.toString(), error(NO_SOUND, "mark", "--json", none).get("file").getAsString());
    }

    @Command(name = "burst")
    private static final class Burst implements Callable<Integer> {
        @Option(names = "--json")
        private boolean json;

        @Override
        public Integer call() {
            throw new OutOfMemoryError("Java heap space");
        }
    }

    @Test
    void ofMemoryThatRanOut() {
        CommandLine line = Main.commandLine().addSubcommand(new Burst());
        StringWriter said = new StringWriter(), fault = new StringWriter();
        line.setOut(new PrintWriter(said));
        line.setErr(new PrintWriter(fault));
        assertEquals(1, line.execute("burst", "--json"));
        assertTrue(fault.toString().startsWith("there is not enough memory for this"), fault::toString);
        assertEquals(1, JsonParser.parseString(said.toString()).getAsJsonObject().getAsJsonObject("error").get("exit_code").getAsInt());
    }

    @Test
    void ofWrongWords() throws IOException {
        Path chain = text("chain.yaml", "steps: [ trim ]\n");
        error(NO_FILE, "check", chain, "--jason", "--json");
        error(NO_FILE, "render", chain, "--json");
        error(NO_FILE, "check", chain, "--marks", "x.yaml", "--json");
        error(NO_FILE, "diff", chain, folder.resolve("take.wav"), "--json");
    }

    /** That names a file here. */
    @Test
    void butNotBehindTheEndOfOptions() {
        assertEquals(NO_TEXT, run("check", "--", "--json"));
        assertEquals("", out.toString());
    }

    @Test
    void ofEveryCommandThatHasIt() {
        List<String> asked = new ArrayList<>();
        for (var c : Main.commandLine().getSubcommands().entrySet()) {
            CommandLine.Model.CommandSpec command = c.getValue().getCommandSpec();
            if (command.findOption("--json") == null) continue;
            asked.add(c.getKey());
            List<Object> words = new ArrayList<>(List.of(c.getKey(), "--json"));
            for (CommandLine.Model.PositionalParamSpec p : command.positionalParameters()) {
                words.add(folder.resolve("none" + (p.paramLabel().contains("yaml") ? ".yaml" : ".wav")));
            }
            if (command.findOption("--out") != null && command.findOption("--out").required()) words.addAll(List.of("--out", folder.resolve("print.wav")));
            assertTrue(run(words.toArray()) > 1, c::getKey);
            assertTrue(JsonParser.parseString(out.toString()).getAsJsonObject().has("error"), () -> c.getKey() + ": " + out);
        }
        assertEquals(8, asked.size(), asked::toString);
    }

    @Test
    void andNothingWhereNoneIsAskedFor() {
        assertEquals(NO_TEXT, run("check", folder.resolve("none.yaml")));
        assertEquals("", out.toString());
    }
}
