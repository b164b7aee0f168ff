package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Prints that are there as they would be are left, and nothing else is. */
class LeftPrintsTest extends Called {
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

    /** Longer than the field for it. */
    private static final String LONG =
            "a title of more letters than there is room for abcdefghijklmnopqrstuvwxyz abcdefghijklmnopqrstuvwxyz abcdefghijklmnopqrstuvwxyz "
            + "abcdefghijklmnopqrstuvwxyz abcdefghijklmnopqrstuvwxyz abcdefghijklmnopqrstuvwxyz abcdefghijklmnopqrstuvwxyz abcdefghijklmnopqrstuvwxyz";

    @TempDir
    Path folder;

    private Path prints;

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

    /** Under 0.4 s there is no block to be gated, and what never gets over -70 LUFS is gated away: ITU-R BS.1770-5. Silence is neither. */
    @Test
    void aSheetSaysWhyThereIsNoLoudness() throws IOException {
        String song = SONG.replace("level: -6 dB", "level: -60 dB")
                .replaceAll("prints:.*",
                        "prints: [ mix, low, { print: lead, name: short, from: 0.2 s, to: 0.5 s }, { print: low, name: none, from: 0 s, to: 0.3 s } ]");
        Files.writeString(folder.resolve("song.yaml"), song);
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints, "--force"), () -> err.toString());
        for (int time = 0; time < 2; time++) {
            List<String> sheet = Files.readAllLines(prints.resolve("sheet.md"));
            for (String row : List.of("short.wav | .* | 24-bit, stereo | 0:00.300 | too short | -23.*",
                    "none.wav | .* | 24-bit, stereo | 0:00.300 | silent | silent.*", "low.wav | .* | 24-bit, stereo | 0:02.000 | too soft | -82.*")) {
                assertTrue(sheet.stream().anyMatch(l -> l.matches("[|] " + row.replace("|", "[|]"))), row + " in " + sheet);
            }
            // Those that are left say the same of themselves.
            Files.delete(prints.resolve("sheet.md"));
            assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints), () -> err.toString());
        }
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
        for (String p : new String[] {"mix", "lead", "low", "room", "part of low"}) {
            assertArrayEquals(Files.readAllBytes(other.resolve(p + ".wav")), Files.readAllBytes(file(p)), p);
        }
    }

    private Path song(String text) throws IOException {
        return Files.writeString(folder.resolve("song.yaml"), text);
    }

    private byte[] sound(String print) throws IOException {
        byte[] all = Files.readAllBytes(file(print));
        return Arrays.copyOfRange(all, new String(all, StandardCharsets.ISO_8859_1).indexOf("data"), all.length);
    }

    /** Prints of the whole are checked again, so they are made again; nothing is lost by that, so nobody has to ask for it. */
    @Test
    void aNoteInTheTextNeedsNoForce() throws IOException {
        String text = SONG.replace("prints: [ mix,", "prints: [ mix, mix without bus, mix without low, low up 1 dB, low down 0.5 dB,");
        List<String> names = List.of("mix", "mix without bus", "mix without low", "low up 1 dB", "low down 0.5 dB", "lead", "low", "room", "part of low");
        assertEquals(0, run("render", song(text), "--out", prints), () -> err.toString());
        List<byte[]> before = new ArrayList<>();
        for (String p : names) before.add(sound(p));
        assertEquals(0, run("render", song(text + "# a note\n"), "--out", prints), () -> err.toString());
        for (int p = 0; p < names.size(); p++) assertArrayEquals(before.get(p), sound(names.get(p)), names.get(p));
        assertTrue(Files.readString(prints.resolve("sheet.md")).contains(Provenance.digest(folder.resolve("song.yaml")).substring(0, 16)));
        Path other = folder.resolve("others");
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", other), () -> err.toString());
        for (String p : names) assertArrayEquals(Files.readAllBytes(other.resolve(p + ".wav")), Files.readAllBytes(file(p)), p);
        try (Stream<Path> there = Files.list(prints)) {
            assertEquals(names.size() + 3, there.count());
        }
    }

    /** What a print says of itself is ASCII in fields of a fixed length: what does not go in there is no change. */
    @ParameterizedTest
    @ValueSource(strings = {"Caf\u00e9 \u6b4c", LONG})
    void noChangeIsNoneWhateverTheNames(String title) throws IOException {
        String text = SONG.replace("song: x", "song: " + title).replace("lead", "Voix \u00e9")
                .replace("prints: [ mix,", "prints: [ mix, Voix \u00e9 down 0.5 dB,");
        List<String> names = List.of("mix", "Voix \u00e9 down 0.5 dB", "Voix \u00e9", "low", "room", "part of low");
        assertEquals(0, run("render", song(text), "--out", prints, "--force"), () -> err.toString());
        for (String p : names) Files.setLastModifiedTime(file(p), LONG_AGO);
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints), () -> err.toString());
        for (String p : names) assertTrue(isLeft(p), p);
        assertEquals(names.size(), out.toString().split("left as it was", -1).length - 1, out.toString());
    }

    /** A chain that moves to a file of its own is one file more to tell of, for which no room was kept: the print is made again. */
    @Test
    void whatHasMoreToSayNeedsNoForce() throws IOException {
        Files.writeString(folder.resolve("room.yaml"), "chain: room\nsteps: [ reverb: { decay: 0.4 s, width: 100 % } ]\n");
        byte[] lead = sound("lead"), mix = sound("mix");
        song(SONG.replace("chain: [ reverb: { decay: 0.4 s, width: 100 % } ]", "chain: room.yaml"));
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints), () -> err.toString());
        assertArrayEquals(lead, sound("lead"));
        assertArrayEquals(mix, sound("mix"));
        assertEquals(0, run("explain", file("lead")), () -> "" + out);
        assertTrue(out.toString().contains("room.yaml"), out.toString());
    }

    /** A print with a second name elsewhere is made again beside it, and what lies there stays as it is. */
    @Test
    void aSecondNameIsNotDescribed() throws IOException {
        Path elsewhere = Files.createLink(folder.resolve("elsewhere.wav"), file("lead"));
        byte[] before = Files.readAllBytes(elsewhere), lead = sound("lead");
        assertEquals(0, run("render", song(SONG + "# a note\n"), "--out", prints), () -> err.toString());
        assertArrayEquals(before, Files.readAllBytes(elsewhere));
        assertArrayEquals(lead, sound("lead"));
        assertEquals(0, run("explain", file("lead")), () -> "" + out);
    }

    /** Of a mix too only what has the same samples is replaced without being asked. */
    @Test
    void aHarmedMixIsNotReplacedForANote() throws IOException {
        byte[] harmed = Files.readAllBytes(file("mix"));
        harmed[harmed.length - 1000] ^= 1;
        Files.write(file("mix"), harmed);
        byte[] lead = Files.readAllBytes(file("lead"));
        assertEquals(2, run("render", song(SONG + "# a note\n"), "--out", prints));
        assertTrue(err.toString().contains("mix.wav is there already; say --force to replace it"), err.toString());
        assertArrayEquals(harmed, Files.readAllBytes(file("mix")));
        assertArrayEquals(lead, Files.readAllBytes(file("lead")));
    }

    /** That the samples are the same does not spare a mix a check that is new. */
    @Test
    void aNewCeilingIsChecked() throws IOException {
        byte[] mix = Files.readAllBytes(file("mix"));
        assertEquals(5, run("render", song(SONG + "checks: { ceiling: -24 dBTP }\n"), "--out", prints));
        assertTrue(err.toString().contains("mix.wav has a true peak"), err.toString());
        assertArrayEquals(mix, Files.readAllBytes(file("mix")));
    }

    /** Another length is other samples. */
    @Test
    void aLongerSongIsNotWrittenOverAShorterOne() throws IOException {
        byte[] lead = Files.readAllBytes(file("lead"));
        song(SONG.replace("at: 0.5 s", "at: 1.4 s").replace("prints: [ mix, lead, low, room, ", "prints: [ lead, "));
        Files.delete(file("part of low"));
        assertEquals(2, run("render", folder.resolve("song.yaml"), "--out", prints), () -> err.toString());
        assertTrue(err.toString().contains("lead.wav is there already; say --force to replace it"), err.toString());
        assertArrayEquals(lead, Files.readAllBytes(file("lead")));
    }

    /** What makes all prints longer or shorter need not sound in those that are there: the form, or where another part ends. */
    @ParameterizedTest
    @ValueSource(strings = {"end: 2=end: 4", "at: 0.5 s=at: 1.4 s", "decay: 0.4 s=decay: 4 s"})
    void whatIsPrintedWithoutTheMixLastsAsLongAsTheSong(String change) throws IOException {
        String text = SONG.replaceFirst("prints: .*", "prints: [ lead ]");
        assertEquals(0, run("render", song(text), "--out", prints, "--force"), () -> err.toString());
        Files.setLastModifiedTime(file("lead"), LONG_AGO);
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints), () -> err.toString());
        assertTrue(isLeft("lead"));
        String[] words = change.split("=");
        assertEquals(2, run("render", song(text.replace(words[0], words[1])), "--out", prints), () -> "" + out);
        assertTrue(err.toString().contains("lead.wav is there already; say --force to replace it"), err.toString());
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", prints, "--force"), () -> err.toString());
        Path other = folder.resolve("others");
        assertEquals(0, run("render", folder.resolve("song.yaml"), "--out", other), () -> err.toString());
        assertArrayEquals(Files.readAllBytes(other.resolve("lead.wav")), Files.readAllBytes(file("lead")));
        assertEquals(0, run("render", song(text), "--out", prints, "--force"), () -> err.toString());
        assertFalse(out.toString().contains("left as it was"), out.toString());
    }

    /** Where nothing has changed no work is made, not even one that was let go of. */
    @Test
    void nothingIsMadeWhereNothingHasChanged() throws IOException {
        try (Stream<Path> kept = Files.list(folder.resolve(PlannedSong.STORE))) {
            for (Path f : kept.filter(f -> f.toString().endsWith(".sound")).toList()) Files.delete(f);
        }
        for (List<String> only : List.of(List.<String>of(), List.of("--only", "lead,low"), List.of("--only", "part of low"))) {
            // The first render of other prints finds how long those are.
            for (int time = 0; time < 2; time++) {
                List<Object> words = new ArrayList<>(List.of("render", folder.resolve("song.yaml"), "--out", prints, "--json"));
                words.addAll(only);
                assertEquals(0, run(words.toArray()), () -> err.toString());
                if (time == 1 || only.isEmpty()) {
                    assertTrue(JsonParser.parseString(out.toString()).getAsJsonObject().getAsJsonArray("made").isEmpty(), out.toString());
                }
            }
        }
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
        for (String p : new String[] {"| a | 1 | 0:00.000 | 0:02.000 | 120 bpm |", "| mix.wav | all of it, with the bus | 24-bit, stereo | 0:0",
                "| part of low.wav | low from 0:01.000 to 0:01.500: ", " | 24-bit, stereo | 0:00.500 |", "3 stems add up to the mix within -1",
            "1. reverb: decay: 0.4 s, width: 100 %", "Part, level 0 dB, sends to room -9 dB", "| ../take.wav | take |", "| ../song.yaml | text |",
                    "linnet 0.1.0, build "}) assertTrue(text.contains(p), p + " in " + text);
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
