package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import linnet.audio.Bext;
import linnet.audio.WavFile;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What a print says of itself, and what explain makes of it. */
class ExplainTest extends Called {
    private static final String SONG = """
            song: Vier Häuser
            revision: 3
            date: 2026-11-26
            names: "{song} {print} r{revision}"
            tempo: 100 bpm
            sections: { a: 1, end: 2 }
            parts:
              lead: { take: lead, one.wav, chain: soft.yaml }
              low: { take: low.wav }
            prints: [ mix, lead ]
            """.replace("take: lead, one.wav", "take: \"lead, one.wav\"");

    @TempDir
    Path folder;

    private Path print;

    @BeforeEach
    void aPrint() throws IOException {
        take("lead, one.wav", 220);
        take("low.wav", 110);
        Files.writeString(folder.resolve("soft.yaml"), "chain: soft\nsteps: [ trim: { level: -3 dB } ]\n");
        Files.writeString(folder.resolve("song.yaml"), SONG);
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", folder.resolve("prints")), () -> err.toString());
        print = folder.resolve("prints/Vier Häuser lead r3.wav");
    }

    private void take(String name, double hz) throws IOException {
        Takes.tone(folder.resolve(name), hz, 0.1, 0.5);
    }

    /** Where it separates no folders it is a letter of a name as others are. */
    @Test
    void aBackslashInANameStays() throws IOException {
        assumeTrue(folder.getFileSystem().getSeparator().equals("/"));
        take("lo\\w.wav", 110);
        Files.writeString(folder.resolve("song.yaml"), SONG.replace("low.wav", "lo\\w.wav"));
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", folder.resolve("others")), () -> err.toString());
        assertEquals(0, run("explain", folder.resolve("others/Vier Häuser mix r3.wav")), () -> out.toString() + err);
        assertTrue(out.toString().contains("../lo\\w.wav       as it was"), out.toString());
    }

    @Test
    void aPrintSaysWhatItIs() throws IOException {
        try (WavFile wav = WavFile.open(print)) {
            Bext bext = Bext.of(wav.header()).orElseThrow();
            assertEquals("Vier Hauser: lead, revision 3", bext.description());
            assertEquals("linnet 0.1.0", bext.originator());
            assertEquals(32, bext.reference().length());
            assertEquals("2026-11-26", bext.date());
            assertEquals("", bext.time());
            assertEquals(0, bext.timeReference());
            assertTrue(bext.history().startsWith("A=PCM,F=48000,W=24,M=stereo,T=linnet\r\nT=linnet engine linnet 0.1.0 "), bext.history());
            assertTrue(bext.history().contains("../lead%2C one.wav\r\n"), bext.history());
            assertTrue(!bext.history().contains("low.wav"), "the other take has no part in this print");
        }
    }

    @Test
    void allIsAsItWas() {
        assertEquals(0, run("explain", print), () -> out.toString() + err);
        assertTrue(out.toString().startsWith(print + ": Vier Häuser: lead, revision 3\n"), out.toString());
        assertTrue(out.toString().contains("  sound    as printed"), out.toString());
        assertTrue(out.toString().contains("  text     ../soft.yaml      as it was"), out.toString());
        assertTrue(out.toString().contains("  take     ../lead, one.wav  as it was"), out.toString());
    }

    /** The broadcast extension has ASCII only (EBU Tech 3285): the song knows how it is called, as long as it is there and called so. */
    @Test
    void aTitleIsToldAsTheSongHasIt() throws IOException {
        Path song = folder.resolve("song.yaml");
        String text = SONG.replace("Vier Häuser", "Straße 🎤 " + "lang ".repeat(60)).replace("names: \"{song} {print} r{revision}\"\n", "")
                .replace("prints: [ mix, lead ]", "prints: [ { print: lead, name: größer } ]");
        Files.writeString(song, text);
        assertEquals(0, run("render", song, "--out", folder.resolve("others")), () -> err.toString());
        Path other = folder.resolve("others/größer.wav");
        assertEquals(0, run("explain", other));
        String whole = "Straße 🎤 " + "lang ".repeat(60).strip() + ": größer (lead), revision 3";
        assertTrue(out.toString().startsWith(other + ": " + whole + "\n"), out.toString());
        assertEquals(0, run("explain", other, "--json"));
        assertEquals(whole, JsonParser.parseString(out.toString()).getAsJsonObject().get("description").getAsString());
        // Another note in the text leaves it the song of that name; another title does not.
        Files.writeString(song, text + "# louder\n");
        assertEquals(5, run("explain", other));
        assertTrue(out.toString().startsWith(other + ": Straße 🎤 lang"), out.toString());
        String ascii = " (in ASCII, as no text of that title is found)\n";
        for (String now : new String[] {text.replace("Straße", "Gasse"), "song: [", ""}) {
            Files.writeString(song, now);
            assertEquals(5, run("explain", other));
            assertTrue(out.toString().startsWith(other + ": Strasse ?"), out.toString());
            assertTrue(out.toString().contains(ascii), out.toString());
        }
        Files.delete(song);
        assertEquals(0, run("explain", other));
        assertTrue(out.toString().startsWith(other + ": Strasse ?") && out.toString().contains(ascii), out.toString());
    }

    /** Twice the same bytes: nothing in a print comes from a clock. */
    @Test
    void aSecondRenderHasTheSameBytes() throws IOException {
        byte[] first = Files.readAllBytes(print);
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", folder.resolve("prints"), "--force"), () -> err.toString());
        assertArrayEquals(first, Files.readAllBytes(print));
    }

    @ParameterizedTest
    @CsvSource({"song.yaml,text", "soft.yaml,text", "'lead, one.wav',take"})
    void whatIsChangedIsTold(String file, String kind) throws IOException {
        byte[] bytes = Files.readAllBytes(folder.resolve(file));
        bytes[bytes.length - 2]++;
        Files.write(folder.resolve(file), bytes);
        assertEquals(5, run("explain", print));
        assertTrue(out.toString().matches("(?s).*" + kind + " +../" + file + " +changed\n.*"), out.toString());
        assertEquals(5, run("explain", print, "--json"));
        var o = JsonParser.parseString(out.toString()).getAsJsonObject();
        assertEquals("same", o.getAsJsonObject("sound").get("state").getAsString());
        long changed = o.getAsJsonArray("made_from").asList().stream().filter(s -> s.getAsJsonObject().get("state").getAsString().equals("changed")).count();
        assertEquals(1, changed);
    }

    @Test
    void aSampleThatIsChangedIsTold() throws IOException {
        byte[] bytes = Files.readAllBytes(print);
        bytes[bytes.length - 1000] ^= 1;
        Files.write(print, bytes);
        assertEquals(5, run("explain", print));
        assertTrue(out.toString().contains("  sound    changed since it was printed"), out.toString());
    }

    @Test
    void aPrintAloneSaysThatItsSourcesAreNotFound() throws IOException {
        Path alone = Files.createDirectories(folder.resolve("far/away")).resolve("x.wav");
        Files.move(print, alone);
        assertEquals(0, run("explain", alone));
        assertTrue(out.toString().contains("../song.yaml      not found"), out.toString());
    }

    @Test
    void aForeignFileIsNoPrint() {
        assertEquals(4, run("explain", folder.resolve("low.wav")));
        assertTrue(err.toString().contains("low.wav: is no print of Linnet's, or was written again by something else since: it has no broadcast extension"),
                err.toString());
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "names: \"{print} {take}\" | 'names' knows no {take} (it knows {song}, {print}, {revision}, {date})",
        "names: \"all\" | 'names' gives all prints one name: put {print} into it",
        "names: \"../{print}\" | 'names' makes '../mix', which is no name for a file",
        "names: \"a/{print}\" | 'names' makes 'a/mix', which is no name for a file",
        "names: \"{print} {revision}\" | {revision} in 'names' wants a 'revision:'",
        "names: \"{print} {date}\" | {date} in 'names' wants a 'date:'",
        "date: 2026-02-30 | a date is written 2026-11-26",
        "date: today | a date is written 2026-11-26",
        "revision: 1.5 | a revision is a whole number",
    })
    void whatWouldNameNoFileIsRefused(String line, String said) throws IOException {
        Files.writeString(folder.resolve("song.yaml"), SONG.replaceAll("(?m)^(revision|date|names):.*\n", "") + line + "\n");
        assertEquals(3, run("check", folder.resolve("song.yaml")), () -> out.toString());
        assertTrue(err.toString().contains(said), err.toString());
    }
}
