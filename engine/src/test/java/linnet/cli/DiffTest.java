package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonObject;
import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.audio.WavWriter;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What {@code diff} says of the prints of two versions, against what they are when both are rendered. */
class DiffTest extends Called {
    private static final String SONG = """
            song: x
            tempo: 120 bpm
            sections: { a: 1, b: 2, end: 3 }
            parts:
              lead: { take: take.wav, sends: { room: -9 dB } }
              low: { take: take.wav, at: 0.5 s, level: -6 dB }
            returns: { room: { chain: [ reverb: { decay: 0.4 s } ] } }
            mix: { chain: [ eq: [ { high-pass: 40 Hz } ] ] }
            prints: [ mix, lead, low, room, lead wet, { print: low, name: end of low, from: b, to: end } ]
            """;

    @TempDir
    Path folder;

    private Path old, now;

    @BeforeEach
    void twoVersions() throws IOException {
        take(220);
        old = folder.resolve("old.yaml");
        now = folder.resolve("new.yaml");
        Files.writeString(old, SONG);
    }

    private void take(double hz) throws IOException {
        double[][] x = new double[1][96_000];
        for (int i = 0; i < x[0].length; i++) x[0][i] = 0.1 * Math.sin(2 * Math.PI * hz * i / 48_000);
        try (WavWriter writer = WavWriter.create(folder.resolve("take.wav"), Print.of(48_000, 1, SampleFormat.INT_24).overwriting())) {
            writer.write(x, x[0].length);
            writer.finish();
        }
    }

    private List<String> after(String was, String is) throws IOException {
        assertTrue(SONG.contains(was), was);
        Files.writeString(now, SONG.replace(was, is));
        assertEquals(0, run("diff", old, now));
        return out.toString().lines().toList();
    }

    @Test
    void aFileThatIsNotThereIsNamed() throws IOException {
        for (boolean first : new boolean[] {true, false}) {
            Path none = folder.resolve("none.yaml");
            assertEquals(3, run("diff", first ? none : old, first ? old : none));
            assertEquals(none + ":1:1: there is no such file", err.toString().strip());
        }
    }

    @Test
    void printsThatChangeAreNamed() throws IOException {
        assertEquals(List.of("low 1 dB higher",
                "Prints that change: mix, low, end of low; the others stay the same to the bit, unless the song ends in another second: lead, room, lead wet"),
                after("level: -6 dB", "level: -5 dB"));
        assertEquals(List.of("room reverb decay 100 ms longer (500 ms, was 0.4 s)",
                "Prints that change: mix, room, lead wet; the others stay the same to the bit, unless the song ends in another second: lead, low, end of low"),
                after("decay: 0.4 s", "decay: 500 ms"));
        assertEquals(List.of("b: low 1 dB lower",
                "Prints that change: mix, low, end of low; the others stay the same to the bit, unless the song ends in another second: lead, room, lead wet"),
                after("mix:", "moves: { b: { low: -1 dB } }\nmix:"));
        assertEquals(List.of("print end of low depth is new: 16-bit",
                "Prints that change: end of low; the others stay the same to the bit, unless the song ends in another second: mix, lead, low, room, lead wet"),
                after("to: end }", "to: end, depth: 16-bit }"));
        assertEquals(List.of("Nothing that sounds is different in the texts.", "No print that both have changes, with takes and lists as they are now."),
                after("song: x", "song: x  # for the trio"));
        // What hears the whole mix turns all that goes through its chain.
        String without = SONG.replace("prints: [ mix,", "prints: [ mix without bus, vocals without bus, stems without bus, mix,")
                .replace("eq: [ { high-pass: 40 Hz } ]", "compressor");
        Files.writeString(old, without);
        Files.writeString(now, without.replace("level: -6 dB", "level: -5 dB"));
        assertEquals(0, run("diff", old, now));
        assertEquals("Prints that change: mix without bus, vocals without bus, low without bus, mix, lead, low, room, lead wet, end of low; the others stay "
                + "the same to the bit, unless the song ends in another second: lead without bus, room without bus", out.toString().lines().toList().get(1));
        Files.writeString(now, without.replace("chain: [ compressor ]", "chain: [ limit ]"));
        assertEquals(0, run("diff", old, now));
        assertTrue(out.toString().endsWith(": mix without bus, vocals without bus, lead without bus, low without bus, room without bus\n"), out.toString());
        Files.writeString(old, SONG);
        assertEquals("Prints that change: mix, lead, low, room, lead wet, end of low",
                after("eq: [ { high-pass: 40 Hz } ]", "compressor: { threshold: -20 dB }").get(2));
    }

    /** What is said is what comes out. */
    @Test
    void whatIsSaidIsSo() throws IOException {
        after("decay: 0.4 s", "decay: 0.5 s");
        JsonObject prints = json().getAsJsonObject("prints");
        assertEquals(0, run("render", old, "--out", folder.resolve("was")));
        assertEquals(0, run("render", now, "--out", folder.resolve("is")));
        for (String print : List.of("mix", "lead", "low", "room", "lead wet", "end of low")) {
            boolean same = prints.getAsJsonArray("same").toString().contains('"' + print + '"');
            assertEquals(!same, prints.getAsJsonArray("changed").toString().contains('"' + print + '"'));
            double[][] was = samples("was", print), is = samples("is", print);
            if (same) assertArrayEquals(was, is, print);
            else assertFalse(Arrays.deepEquals(was, is), print);
        }
    }

    private JsonObject json() {
        assertEquals(0, run("diff", old, now, "--json"));
        return JsonParser.parseString(out.toString()).getAsJsonObject();
    }

    private double[][] samples(String in, String print) throws IOException {
        try (WavFile file = WavFile.open(folder.resolve(in).resolve(print + ".wav"))) {
            double[][] x = new double[file.channels()][(int) file.frames()];
            file.read(0, x, x[0].length);
            return x;
        }
    }

    /** The texts are the same, and what lies beside them is not. */
    @Test
    void anotherTakeIsToldToo() throws IOException {
        Path elsewhere = Files.createDirectories(folder.resolve("elsewhere")).resolve("song.yaml");
        Files.copy(old, elsewhere);
        Files.copy(folder.resolve("take.wav"), elsewhere.resolveSibling("take.wav"));
        assertEquals(0, run("diff", elsewhere, old));
        assertEquals(List.of("Nothing that sounds is different in the texts.", "No print that both have changes, with takes and lists as they are now."),
                out.toString().lines().toList());
        take(230);
        assertEquals(0, run("diff", elsewhere, old));
        assertEquals(List.of("the take take.wav is another (lead and low)", "Prints that change: mix, lead, low, room, lead wet, end of low"),
                out.toString().lines().toList());
    }

    /** Songs in folders of their own have lists of their own. */
    @Test
    void listsThatAreOthersAreNamed() throws IOException {
        Path elsewhere = Files.createDirectories(folder.resolve("elsewhere")).resolve("song.yaml");
        String own = SONG.replace("low: { take: take.wav", "low: { take: second.wav");
        for (Path song : List.of(elsewhere, old)) {
            Files.writeString(song, own);
            for (String name : List.of("take.wav", "second.wav")) {
                if (!Files.exists(song.resolveSibling(name))) Files.copy(folder.resolve("take.wav"), song.resolveSibling(name));
            }
            list(song.resolveSibling("take.notes.yaml"), "notes", "note", ", target: A3");
            list(song.resolveSibling("second.marks.yaml"), "marks", "breath", "");
        }
        assertEquals(0, run("diff", elsewhere, old));
        assertEquals(List.of("Nothing that sounds is different in the texts.", "No print that both have changes, with takes and lists as they are now."),
                out.toString().lines().toList());
        list(elsewhere.resolveSibling("take.notes.yaml"), "notes", "note", ", target: B3");
        assertEquals(0, run("diff", elsewhere, old));
        assertEquals(List.of("the notes of take.wav are others (lead)",
                "Prints that change: mix, lead, room, lead wet; the others stay the same to the bit, unless the song ends in another second: low, end of low"),
                out.toString().lines().toList());
        Files.delete(elsewhere.resolveSibling("second.marks.yaml"));
        assertEquals(0, run("diff", elsewhere, old));
        assertEquals(List.of("the notes of take.wav are others (lead)", "the marks of second.wav are others (low)"), out.toString().lines().limit(2).toList());
        assertEquals(0, run("diff", elsewhere, old, "--json"));
        assertEquals("the notes of take.wav", JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("changes").get(0).getAsJsonObject()
                .get("what").getAsString());
        // At another rate the same list counts other samples.
        list(elsewhere.resolveSibling("second.marks.yaml"), "marks", "breath", "");
        list(elsewhere.resolveSibling("take.notes.yaml"), "notes", "note", ", target: A3");
        Files.writeString(elsewhere, own + "rate: 44.1 kHz\n");
        assertEquals(0, run("diff", elsewhere, old));
        assertEquals("rate is gone, was 44.1 kHz", out.toString().lines().findFirst().orElseThrow());
        assertFalse(out.toString().contains("others ("), out.toString());
    }

    private static void list(Path file, String of, String row, String more) throws IOException {
        Files.writeString(file, of + ": " + file.getFileName().toString().replaceFirst("\\..*", ".wav") + "\nrate: 48000 Hz\nframes: 96000\nlist:\n  - { " + row
                + ": 0.2 s, length: 500 ms" + more + " }\n");
    }

    @Test
    void comparingOfSoundsIsAnotherCommand() throws IOException {
        Path sound = folder.resolve("take.wav");
        assertEquals(2, run("diff", sound, sound));
        assertEquals("'diff' says what differs in the texts of two songs or chains; 'linnet compare' is for sounds", err.toString().strip());
        assertEquals(2, run("compare", old, old, "--out", folder.resolve("page")));
        assertTrue(err.toString().startsWith(old + " is a song: render both versions with 'linnet render', and compare their prints"), err.toString());
    }

    @Test
    void whereTakesAreMissingThatIsSaidInALine() throws IOException {
        Files.delete(folder.resolve("take.wav"));
        List<String> said = after("level: -6 dB", "level: -5 dB");
        assertEquals(2, said.size(), said.toString());
        assertEquals("low 1 dB higher", said.get(0));
        assertTrue(said.get(1).startsWith("Which prints change is not known: " + old + ":5:"), said.get(1));
        assertTrue(said.get(1).contains("take.wav"), said.get(1));
        JsonObject json = json();
        assertTrue(json.get("prints").isJsonNull());
        assertTrue(json.get("prints_unknown").getAsString().contains("take.wav"));
        assertEquals("1 dB higher", json.getAsJsonArray("changes").get(0).getAsJsonObject().get("how").getAsString());
    }
}
