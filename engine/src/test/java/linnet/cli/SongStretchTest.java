package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.gson.JsonParser;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Stream;
import linnet.audio.Bext;
import linnet.audio.WavFile;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Some of the prints of a song, and stretches of them. */
class SongStretchTest extends SongFolder {
    /** What is printed of a stretch is what the whole print has there, to the bit. */
    @Test
    void aStretchEqualsTheSameOfTheWhole() throws IOException {
        Files.writeString(song, """
                song: x
                tempo: 240 bpm
                sections: { a: 1, b: 2, end: 3 }
                parts:
                  lead: { take: take.wav, level: -6 dB, sends: { room: -6 dB } }
                returns: { room: { chain: [ reverb: { decay: 0.3 s } ] } }
                mix: { chain: [ compressor: { aim: 2 dB }, limit ] }
                prints: [ mix, lead, room ]
                """);
        assertEquals(Exit.DONE, run("render", song, "--out", prints, "--depth", "float"));
        assertEquals(Exit.DONE,
                run("render", song, "--out", folder.resolve("part"), "--depth", "float", "--from", "a beat 2", "--to", "a beat 4", "--only", "mix,room"),
                err.toString());
        assertEquals(List.of("mix a beat 2 to a beat 4.wav", "room a beat 2 to a beat 4.wav"), names(folder.resolve("part")));
        for (String name : List.of("mix", "room")) {
            try (WavFile whole = WavFile.open(prints.resolve(name + ".wav"));
                    WavFile part = WavFile.open(folder.resolve("part").resolve(name + " a beat 2 to a beat 4.wav"))) {
                assertEquals(24_000, part.frames());
                double[][] x = new double[2][24_000], y = new double[2][24_000];
                whole.read(12_000, x, 24_000);
                part.read(0, y, 24_000);
                assertArrayEquals(x[0], y[0]);
                assertArrayEquals(x[1], y[1]);
                assertTrue(Arrays.stream(x[0]).anyMatch(v -> Math.abs(v) > 0.01));
            }
        }
    }

    /** Whichever way it is asked for, and whatever it is called: a print of one content has one dither. */
    @ParameterizedTest
    @ValueSource(strings = {"24", "16"})
    void aStretchOfTheListHasTheBitsOfTheWhole(String depth) throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 2);
        String text = "song: x\ntempo: 240 bpm\nsections: { a: 1, b: 2, end: 3 }\nparts:\n  lead: { take: take.wav, level: -6 dB }\n";
        Files.writeString(song, text + "prints: [ mix, { print: mix, from: b, to: b }, { print: mix, name: second, from: b, to: b } ]\n");
        assertEquals(Exit.DONE, run("render", song, "--out", prints, "--depth", depth), err::toString);
        Files.writeString(song, text + "prints: [ mix ]\n");
        Path asked = folder.resolve("asked");
        assertEquals(Exit.DONE, run("render", song, "--out", asked, "--depth", depth, "--from", "b", "--to", "b"), err::toString);
        byte[] whole = bytes(prints.resolve("mix.wav"));
        int frame = 2 * Integer.parseInt(depth) / 8;
        byte[] span = Arrays.copyOfRange(whole, 48_000 * frame, 96_000 * frame);
        for (Path stretch : List.of(prints.resolve("mix b to b.wav"), prints.resolve("second.wav"), asked.resolve("mix b to b.wav"))) {
            assertArrayEquals(span, bytes(stretch), stretch.toString());
        }
    }

    /** What a print of integers is known by says its dither: one that was dithered otherwise is none of the same samples. */
    @Test
    void onlyTheSameBitsHaveOneSignature() throws IOException {
        Files.writeString(song, "song: x\ntempo: 240 bpm\nsections: { a: 1, end: 2 }\nparts:\n  Aa: { take: take.wav }\n  BB: { take: take.wav }\n"
                + "prints: [ Aa, BB, { print: Aa, name: again }, { print: Aa, name: short, depth: 16-bit }, { print: Aa, name: one, depth: float },"
                + " { print: BB, name: other, depth: float } ]\n");
        assertEquals(Exit.DONE, run("render", song, "--out", prints), err::toString);
        assertNotEquals(signature("Aa"), signature("BB"));
        assertNotEquals(signature("Aa"), signature("short"));
        assertNotEquals(signature("Aa"), signature("one"));
        assertEquals(signature("Aa"), signature("again"));
        assertArrayEquals(bytes(prints.resolve("Aa.wav")), bytes(prints.resolve("again.wav")));
        // Floats have no dither.
        assertEquals(signature("one"), signature("other"));
        assertArrayEquals(bytes(prints.resolve("one.wav")), bytes(prints.resolve("other.wav")));
    }

    /** Names that one hash of text takes for the same, as that of Java does: their noise would add up in step. */
    @Test
    void partsOfAnyNameHaveADitherOfTheirOwn() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0, 0.2);
        assertEquals("Aa".hashCode(), "BB".hashCode());
        Files.writeString(song, "song: x\ntempo: 240 bpm\nsections: { a: 1, end: 2 }\nparts:\n  Aa: { take: take.wav }\n  BB: { take: take.wav }\n"
                + "prints: [ Aa, BB ]\n");
        assertEquals(Exit.DONE, run("render", song, "--out", prints), err::toString);
        assertFalse(Arrays.equals(bytes(prints.resolve("Aa.wav")), bytes(prints.resolve("BB.wav"))));
    }

    /** What is printed counts, not how it is written: one text can mean two things where a part is called so, and one thing can be written in two ways. */
    @Test
    void aDitherGoesByWhatIsPrinted() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0, 0.2);
        String text = "song: x\ntempo: 240 bpm\nsections: { a: 1, end: 2 }\nparts:\n  lead: { take: take.wav }\n  lead without bus: { take: take.wav }\n";
        Files.writeString(song, text
                + "prints: [ { print: lead without bus, name: x }, stems without bus, lead up 1 dB, { print: lead up 1.0 dB, name: up } ]\n");
        assertEquals(Exit.DONE, run("render", song, "--out", prints), err::toString);
        assertFalse(Arrays.equals(bytes(prints.resolve("x.wav")), bytes(prints.resolve("lead without bus.wav"))));
        assertNotEquals(signature("x"), signature("lead without bus"));
        assertArrayEquals(bytes(prints.resolve("lead up 1 dB.wav")), bytes(prints.resolve("up.wav")));
        assertEquals(signature("lead up 1 dB"), signature("up"));
    }

    private String signature(String print) throws IOException {
        assertEquals(Exit.DONE, run("explain", prints.resolve(print + ".wav"), "--json"), err::toString);
        return JsonParser.parseString(out.toString()).getAsJsonObject().get("signature").getAsString();
    }

    /** The bytes of the sound. */
    private static byte[] bytes(Path print) throws IOException {
        try (WavFile wav = WavFile.open(print)) {
            int length = (int) wav.frames() * wav.channels() * wav.header().format().bits() / 8;
            byte[] all = Files.readAllBytes(print);
            return Arrays.copyOfRange(all, (int) wav.header().soundAt(), (int) wav.header().soundAt() + length);
        }
    }

    /** It stands beside the whole under a name of its own, with the same dither, and says from where to where it goes. */
    @Test
    void aStretchDoesNotTakeThePlaceOfTheWhole() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 2);
        Files.writeString(song,
                "song: x\nrevision: 2\nnames: \"{song} {print} r{revision}\"\ntempo: 120 bpm\nsections: { a: 1, b/c: 2, end: 3 }\nparts:\n"
                + "  lead: { take: take.wav, level: -6 dB }\nprints: [ mix ]\n");
        assertEquals(Exit.DONE, run("render", song, "--out", prints), err::toString);
        byte[] whole = Files.readAllBytes(prints.resolve("x mix r2.wav"));
        for (String[] asked : new String[][] {{"--from", "bar  1 beat 2", "--to", "bar 1 beat 4"}, {"--from", "a beat 2"}, {"--to", "a"},
                {"--from", "a beat 2", "--to", "b/c"}}) {
            assertEquals(Exit.DONE, run(Stream.concat(Stream.of("render", song, "--out", prints), Arrays.stream(asked)).toArray()), err::toString);
        }
        // What is no name for a file is told in seconds.
        List<String> stretches = List.of("x mix 0.5 s to 2 s r2.wav", "x mix bar 1 beat 2 to bar 1 beat 4 r2.wav", "x mix from a beat 2 r2.wav",
                "x mix to a r2.wav");
        assertEquals(Stream.concat(stretches.stream(), Stream.of("x mix r2.wav")).sorted().toList(), names(prints));
        assertArrayEquals(whole, Files.readAllBytes(prints.resolve("x mix r2.wav")));
        Path part = prints.resolve(stretches.get(1));
        try (WavFile all = WavFile.open(prints.resolve("x mix r2.wav")); WavFile stretch = WavFile.open(part)) {
            double[][] x = new double[2][48_000], y = new double[2][48_000];
            all.read(24_000, x, 48_000);
            stretch.read(0, y, 48_000);
            assertArrayEquals(x[0], y[0]);
            assertArrayEquals(x[1], y[1]);
        }
        assertEquals(Exit.DONE, run("explain", part));
        assertTrue(out.toString().startsWith(part + ": x: mix bar 1 beat 2 to bar 1 beat 4, revision 2\n"), out.toString());
        assertTrue(out.toString().contains("  lies     from 0:00.500 to 0:01.500 of the song\n"), out.toString());
        assertEquals(Exit.DONE, run("explain", part, "--json"));
        var told = JsonParser.parseString(out.toString()).getAsJsonObject();
        assertEquals(0.5, told.get("from_s").getAsDouble());
        assertEquals(1.5, told.get("to_s").getAsDouble());
    }

    /** A print that is a stretch already has of another what both have in common, and a name that says so. */
    @Test
    void aStretchOfAStretchIsWhatBothHaveInCommon() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 4);
        Files.writeString(song, "song: x\ntempo: 240 bpm\nsections: { a: 1, b: 2, c: 3, end: 4 }\nparts:\n  lead: { take: take.wav, level: -6 dB }\n"
                + "prints: [ mix, { print: stems, from: b }, { print: mix, name: piece, from: a, to: a } ]\n");
        assertEquals(Exit.DONE, run("render", song, "--out", prints, "--to", "a"), err::toString);
        assertEquals(List.of("mix to a.wav", "piece, to a.wav"), names(prints));
        assertTrue(err.toString().contains("lead from b: nothing of it lies in the stretch 'to a', so it is left out\n"), err.toString());
        Path whole = folder.resolve("whole"), part = folder.resolve("part");
        assertEquals(Exit.DONE, run("render", song, "--out", whole, "--only", "lead from b", "--depth", "float"), err::toString);
        assertEquals(Exit.DONE, run("render", song, "--out", part, "--from", "a beat 3", "--to", "b beat 3", "--only", "lead from b", "--depth", "float"),
                err::toString);
        assertEquals(List.of("lead from b, a beat 3 to b beat 3.wav"), names(part));
        try (WavFile all = WavFile.open(whole.resolve("lead from b.wav")); WavFile cut = WavFile.open(part.resolve(names(part).get(0)))) {
            assertEquals(24_000, cut.frames());
            double[][] x = new double[2][24_000], y = new double[2][24_000];
            all.read(0, x, 24_000);
            cut.read(0, y, 24_000);
            assertArrayEquals(x[0], y[0]);
        }
        assertEquals(Exit.DONE, run("explain", part.resolve(names(part).get(0))));
        assertTrue(out.toString().contains("  lies     from 0:01.000 to 0:01.500 of the song\n"), out.toString());
        assertEquals(Exit.USAGE, run("render", song, "--out", folder.resolve("none"), "--to", "a", "--only", "lead from b"));
        assertTrue(err.toString().contains("nothing is left to print: nothing of 'lead from b' lies in the stretch 'to a'"), err.toString());
    }

    /** What has a name of its own is told as what it is as well: else nothing says what lies in it. */
    @Test
    void aPrintWithANameOfItsOwnTellsWhatItIs() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 3);
        Files.writeString(song, "song: Weiß\nrevision: 7\ntempo: 240 bpm\nsections: { a: 1, b: 2, end: 3 }\nparts:\n  lead: { take: take.wav }\n"
                + "prints: [ mix, { print: lead dry, name: odd, from: b, to: end }, { print: mix, name: loud, depth: 16-bit },"
                + " { print: lead, name: lead } ]\n");
        assertEquals(Exit.DONE, run("render", song, "--out", prints), err::toString);
        for (String[] told : new String[][] {{"mix", "mix"}, {"odd", "odd (lead dry b to end)"}, {"loud", "loud (mix)"}, {"lead", "lead"}}) {
            Path print = prints.resolve(told[0] + ".wav");
            try (WavFile wav = WavFile.open(print)) {
                assertEquals("Weiss: " + told[1] + ", revision 7", Bext.of(wav.header()).orElseThrow().description());
            }
            assertEquals(Exit.DONE, run("explain", print));
            assertTrue(out.toString().startsWith(print + ": Weiß: " + told[1] + ", revision 7\n"), out.toString());
            assertEquals(Exit.DONE, run("explain", print, "--json"));
            assertEquals(told[1], JsonParser.parseString(out.toString()).getAsJsonObject().get("print").getAsString());
        }
        assertEquals(Exit.DONE, run("render", song, "--out", prints, "--only", "odd", "--from", "b beat 2", "--to", "b beat 3"), err::toString);
        assertEquals(Exit.DONE, run("explain", prints.resolve("odd, b beat 2 to b beat 3.wav")));
        assertTrue(out.toString().contains(": Weiß: odd, b beat 2 to b beat 3 (lead dry b to end), revision 7\n"), out.toString());
    }

    /** A song of one print need not name it. */
    @Test
    void aStretchIsNamedWhereThePrintIsNot() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 2);
        Files.writeString(song,
                "song: x\nnames: \"{song}\"\ntempo: 120 bpm\nsections: { a: 1, end: 3 }\nparts:\n  lead: { take: take.wav, level: -6 dB }\nprints: [ mix ]\n");
        assertEquals(Exit.DONE, run("render", song, "--out", prints), err::toString);
        assertEquals(Exit.DONE, run("render", song, "--out", prints, "--from", "bar 1 beat 3", "--force"), err::toString);
        assertEquals(List.of("x from bar 1 beat 3.wav", "x.wav"), names(prints));
    }

    /** As the program tells times, and as the help says. */
    @Test
    void aStretchIsAskedForInSecondsToo() throws IOException {
        assertEquals(Exit.DONE, run("render", song, "--out", folder.resolve("clock"), "--from", "0:00.5", "--to", "0:02.000", "--only", "lead"),
                err.toString());
        assertEquals(Exit.DONE, run("render", song, "--out", folder.resolve("bare"), "--from", "0.5", "--to", "2", "--only", "lead"), err.toString());
        try (WavFile clock = WavFile.open(folder.resolve("clock").resolve("lead 0.5 s to 2 s.wav"));
                WavFile bare = WavFile.open(folder.resolve("bare").resolve("lead 0.5 to 2.wav"))) {
            assertEquals(72_000, clock.frames());
            assertEquals(72_000, bare.frames());
        }
    }

    /** A folder that is called like a sound would be taken for the print; a sound in the place of a chain, for a chain too large. */
    @Test
    void aFileInThePlaceOfAnotherIsRefused() throws IOException {
        assertEquals(Exit.USAGE, run("render", song, "--out", folder.resolve("x.wav")));
        assertTrue(err.toString().contains("--out wants the folder for the prints of a song, not a file such as"), err.toString());
        assertTrue(Files.notExists(folder.resolve("x.wav")));
        Path chain = Files.writeString(folder.resolve("chain.yaml"), "steps: [ trim ]\n");
        assertTrue(run("check", folder.resolve("take.wav"), chain) != Exit.DONE);
        assertTrue(err.toString().contains("is a sound and no chain file; of a chain and its take the chain is named first"), err.toString());
    }

    private static List<String> names(Path of) throws IOException {
        try (Stream<Path> files = Files.list(of)) {
            return files.map(f -> f.getFileName().toString()).filter(f -> f.endsWith(".wav")).sorted().toList();
        }
    }

    @Test
    void whatIsAskedForMustBeInTheSong() {
        assertEquals(Exit.USAGE, run("render", song, "--out", prints, "--only", "A Cappella"));
        assertTrue(err.toString().contains("has no print 'A Cappella'; here that is 'vocals' (it has "), err.toString());
        assertEquals(Exit.USAGE, run("render", song, "--out", prints, "--only", "mix,laed"));
        assertTrue(err.toString().contains("has no print 'laed'; did you mean 'lead'? (it has mix, lead)"), err.toString());
        assertEquals(Exit.USAGE, run("render", song, "--out", prints, "--from", "chorus"));
        assertTrue(err.toString().contains("--from:1:1: \"chorus\" is no place in this song"), err.toString());
        assertEquals(Exit.USAGE, run("render", song, "--out", prints, "--from", "a beet 2"));
        assertTrue(err.toString().contains("\"a beet 2\" is no place in this song; did you mean 'a beat 2'?"), err.toString());
        assertEquals(Exit.USAGE, run("render", song, "--out", prints, "--from", "bar 2", "--to", "1 s"));
        assertTrue(err.toString().contains("--to:1:1: this stretch ends before it begins"), err.toString());
    }
}
