package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import linnet.demo.Performance;
import linnet.demo.Score;
import linnet.demo.Singer;
import linnet.demo.Song;
import linnet.dsp.Cell;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import picocli.CommandLine;

/** The list of notes as a user meets it: written, corrected, used by tune, and never lost. */
class NotesCommandTest {
    private static final double[] SUNG = Performance.sing(line(), Singer.high(), 48_000).samples();

    @TempDir
    Path folder;

    private Path take, list, chain;
    private final StringWriter out = new StringWriter();
    private final StringWriter err = new StringWriter();

    private static Score line() {
        Score song = Song.lead();
        return new Score(song.title(), song.beatsPerMinute(), song.beatsPerBar(), song.key(), 3, song.phrases().subList(0, 1));
    }

    @BeforeEach
    void aTake() throws IOException {
        take = folder.resolve("lead.wav");
        list = folder.resolve("lead.notes.yaml");
        chain = folder.resolve("chain.yaml");
        try (WavWriter writer = WavWriter.create(take, Print.of(48_000, 1, SampleFormat.INT_24).overwriting())) {
            double[][] block = new double[1][Cell.LENGTH];
            for (int from = 0; from < SUNG.length; from += Cell.LENGTH) {
                int n = Math.min(Cell.LENGTH, SUNG.length - from);
                System.arraycopy(SUNG, from, block[0], 0, n);
                writer.write(block, n);
            }
            writer.finish();
        }
        Files.writeString(chain, "steps:\n  - tune: { key: D major, amount: 100 % }\n");
    }

    private int run(Object... words) {
        out.getBuffer().setLength(0);
        err.getBuffer().setLength(0);
        CommandLine line = Main.commandLine();
        line.setOut(new PrintWriter(out, true));
        line.setErr(new PrintWriter(err, true));
        return line.execute(Arrays.stream(words).map(Object::toString).toArray(String[]::new));
    }

    private String found() {
        JsonObject o = JsonParser.parseString(out.toString()).getAsJsonObject();
        return o.getAsJsonArray("resolved").get(0).getAsJsonObject().get("value").getAsString();
    }

    @Test
    void writesTheNotesOfATakeInSilence() throws IOException {
        assertEquals(0, run("notes", take, "--key", "D major"));
        assertEquals("", out.toString() + err);
        String text = Files.readString(list);
        assertTrue(text.contains("notes: \"lead.wav\"") && text.contains("reference: 440 Hz"), text);
        // The first note of the song, and the one that slides in from below.
        assertTrue(text.lines().anyMatch(l -> l.contains("note: 2.4") && l.contains("target: A3")), text);
        assertTrue(text.lines().anyMatch(l -> l.contains("target: F#4") && l.contains("scoop: -")), text);
        assertEquals(0, run("notes", take, "--key", "D major"));
        assertEquals(text, Files.readString(list));
    }

    @Test
    void anEditedListIsNeverOverwrittenUnlessForced() throws IOException {
        run("notes", take);
        String written = Files.readString(list), edited = written.replaceFirst("target: A3", "target: B3");
        assertFalse(written.equals(edited));
        Files.writeString(list, edited);
        assertEquals(2, run("notes", take));
        assertTrue(err.toString().contains("was corrected by hand") && err.toString().contains("--force"), err.toString());
        assertEquals(edited, Files.readString(list));
        assertEquals(0, run("notes", take, "--force"));
        assertEquals(written, Files.readString(list));
        Path other = folder.resolve("other.yaml");
        assertEquals(0, run("notes", take, "--out", other));
        assertEquals(written, Files.readString(other));
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "--key|G majr|--key wants a key such as \"G major\", not \"G majr\"; did you mean 'G major'?",
        "--scale|D,Fis|--scale wants notes such as D,E,F#,A, not \"Fis\"",
        "--reference|4400 Hz|--reference is the pitch of A4, from 415 Hz to 466 Hz, not 4400 Hz",
        "--out|notes.txt|--out wants a file ending in .yaml or .yml, not notes.txt"})
    void aWrongWordIsTold(String option, String value, String message) {
        assertEquals(2, run("notes", take, option, value));
        assertEquals(message, err.toString().strip());
        assertFalse(Files.exists(list));
    }

    @Test
    void keyAndScaleExcludeEachOther() {
        assertEquals(2, run("notes", take, "--key", "D major", "--scale", "D,E"));
        assertEquals("give --key or --scale, not both", err.toString().strip());
    }

    @Test
    void printsTheDecisionsAsJson() {
        assertEquals(0, run("notes", take, "--scale", "D, E, F#, A", "--json"));
        JsonObject o = JsonParser.parseString(out.toString()).getAsJsonObject();
        assertEquals(440, o.get("reference_hz").getAsDouble());
        JsonObject first = o.getAsJsonArray("notes").get(0).getAsJsonObject();
        assertEquals("A3", first.get("target").getAsString());
        assertEquals("nearest", first.get("why").getAsString());
        assertEquals(2.4, first.get("start_s").getAsDouble(), 0.03);
        assertTrue(Math.abs(first.get("off_cents").getAsDouble()) < 30);
    }

    /** With the list beside the take the step goes by it; with the targets of the key it does as without one. */
    @Test
    void tuneGoesByTheList() throws IOException {
        Path heard = folder.resolve("heard.wav"), listed = folder.resolve("listed.wav"), corrected = folder.resolve("corrected.wav");
        assertEquals(0, run("render", chain, take, "--out", heard), err.toString());
        run("notes", take, "--key", "D major");
        assertEquals(0, run("render", chain, take, "--out", listed), err.toString());
        assertArrayEquals(Files.readAllBytes(heard), Files.readAllBytes(listed));
        assertEquals("", err.toString());

        Files.writeString(list, Files.readString(list).replaceAll("target: [A-G]#?\\d", "target: leave"));
        assertEquals(0, run("render", chain, take, "--out", corrected));
        assertFalse(Arrays.equals(Files.readAllBytes(heard), Files.readAllBytes(corrected)));
        assertEquals(0, run("check", chain, take, "--json"));
        assertTrue(found().contains("none moved") && found().endsWith("as the list of notes says"), found());
        assertEquals(0, run("check", chain, take));
        assertTrue(out.toString().contains("Notes: ") && out.toString().contains("lead.notes.yaml, corrected by hand"), out.toString());
        Path elsewhere = Files.move(list, folder.resolve("elsewhere.yaml"));
        assertEquals(0, run("check", chain, take, "--json"));
        assertFalse(found().contains("none moved"), found());
        assertEquals(0, run("check", chain, take, "--notes", elsewhere, "--json"));
        assertTrue(found().contains("none moved"), found());
    }

    @Test
    void aWrongListIsToldWithItsPlace() throws IOException {
        run("notes", take);
        Files.writeString(list, Files.readString(list).replaceFirst("target: A3", "target: H3"));
        assertEquals(3, run("render", chain, take, "--out", folder.resolve("print.wav")));
        assertTrue(err.toString().contains("lead.notes.yaml:15:") && err.toString().contains("target wants a note such as \"F#4\""), err.toString());
        assertFalse(Files.exists(folder.resolve("print.wav")));
    }
}
