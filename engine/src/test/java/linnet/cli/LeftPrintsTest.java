package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.Arrays;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

/** Prints that are there as they would be are left, and nothing else is. */
class LeftPrintsTest {
    private static final FileTime LONG_AGO = FileTime.fromMillis(1_000_000_000_000L);
    private static final String SONG = """
            song: x
            tempo: 120 bpm
            sections: { a: 1, end: 2 }
            parts:
              lead: { take: take.wav, sends: { room: -9 dB } }
              low: { take: take.wav, at: 0.5 s, level: -6 dB }
            returns: { room: { chain: [ reverb: { decay: 0.4 s, width: 100 % } ] } }
            mix: { chain: [ eq: [ { high-pass: 40 Hz } ] ] }
            prints: [ mix, lead, low, room, { print: low, name: part of low, from: 1 s, to: 1.5 s } ]
            """;

    @TempDir
    Path folder;

    private Path prints;
    private StringWriter out, err;

    @BeforeEach
    void aRender() throws IOException {
        prints = folder.resolve("prints");
        Takes.tone(folder.resolve("take.wav"), 220, 0.1, 1);
        Files.writeString(folder.resolve("song.yaml"), SONG);
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints), () -> err.toString());
        assertFalse(out.toString().contains("left as it was"), out.toString());
        for (String p : new String[] {"mix", "lead", "low", "room", "part of low"}) Files.setLastModifiedTime(file(p), LONG_AGO);
    }

    private Path file(String print) {
        return prints.resolve(print + ".wav");
    }

    private boolean isLeft(String print) throws IOException {
        return Files.getLastModifiedTime(file(print)).equals(LONG_AGO);
    }

    private int run(Object... words) {
        out = new StringWriter();
        err = new StringWriter();
        CommandLine line = Main.commandLine();
        line.setOut(new PrintWriter(out, true));
        line.setErr(new PrintWriter(err, true));
        return line.execute(Arrays.stream(words).map(Object::toString).toArray(String[]::new));
    }

    /** Nothing has changed: no need to ask for --force, as nothing is replaced. */
    @Test
    void allAreLeft() throws IOException {
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints), () -> err.toString());
        for (String p : new String[] {"mix", "lead", "low", "room", "part of low"}) assertTrue(isLeft(p), p);
        assertEquals(5, out.toString().split("left as it was", -1).length - 1, out.toString());
    }

    /** With filters alone on the mix, what a return makes touches itself and the mix; the rest says anew what it is made from, and its sound stays. */
    @Test
    void aChangedReturnLeavesTheRest() throws IOException {
        byte[] before = Files.readAllBytes(file("lead"));
        Files.writeString(folder.resolve("song.yaml"), SONG.replace("width: 100 %", "width: 50 %"));
        assertEquals(2, run("render", folder.resolve("song.yaml"), "--out", prints));
        assertTrue(err.toString().contains("is there already; say --force to replace it"), err.toString());
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints, "--force"), () -> err.toString());
        assertEquals(3, out.toString().split("left as it was", -1).length - 1, out.toString());
        byte[] after = Files.readAllBytes(file("lead"));
        assertEquals(before.length, after.length);
        int sound = before.length - 2 * 48_000 * 2 * 3;
        assertArrayEquals(Arrays.copyOfRange(before, sound, before.length), Arrays.copyOfRange(after, sound, after.length));
        for (String p : new String[] {"mix", "lead", "low", "room", "part of low"}) assertEquals(0, run("explain", file(p)), () -> p + out);
    }

    /** Where one print cannot be made, nothing becomes of those that would say something new of themselves. */
    @Test
    void aRenderThatFailsChangesNothingThatIsThere() throws IOException {
        byte[] before = Files.readAllBytes(file("lead"));
        Files.writeString(folder.resolve("song.yaml"), SONG.replace("width: 100 %", "width: 50 %"));
        Files.delete(file("room"));
        Files.createDirectory(file("room"));
        assertNotEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints, "--force"));
        assertTrue(err.toString().contains("room.wav: is a folder"), err.toString());
        assertArrayEquals(before, Files.readAllBytes(file("lead")));
        assertTrue(isLeft("lead") && isLeft("low") && isLeft("mix"));
    }

    /** What is left is what a render from nothing would print, to the byte. */
    @Test
    void whatIsLeftIsWhatWouldBePrinted() throws IOException {
        Files.writeString(folder.resolve("song.yaml"), "# a note\n" + SONG.replace("width: 100 %", "width: 50 %"));
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints, "--force"), () -> err.toString());
        Path other = folder.resolve("others");
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", other), () -> err.toString());
        for (String p : new String[] {"mix", "lead", "low", "room", "part of low"}) assertArrayEquals(Files.readAllBytes(other.resolve(p + ".wav")), Files.readAllBytes(file(p)), p);
    }

    @Test
    void aHarmedPrintIsPrintedAgain() throws IOException {
        byte[] whole = Files.readAllBytes(file("lead")), harmed = whole.clone();
        harmed[harmed.length - 1000] ^= 1;
        Files.write(file("lead"), harmed);
        assertNotEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints));
        assertArrayEquals(harmed, Files.readAllBytes(file("lead")));
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints, "--force"), () -> err.toString());
        assertArrayEquals(whole, Files.readAllBytes(file("lead")));
        assertTrue(isLeft("low") && isLeft("mix"));
    }

    @Test
    void anotherDepthIsAnotherPrint() throws IOException {
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints, "--depth", "16", "--force"), () -> err.toString());
        assertFalse(out.toString().contains("left as it was"), out.toString());
    }

    /** The sheet comes with the prints, tells of those that are left too, and is not put over what a person wrote. */
    @Test
    void aSheetGoesWithThem() throws IOException {
        Path sheet = prints.resolve("sheet.md");
        String text = Files.readString(sheet);
        assertTrue(Files.readString(prints.resolve("sheet.html")).contains("part of low.wav"));
        for (String p : new String[] {"| a | 1 | 0:00.000 | 0:02.000 | 120 bpm |", "| mix.wav | 24-bit, stereo | 0:0", "| part of low.wav | 24-bit, stereo, from 0:01.000 | 0:00.500 |", "3 stems add up to the mix within -1",
            "1. reverb: decay: 0.4 s, width: 100 %", "Part, level 0 dB, sends to room -9 dB", "| ../take.wav | take |", "| ../song.yaml | text |", "linnet 0.1.0, build "}) assertTrue(text.contains(p), p + " in " + text);
        Files.delete(sheet);
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints), () -> err.toString());
        String[] rows = {text, Files.readString(sheet)};
        for (int i = 0; i < 2; i++) rows[i] = rows[i].substring(rows[i].indexOf("## Prints"), rows[i].indexOf("## To look at"));
        assertEquals(rows[0], rows[1]);
        Files.writeString(sheet, "mine\n");
        assertEquals(2, run("render", folder.resolve("song.yaml"), "--out", prints));
        assertTrue(err.toString().contains("sheet.md is there already, and is no sheet of ours"), err.toString());
        assertEquals("mine\n", Files.readString(sheet));
    }
}
