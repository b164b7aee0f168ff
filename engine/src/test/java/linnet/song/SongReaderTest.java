package linnet.song;

import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import linnet.chain.Link;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What is said of songs that cannot be rendered as they stand. */
class SongReaderTest {
    private static final String HEAD = """
            song: lines
            tempo: 120 bpm
            sections: { verse: 1, chorus: 3, end: 5 }
            """;

    @TempDir
    Path folder;

    private String said(String text) throws IOException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, HEAD + text);
        return assertThrows(ProblemsException.class, () -> SongReader.read(file, Builtins.catalogue())).getMessage().replace(folder + "/", "").lines()
                .findFirst().orElseThrow();
    }

    private Song read(String text) throws IOException, ProblemsException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, HEAD + text);
        return SongReader.read(file, Builtins.catalogue());
    }

    private List<String> called(String text) throws IOException {
        return assertDoesNotThrow(() -> read(text)).prints().stream().map(Song.Wanted::called).toList();
    }

    @Test
    void creditsAreLinesOfText() throws Exception {
        String song = "parts: { lead: { take: a.wav } }\nabout: two lines\ncredits: ";
        Credits credits = read(song + "{ sung by: [ one, 2 ], artist: The Kites, explicit: no }").label().credits();
        assertEquals("two lines", credits.about());
        assertEquals(List.of("sung by", "artist", "explicit"), List.copyOf(credits.rows().keySet()));
        assertEquals(List.of("one", "2"), credits.rows().get("sung by"));
        assertEquals(List.of("no"), credits.rows().get("explicit"));
        assertTrue(read("parts: { lead: { take: a.wav } }").label().credits().isEmpty());
        for (String wrong : List.of("{ artist: }", "{ artist: { name: x } }", "{ artist: [] }", "{ artist: [ a, [ b ] ] }", "{ artist: ' ' }")) {
            assertEquals("song.yaml:6:12: 'artist' is a line of text, or several in a list", said(song + wrong), wrong);
        }
        assertEquals("song.yaml:6:10: credits are names with their settings, one a line", said(song + "The Kites"));
    }

    /** A level in dB where a loudness belongs: the number is meant, and can be written so. */
    @Test
    void aSendInDecibelsIsToldInLoudness() throws Exception {
        String song = "parts: { lead: { take: a.wav, sends: { plate: %s } } }\nreturns: { plate: { chain: [ trim ] } }\n";
        assertEquals("song.yaml:4:47: a send is a level, or how loud what comes of it is, such as '10 LU under'; say '15 LU under'",
                said(song.formatted("15 dB under")));
        assertEquals(-15, read(song.formatted("15 LU under")).wishes().wet().get(0).lu());
    }

    /** Some editors put a mark of the order of bytes at its beginning, before the key that songs are known by. */
    @Test
    void aSongIsKnownByItsFirstLine() throws Exception {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, "\uFEFFsong: x\n");
        assertTrue(SongReader.isSong(file));
        Files.writeString(file, "\uFEFFchain: x\n");
        assertFalse(SongReader.isSong(file));
    }

    /** What is JSON is YAML too: a song is known by its keys, however they are written. */
    @Test
    void aSongIsKnownByItsKeysInAnyStyle() throws Exception {
        Path file = folder.resolve("song.yaml");
        for (String song : List.of("{ \"song\": \"x\" }", "{\n \"tempo\": \"120 bpm\",\n \"parts\": {}\n}", "\"song\": x\n", "'parts': {}\n", "parts : {}\n",
                "{tempo: [ 1, { a: b } ], song: x}", "--- { song: x }", "? parts\n: { a: b }\n", "{ \"song\": \"x\", ] }", "song: x\nno YAML [")) {
            Files.writeString(file, song);
            assertTrue(SongReader.isSong(file), song);
        }
        for (String other : List.of("{ \"steps\": [ \"trim\" ], \"about\": \"a song\" }", "chain: song\nsteps: [ { song: x }, parts ]\n",
                "[ song, parts ]", "song", "{ steps: { song: x } }", "\"song\"", "[".repeat(900_000) + "song", "{ a: " + "[".repeat(900_000) + "song",
                "{ ? [ song ] : parts }", "\u0000song: parts", "*a : song", "")) {
            Files.writeString(file, other);
            assertFalse(assertTimeoutPreemptively(Duration.ofSeconds(10), () -> SongReader.isSong(file)), other.substring(0, Math.min(40, other.length())));
        }
        Files.write(file, new byte[] {(byte) 0xff, 's', 'o', 'n', 'g', ':'});
        assertFalse(SongReader.isSong(file));
    }

    @Test
    void nothingIsPrintedThatIsNotThere() throws Exception {
        assertEquals("song.yaml:5:11: this song has no print 'instrumental' (it has mix, vocals, one)",
                said("parts: { one: { take: a.wav } }\nprints: [ instrumental ]\n"));
        assertEquals("song.yaml:5:16: 'mix' is printed already; take one of them out, or give one a name, such as { print: mix, name: second mix }",
                said("parts: { one: { take: a.wav } }\nprints: [ mix, mix ]\n"));
        assertEquals("song.yaml:5:11: this song has no print 'ones dry'; did you mean 'one dry'? (it has mix, vocals, one)",
                said("parts: { one: { take: a.wav } }\nprints: [ ones dry ]\n"));
        assertEquals("song.yaml:5:11: this song has no print 'mix without two' (it has bus, vocals, one)",
                said("parts: { one: { take: a.wav } }\nprints: [ mix without two ]\n"));
        assertEquals("song.yaml:5:11: 'one up 20 dB': by how much is a number of dB up to 12 dB, as in 'one up 1 dB'",
                said("parts: { one: { take: a.wav } }\nprints: [ one up 20 dB ]\n"));
        assertEquals("song.yaml:5:36: 'MIX' is printed already; give this one another 'name:'",
                said("parts: { one: { take: a.wav } }\nprints: [ mix, { print: one, name: MIX } ]\n"));
        assertEquals("song.yaml:5:43: this print ends before it begins",
                said("parts: { one: { take: a.wav } }\nprints: [ { print: mix, from: chorus, to: verse } ]\n"));
        assertEquals("song.yaml:5:32: a depth is 16-bit, 24-bit or float",
                said("parts: { one: { take: a.wav } }\nprints: [ { print: mix, depth: 20-bit } ]\n"));
        assertEquals("song.yaml:5:31: this is no name for a file: no dot or space before or after it, none of / \\ : * ? \" < > | in it, and no name of a "
                + "device such as con or nul", said("parts: { one: { take: a.wav } }\nprints: [ { print: mix, name: ../up } ]\n"));
        assertEquals(1, read("parts: { one: { take: a.wav } }\ninstrumental: { take: b.wav }\nprints: [ instrumental ]\n").prints().size());
        String two = "parts: { one: { take: a.wav }, two: { take: b.wav } }\n";
        assertEquals(List.of("one", "two"), called(two + "prints: [ one, { print: stems, depth: float } ]\n"));
        assertEquals(List.of("one", "two", "one from chorus", "two from chorus"), called(two + "prints: [ stems, { print: stems, from: chorus } ]\n"));
        assertEquals(List.of("one from chorus", "two from chorus", "one", "two"), called(two + "prints: [ { print: stems, from: chorus }, stems ]\n"));
        assertEquals(List.of("one 1 s to 3 s", "two 1 s to 3 s"), called(two + "prints: [ { print: stems, from: \"0:01\", to: \"0:03\" } ]\n"));
        assertEquals("song.yaml:5:27: these stems are printed already; say all of it in one place",
                said(two + "prints: [ stems, { print: stems, depth: float } ]\n"));
        assertEquals("song.yaml:5:59: 'one from chorus' is the name of another print already; give that one another",
                said(two + "prints: [ { print: mix, name: one from chorus }, { print: stems, from: chorus } ]\n"));
    }

    @Test
    void whatGoesIntoTheChainOfTheMixIsPrintedWithoutThat() throws Exception {
        String song = "parts: { lead: { take: a.wav }, one: { take: a.wav }, two: { take: b.wav } }\ninstrumental: { take: c.wav }\n"
                + "groups: { backs: { parts: [ one, two ] } }\nreturns: { plate: { chain: [ reverb ] } }\n";
        List<String> stems = List.of("lead without bus", "backs without bus", "plate without bus", "instrumental without bus");
        assertEquals(stems, called(song + "prints: stems without bus\n"));
        assertEquals(List.of(new Song.Content.Strip("lead", false), new Song.Content.Vocals(false), new Song.Content.Strip("one", false)),
                read(song + "prints: [ lead without bus, vocals without bus, one without bus ]\n").prints().stream().map(Song.Wanted::content).toList());
        assertEquals(List.of("one without bus", "two without bus"), called(song + "prints: parts of backs without bus\n"));
        Song.Wanted plate = read(song + "prints: [ { print: stems without bus, from: chorus, depth: 16-bit } ]\n").prints().get(2);
        assertEquals("plate without bus from chorus", plate.called());
        assertEquals(Optional.of(Song.Depth.INT_16), plate.depth());
        assertTrue(plate.range().isPresent() && plate.isMeantBy("stems without bus from chorus"));
        assertEquals(8, called(song + "prints: [ stems, stems without bus ]\n").size());
        assertEquals(8, called(song + "prints: [ { print: stems, from: chorus }, { print: stems without bus, from: chorus } ]\n").size());
        assertEquals(stems, called(song + "prints: [ { print: lead without bus, depth: float }, stems without bus ]\n"),
                "what stands before is not printed again");
        assertEquals("song.yaml:8:39: these stems are printed already; say all of it in one place",
                said(song + "prints: [ stems without bus, { print: stems without bus, depth: float } ]\n"));
        assertEquals("song.yaml:8:45: stems are as many prints as there are, each called as what is in it: they have no 'name'",
                said(song + "prints: [ { print: stems without bus, name: all } ]\n"));
        assertEquals("song.yaml:8:51: 'lead without bus' is the name of another print already; give that one another",
                said(song + "prints: [ { print: mix, name: lead without bus }, stems without bus ]\n"));
        for (String[] slip : new String[][] {
            {"lead without buss", "lead without bus"}, {"laed without bus", "lead without bus"}, {"stems without buss", "stems without bus"},
            {"stem without bus", "stems without bus"}, {"vocals without buss", "vocals without bus"},
            {"parts of backs without buss", "parts of backs without bus"}
        }) {
            String said = said(song + "prints: [ " + slip[0] + " ]\n");
            assertTrue(said.contains("did you mean '" + slip[1] + "'?"), said);
        }
    }

    /** What a song calls so comes first, but for the mix, of which that was always said. */
    @Test
    void somethingOfASongMayBeCalledBus() throws Exception {
        for (String song : new String[] {
            "parts: { lead: { take: a.wav }, bus: { take: b.wav } }\n",
            "parts: { lead: { take: a.wav }, low: { take: b.wav } }\ngroups: { bus: { parts: [ low ] } }\n",
            "parts: { lead: { take: a.wav } }\nreturns: { bus: { chain: [ reverb ] } }\n"
        }) {
            assertEquals(List.of(new Song.Content.Strip("bus", true), new Song.Content.Strip("bus", false), new Song.Content.Strip("lead", false),
                            new Song.Content.Mix(false), new Song.Content.Without("bus", true)),
                    read(song + "prints: [ bus, bus without bus, lead without bus, mix without bus, vocals without bus ]\n").prints().stream()
                            .map(Song.Wanted::content).toList());
            assertEquals(Set.of("lead without bus", "bus without bus"), Set.copyOf(called(song + "prints: stems without bus\n")));
        }
        String named = "parts: { lead: { take: a.wav }, stems without bus: { take: b.wav }, lead without bus: { take: c.wav } }\n";
        assertEquals(List.of(new Song.Content.Strip("stems without bus", true), new Song.Content.Strip("lead without bus", true)),
                read(named + "prints: [ stems without bus, lead without bus ]\n").prints().stream().map(Song.Wanted::content).toList());
    }

    /** A stem that was not printed because another print has its name was missing without a word. */
    @Test
    void aStemWhoseNameIsTakenIsToldOf() throws Exception {
        String two = "parts: { one: { take: a.wav }, two: { take: b.wav } }\n";
        for (String other : List.of("{ print: mix, name: one }", "{ print: one, name: One, from: chorus }")) {
            String told = said(two + "prints: [ " + other + ", stems ]\n");
            assertTrue(told.endsWith(": 'one' is the name of another print already; give that one another"), told);
        }
        assertEquals(List.of("One", "two"), called(two + "prints: [ { print: one, name: One }, stems ]\n"));
    }

    /** One entry for all parts of a group, each with what the entry says. */
    @Test
    void thePartsOfAGroupArePrintedByOneEntry() throws Exception {
        String three = "parts: { lead: { take: a.wav }, one: { take: a.wav }, two: { take: b.wav } }\ngroups: { backs: { parts: [ one, two ] } }\n";
        assertEquals(List.of("mix", "one", "two"), called(three + "prints: [ mix, parts of backs ]\n"));
        assertEquals(List.of("one dry", "two dry", "one wet", "two wet"), called(three + "prints: [ parts of backs dry, parts of backs wet ]\n"));
        assertEquals(List.of("one untuned", "two untuned"), called(three + "prints: parts of backs untuned\n"));
        Song.Wanted two = read(three + "prints: [ { print: parts of backs dry, from: chorus, depth: 16-bit } ]\n").prints().get(1);
        assertEquals("two dry from chorus", two.called());
        assertEquals(new Song.Content.Dry("two"), two.content());
        assertEquals(Optional.of(Song.Depth.INT_16), two.depth());
        assertTrue(two.range().isPresent());
        assertEquals("song.yaml:6:20: 'one dry' is printed already, and 'parts of backs dry' has it too; take one of them out",
                said(three + "prints: [ one dry, parts of backs dry ]\n"));
        assertEquals("song.yaml:6:42: the parts of a group are as many prints as there are, each called as what is in it: they have no 'name'",
                said(three + "prints: [ { print: parts of backs, name: all } ]\n"));
        assertEquals("song.yaml:6:11: this song has no group 'bakcs'; did you mean 'backs'? (it has backs)", said(three + "prints: [ parts of bakcs dry ]\n"));
        String named = three.replace("lead:", "parts of backs:");
        assertEquals(List.of("parts of backs", "parts of backs dry"), called(named + "prints: [ parts of backs, parts of backs dry ]\n"),
                "a name of the song comes first");
        StringBuilder many = new StringBuilder("parts:\n  p0: { take: a.wav }\n"), rows = new StringBuilder();
        for (int i = 1; i < 40; i++) many.append("  p").append(i).append(": { take: a.wav }\n");
        String members = IntStream.range(0, 40).mapToObj(i -> "p" + i).collect(Collectors.joining(", "));
        for (int i = 0; i < 8; i++) rows.append("  - { print: parts of backs, from: ").append(i / 2.0).append(" s, to: 8 s }\n");
        String too = said(many + "groups: { backs: { parts: [ " + members + " ] } }\nprints:\n" + rows);
        assertTrue(too.contains("a song has 300 prints at most, and with 'parts of backs' it has more"), too);
    }

    /** Nothing else is printed in the place of a part whose print would be called as something of the song is. */
    @Test
    void aPartIsNotPrintedUnderTheNameOfAnother() throws Exception {
        for (String ending : List.of("without bus", "dry", "untuned", "wet")) {
            String song = "parts: { lead: { take: a.wav }, one: { take: a.wav }, lead " + ending + ": { take: b.wav } }\n"
                    + "groups: { backs: { parts: [ lead, one ] } }\n";
            assertEquals("song.yaml:6:16: 'parts of backs " + ending + "' would print 'lead " + ending + "', and something else of this song is called so; "
                    + "give that another name", said(song + "prints: [ mix, parts of backs " + ending + " ]\n"));
            assertEquals(List.of("lead", "one"), called(song + "prints: [ parts of backs ]\n"));
        }
    }

    /** As stems of a stretch and those that are asked for beside the text are: a file of the whole may lie beside it. */
    @Test
    void aStretchIsCalledByWhereItLies() throws Exception {
        String one = "parts: { one: { take: a.wav } }\n";
        assertEquals(List.of("mix", "mix from chorus", "one"), called(one + "prints: [ mix, { print: mix, from: chorus }, one ]\n"));
        assertEquals(List.of("mix chorus to chorus", "mix to verse"),
                called(one + "prints: [ { print: mix, from: chorus, to: chorus }, { print: mix, to: verse } ]\n"));
        assertEquals(List.of("mix 1 s to 3 s"), called(one + "prints: [ { print: mix, from: \"0:01\", to: \"0:03\" } ]\n"));
        assertEquals(List.of("mix", "hook"), called(one + "prints: [ mix, { print: mix, name: hook, from: chorus } ]\n"));
        assertEquals(List.of("one from chorus"), called(one + "prints: [ { print: one, from: chorus }, { print: stems, from: chorus } ]\n"),
                "what stands before stems is not printed again");
        for (String same : List.of(", depth: 16-bit", "")) {
            assertEquals(List.of("one from chorus"), called(one + "prints: [ { print: one, from: chorus, depth: 16-bit }, { print: stems, from: chorus" + same
                    + " } ]\n"), "no depth is lost");
        }
        for (String other : List.of(", depth: 16-bit", "")) {
            String print = "prints: [ { print: one, from: chorus" + other + " }, { print: ";
            assertEquals("song.yaml:5:" + (print.length() + "stems, from: chorus, depth: ".length() + 1)
                            + ": 'one from chorus' is printed already, and this is not said of it: give it that depth there, or a 'name:'",
                    said(one + print + "stems, from: chorus, depth: 24-bit } ]\n"), "the second depth would be lost");
        }
        assertEquals("song.yaml:5:50: 'mix from chorus' is printed already; take one of them out, or give one a name, such as "
                + "{ print: mix, name: second mix, from: chorus }",
                said(one + "prints: [ { print: mix, from: chorus }, { print: mix, from: chorus } ]\n"));
        assertEquals("song.yaml:5:25: 'mix' is printed already; take one of them out, or give one a name, such as "
                + "{ print: mix, name: second mix, depth: 16-bit }", said(one + "prints: [ mix, { print: mix, depth: 16-bit } ]\n"));
        assertEquals("song.yaml:5:50: 'mix from chorus' is printed already; take one of them out, or give one a name, such as "
                + "{ print: mix, name: second mix, from: chorus, depth: float }",
                said(one + "prints: [ { print: mix, from: chorus }, { print: mix, depth: float, from: chorus } ]\n"), "with all that the row has");
        assertEquals(List.of("mix", "second mix"), called(one + "prints: [ mix, { print: mix, name: second mix, depth: 16-bit } ]\n"));
        assertEquals("song.yaml:5:36: \"bridge\" is no place in this song (say a section, 'chorus 1 bar 4 beat 3', 'bar 17', '12.5 s', '1:02.5' or 'end')",
                said(one + "prints: [ mix, { print: mix, from: bridge } ]\n"));
    }

    @Test
    void aSlipInTheEndingOfPartsOfAGroupIsMet() throws Exception {
        String said = said("parts: { one: { take: a.wav }, two: { take: b.wav } }\ngroups: { backs: { parts: [ one, two ] } }\n"
                + "prints: [ parts of backs untund ]\n");
        assertTrue(said.contains("did you mean 'parts of backs untuned'?"), said);
    }

    @Test
    void aNameIsAFileNameToo() throws Exception {
        assertEquals("song.yaml:4:10: a print takes its file name from this: 1 to 60 characters, no dot or space before or after it, none of / \\ : * ? \" < "
                + "> | in it, and no name of a device such as con or nul", said("parts: { a/b: { take: a.wav } }\n"));
        assertEquals("song.yaml:4:10: a print takes its file name from this: 1 to 60 characters, no dot or space before or after it, none of / \\ : * ? \" < "
                + "> | in it, and no name of a device such as con or nul", said("parts: { ../b: { take: a.wav } }\n"));
        assertEquals("song.yaml:4:10: 'up to you' would read as a send in 'moves': no 'to' in a name", said("parts: { up to you: { take: a.wav } }\n"));
        assertEquals("song.yaml:4:10: 'one each' would read as an 'each' in 'moves': no 'each' at the end of a name",
                said("parts: { one each: { take: a.wav } }\n"));
    }

    /** Without a pick-up there is no bar 0; with one only its own beats. */
    @Test
    void nothingLiesBeforeTheSong() throws Exception {
        assertEquals("song.yaml:4:34: nothing lies before the song begins, at 0 s", said("parts: { one: { take: a.wav, at: bar 0 } }\n"));
        assertEquals("song.yaml:4:34: nothing lies before the song begins, at 0 s",
                said("parts: { one: { take: a.wav, at: bar 0 beat 3 } }\npick-up: 1 beat\n"));
        assertEquals(0, ((Source.Clip) read("parts: { one: { take: a.wav, at: bar 0 beat 4 } }\npick-up: 1 beat\n").parts().get(0).source()).at());
        assertEquals(0.5, ((Source.Clip) read("parts: { one: { take: a.wav, at: bar 1 } }\npick-up: 1 beat\n").parts().get(0).source()).at());
    }

    /** However it is written. */
    @Test
    void aRateIsAWholeNumber() throws Exception {
        for (String whole : List.of("16.1 kHz", "16100 Hz", "16100")) {
            assertEquals(16_100, read("parts: { one: { take: a.wav } }\nrate: " + whole + "\n").rate().getAsDouble());
        }
        assertEquals("song.yaml:5:7: rate is a whole number of Hz, such as 44100 Hz", said("parts: { one: { take: a.wav } }\nrate: 44.1005 kHz\n"));
    }

    /** A slip that would lie in the next bar, where nobody looks for it; parts of the last beat are within. */
    @Test
    void aBeatLiesInItsBar() throws Exception {
        String at = "parts: { one: { take: a.wav, at: %s } }\n", eighths = "metre: { bar 1: 6/8, bar 3: 4/4 }\n";
        assertEquals("song.yaml:4:34: bar 2 has 4 beats, no beat 5", said(at.formatted("bar 2 beat 5")));
        assertEquals("song.yaml:4:34: bar 2 has 6 beats, no beat 7", said(at.formatted("bar 2 beat 7") + eighths));
        assertEquals("song.yaml:4:34: bar 3 has 4 beats, no beat 5.5", said(at.formatted("bar 3 beat 5.5") + eighths));
        assertEquals("song.yaml:4:34: verse bar 1 has 4 beats, no beat 5", said(at.formatted("verse bar 1 beat 5")));
        assertEquals("song.yaml:4:34: beats count from 1", said(at.formatted("bar 2 beat 0.5")));
        assertEquals(2 + 3.999 / 2, ((Source.Clip) read(at.formatted("bar 2 beat 4.999")).parts().get(0).source()).at(), 1e-9);
        assertEquals(0.5 * 5.5 / 2, ((Source.Clip) read(at.formatted("verse bar 1 beat 6.5") + eighths).parts().get(0).source()).at(), 1e-9);
    }

    /** Without a bar, beats count from the first of the section to its last. */
    @Test
    void aBeatOfASectionLiesInIt() throws Exception {
        String at = "parts: { one: { take: a.wav, at: %s } }\n", change = "metre: { bar 1: 4/4, bar 4: 3/4 }\n";
        assertEquals(4 + 3, ((Source.Clip) read(at.formatted("chorus beat 7") + change).parts().get(0).source()).at(), 1e-9);
        assertEquals("song.yaml:4:34: chorus has 7 beats, no beat 8", said(at.formatted("chorus beat 8") + change));
        assertEquals("song.yaml:4:34: beats count from 1", said(at.formatted("chorus beat 0")));
    }

    @Test
    void aThrowIsStoppedAtAPlaceOrAfterALength() throws Exception {
        String song = "parts: { one: { take: a.wav } }\nreturns: { far: { chain: [ delay ] } }\n"
                + "throws: [ { part: one, word: chorus, length: 2 beats, to: far, stop: %s } ]\n";
        // The chorus begins at 4 s, and a beat lasts 0.5 s.
        for (String[] stop : new String[][] {{"2 bars", "9"}, {"350 ms", "5.35"}, {"1/8", "5.25"}, {"7.5 s", "7.5"}, {"end", "8"},
            // What rings on after the end, at 8 s, can be stopped there.
            {"9.5 s", "9.5"}}) {
            assertEquals(Double.parseDouble(stop[1]), read(song.formatted(stop[0])).thrown().get(0).stop(), 1e-9, stop[0]);
        }
        assertEquals("song.yaml:6:70: \"4 s\" comes before what it should end", said(song.formatted("4 s")));
    }

    @Test
    void aRampTakesSomeTime() throws Exception {
        assertEquals("song.yaml:5:26: a ramp has 5 ms or more: a shorter one is a click",
                said("parts: { one: { take: a.wav } }\nmoves: { chorus: { ramp: 0 ms, one: +4 dB } }\n"));
    }

    @Test
    void aCompIsRangesInTheOrderOfTheSong() throws Exception {
        Source.Comp comp = (Source.Comp) read("""
                parts:
                  lead:
                    comp:
                      - { take: a.wav, from: verse }
                      - { take: b.wav, from: verse bar 2 beat 3, fade: 20 ms, at: 250 ms, into: -6 dB }
                      - { take: a.wav, from: chorus, to: chorus bar 2, exact: yes }
                """).parts().get(0).source();
        assertEquals(3, comp.ranges().size());
        assertEquals(3, comp.ranges().get(1).from());
        assertEquals(0.02, comp.ranges().get(1).fade());
        assertEquals(0.25, comp.ranges().get(1).at());
        assertEquals(-6, comp.ranges().get(1).into());
        assertEquals(0, comp.ranges().get(2).into());
        assertEquals(6, comp.ranges().get(2).to());
        assertEquals(true, comp.ranges().get(2).exact());
    }

    @Test
    void aCompThatCannotBeIsTold() throws Exception {
        String song = "parts: { one: { comp: %s } }\n";
        assertEquals("song.yaml:4:23: a comp is a list of ranges, such as - { take: lead-1.wav, from: verse 1 }", said(song.formatted("a.wav")));
        assertEquals("song.yaml:4:25: a range of a comp needs 'from', as in { take: lead-1.wav, from: verse 1 }", said(song.formatted("[ { take: a.wav } ]")));
        assertEquals("song.yaml:4:77: \"verse\" does not come after \"chorus\": ranges stand in the order of the song, 60 ms apart at least",
                said(song.formatted("[ { take: a.wav, from: chorus }, { take: b.wav, from: verse } ]")));
        assertEquals("song.yaml:4:88: this range begins before the one above ends; leave out its 'to:' where one is to follow the other",
                said(song.formatted("[ { take: a.wav, from: verse, to: chorus }, { take: b.wav, from: bar 2 } ]")));
        assertEquals("song.yaml:4:58: this range ends before it has begun: 60 ms are the least",
                said(song.formatted("[ { take: a.wav, from: chorus, to: verse } ]")));
        assertEquals("song.yaml:4:60: fade is outside 4 ms … 500 ms", said(song.formatted("[ { take: a.wav, from: chorus, fade: 1 ms } ]")));
        assertEquals("song.yaml:4:61: 'exact' is yes or no", said(song.formatted("[ { take: a.wav, from: chorus, exact: very } ]")));
        assertEquals("song.yaml:4:23: 'one' has a comp: 'take' belongs into its ranges",
                said("parts: { one: { take: a.wav, comp: [ { take: a.wav, from: verse } ] } }\n"));
        assertEquals("song.yaml:4:10: 'one' needs its 'take:', a sound file, or 'comp:', ranges of several, or 'from:', another part",
                said("parts: { one: { level: 1 dB } }\n"));
        assertEquals("song.yaml:4:46: \"chorvs\" is no place in this song; did you mean 'chorus'? (say a section, 'chorus 1 bar 4 beat 3', 'bar 17', '12.5 "
                + "s', '1:02.5' or 'end')", said(song.formatted("[ { take: a.wav, from: chorvs } ]")));
    }

    @Test
    void anEditThatCannotBeIsTold() throws Exception {
        String song = "parts: { one: { take: a.wav, %s } }\n";
        assertEquals("song.yaml:4:37: edits are a list: one '- ' before each, such as - { mute: verse bar 2 to verse bar 3 }",
                said(song.formatted("edits: mute")));
        assertEquals("song.yaml:4:39: an edit is one of 'mute', 'cut', 'fade in' or 'fade out', with a stretch of the song: { mute: verse bar 2 to "
                + "verse bar 3 }", said(song.formatted("edits: [ { mute: verse, cut: chorus } ]")));
        assertEquals("song.yaml:4:61: only a 'cut' can close the gap", said(song.formatted("edits: [ { mute: verse, close: yes } ]")));
        assertEquals("song.yaml:4:60: 'exact' goes with a cut that closes the gap; all else is where the text says",
                said(song.formatted("edits: [ { cut: verse, exact: yes } ]")));
        assertEquals("song.yaml:4:63: a 'fade in' is as long as its stretch", said(song.formatted("edits: [ { fade in: verse, fade: 20 ms } ]")));
        assertEquals("song.yaml:4:60: fade is outside 4 ms … 5 s", said(song.formatted("edits: [ { mute: verse, fade: 3 ms } ]")));
        assertEquals("song.yaml:4:47: no marks are called 'breath'; did you mean 'breaths'? (there are breaths, sibilants, stops, plosives, phrases)",
                said(song.formatted("edits: [ { mute: breath in verse } ]")));
        assertEquals("song.yaml:4:47: \"vers\" is no place in this song; did you mean 'verse'? (say a section, 'chorus 1 bar 4 beat 3', 'bar 17', '12.5 s', "
                + "'1:02.5' or 'end')", said(song.formatted("edits: [ { mute: breaths in vers } ]")));
        assertEquals("song.yaml:4:47: \"chorus to verse\" ends before it begins", said(song.formatted("edits: [ { mute: chorus to verse } ]")));
        assertEquals("song.yaml:4:47: this lasts less than 20 ms: no fade finds room in it", said(song.formatted("edits: [ { mute: 1 s to 1.01 s } ]")));
        // 4.02 - 4 is less than 0.02 by a rounding of double numbers.
        for (String enough : new String[] {"1 s to 1.02 s", "4 s to 4.02 s"}) {
            assertDoesNotThrow(() -> read(song.formatted("edits: [ { mute: " + enough + " } ]")), enough);
        }
        assertEquals("song.yaml:4:41: an edit has no 'silence' (it has mute, cut, fade in, fade out, fade, close, exact)",
                said(song.formatted("edits: [ { silence: verse } ]")));
        assertEquals("song.yaml:4:37: a nudge is a length and a direction, such as '20 ms earlier' or '1/32 later'", said(song.formatted("nudge: 20 ms")));
        assertEquals("song.yaml:4:37: a nudge is 10 s at most; 'at' puts a take anywhere", said(song.formatted("nudge: 20 s later")));
        assertEquals("song.yaml:4:37: \"much\" is no length; say '2 beats', '1 bar', '1/8 dotted' or '350 ms'", said(song.formatted("nudge: much later")));
        assertEquals("song.yaml:4:36: beside 'take' this is a time in the file, such as '12.5 s' or 1:02.5", said(song.formatted("from: lead")));
        assertEquals("song.yaml:4:45: the span of the take ends before it has begun: 20 ms are the least", said(song.formatted("from: 2 s, to: 1 s")));
    }

    @Test
    void aPartIsNotMadeOfItself() throws Exception {
        assertEquals("song.yaml:4:22: 'a' is made of itself: a → b → c → a", said("parts: { a: { from:  b }, b: { from: c }, c: { from: a } }\n"));
        assertEquals("song.yaml:4:21: 'a' is made of itself: a → a", said("parts: { a: { from: a, only: verse } }\n"));
        assertEquals("song.yaml:4:44: this song has no part 'leed'; did you mean 'lead'? (it has lead, b)",
                said("parts: { lead: { take: a.wav }, b: { from: leed } }\n"));
        assertEquals("song.yaml:4:49: what is made of another part begins and ends with it; 'nudge', 'only' and 'edits' change that, not 'at'",
                said("parts: { a: { take: a.wav }, b: { from: a,  at: chorus } }\n"));
        assertEquals(List.of("a", "c", "b"), new Order(read("parts: { a: { take: a.wav }, b: { from: c }, c: { from: a } }\n").parts()).all().stream()
                .map(p -> p.name().text()).toList());
    }

    private String tune(String tonality, String settings) throws Exception {
        return ((Link.Use) read(tonality + "parts: { one: { take: a.wav, chain: [ parallel: [ { level: 0 dB, steps: [ tune: { " + settings + " } ] } ] ] } }\n")
                .parts().get(0).chain().links().stream().flatMap(l -> ((Link.Parallel) l).branches().get(0).links().stream()).findFirst().orElseThrow())
                        .values().write();
    }

    /** A step says what it goes by, or else the song does; what the song does not say nobody puts there. */
    @Test
    void aTuneHasTheKeyOfTheSong() throws Exception {
        assertEquals("{ amount: 50 % }", tune("", "amount: 50 %"));
        assertEquals("{ amount: 50 %, key: A minor }", tune("key: a Minor\n", "amount: 50 %"));
        assertEquals("{ key: A minor, reference: 442 Hz }", tune("key: A minor\npitch: 442 Hz\n", ""));
        assertEquals("{ key: D major, reference: 442 Hz }", tune("key: A minor\npitch: 442 Hz\n", "key: D major"));
        assertEquals("{ reference: 430 Hz, scale: [A, E] }", tune("key: A minor\npitch: 442 Hz\n", "scale: [ A, E ], reference: 430 Hz"));
        assertEquals("song.yaml:4:6: key wants a key such as \"G major\", not \"H major\"; did you mean 'A major'?",
                said("key: H major\nparts: { one: { take: a.wav } }\n"));
    }
}
