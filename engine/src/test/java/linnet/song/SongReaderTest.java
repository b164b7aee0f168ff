package linnet.song;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
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
        return assertThrows(ProblemsException.class, () -> SongReader.read(file, Builtins.catalogue())).getMessage().replace(folder + "/", "").lines().findFirst().orElseThrow();
    }

    private Song read(String text) throws IOException, ProblemsException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, HEAD + text);
        return SongReader.read(file, Builtins.catalogue());
    }

    @Test
    void nothingIsPrintedThatIsNotThere() throws Exception {
        assertEquals("song.yaml:5:11: this song has no print 'instrumental' (it has mix, vocals, one)", said("parts: { one: { take: a.wav } }\nprints: [ instrumental ]\n"));
        assertEquals("song.yaml:5:16: 'mix' is printed already", said("parts: { one: { take: a.wav } }\nprints: [ mix, mix ]\n"));
        assertEquals("song.yaml:5:11: this song has no print 'ones dry' (it has mix, vocals, one)", said("parts: { one: { take: a.wav } }\nprints: [ ones dry ]\n"));
        assertEquals("song.yaml:5:11: this song has no print 'mix without two' (it has bus, vocals, one)", said("parts: { one: { take: a.wav } }\nprints: [ mix without two ]\n"));
        assertEquals("song.yaml:5:11: 'one up 20 dB': by how much is a number of dB up to 12 dB, as in 'one up 1 dB'", said("parts: { one: { take: a.wav } }\nprints: [ one up 20 dB ]\n"));
        assertEquals("song.yaml:5:36: 'MIX' is printed already; give this one another 'name:'", said("parts: { one: { take: a.wav } }\nprints: [ mix, { print: one, name: MIX } ]\n"));
        assertEquals("song.yaml:5:43: this print ends before it begins", said("parts: { one: { take: a.wav } }\nprints: [ { print: mix, from: chorus, to: verse } ]\n"));
        assertEquals("song.yaml:5:32: a depth is 16-bit, 24-bit or float", said("parts: { one: { take: a.wav } }\nprints: [ { print: mix, depth: 20-bit } ]\n"));
        assertEquals("song.yaml:5:31: this is no name for a file: no dot or space before it, and none of / \\ : * ? \" < > | in it", said("parts: { one: { take: a.wav } }\nprints: [ { print: mix, name: ../up } ]\n"));
        assertEquals(1, read("parts: { one: { take: a.wav } }\ninstrumental: { take: b.wav }\nprints: [ instrumental ]\n").prints().size());
    }

    @Test
    void aNameIsAFileNameToo() throws Exception {
        assertEquals("song.yaml:4:10: a print takes its file name from this: 1 to 60 characters, no dot or space before it, and none of / \\ : * ? \" < > | in it", said("parts: { a/b: { take: a.wav } }\n"));
        assertEquals("song.yaml:4:10: a print takes its file name from this: 1 to 60 characters, no dot or space before it, and none of / \\ : * ? \" < > | in it", said("parts: { ../b: { take: a.wav } }\n"));
        assertEquals("song.yaml:4:10: 'up to you' would read as a send in 'moves': no 'to' in a name", said("parts: { up to you: { take: a.wav } }\n"));
    }

    /** Without a pick-up there is no bar 0; with one only its own beats. */
    @Test
    void nothingLiesBeforeTheSong() throws Exception {
        assertEquals("song.yaml:4:34: nothing lies before the song begins, at 0 s", said("parts: { one: { take: a.wav, at: bar 0 } }\n"));
        assertEquals("song.yaml:4:34: nothing lies before the song begins, at 0 s", said("parts: { one: { take: a.wav, at: bar 0 beat 3 } }\npick-up: 1 beat\n"));
        assertEquals(0, ((Source.Clip) read("parts: { one: { take: a.wav, at: bar 0 beat 4 } }\npick-up: 1 beat\n").parts().get(0).source()).at());
        assertEquals(0.5, ((Source.Clip) read("parts: { one: { take: a.wav, at: bar 1 } }\npick-up: 1 beat\n").parts().get(0).source()).at());
    }

    @Test
    void aThrowIsStoppedAtAPlaceOrAfterALength() throws Exception {
        String song = "parts: { one: { take: a.wav } }\nreturns: { far: { chain: [ delay ] } }\nthrows: [ { part: one, word: chorus, length: 2 beats, to: far, stop: %s } ]\n";
        // The chorus begins at 4 s, and a beat lasts 0.5 s.
        for (String[] stop : new String[][] {{"2 bars", "9"}, {"350 ms", "5.35"}, {"1/8", "5.25"}, {"7.5 s", "7.5"}, {"end", "8"}}) {
            assertEquals(Double.parseDouble(stop[1]), read(song.formatted(stop[0])).thrown().get(0).stop(), 1e-9, stop[0]);
        }
        assertEquals("song.yaml:6:70: \"4 s\" comes before what it should end", said(song.formatted("4 s")));
    }

    @Test
    void aRampTakesSomeTime() throws Exception {
        assertEquals("song.yaml:5:26: a ramp has 5 ms or more: a shorter one is a click", said("parts: { one: { take: a.wav } }\nmoves: { chorus: { ramp: 0 ms, one: +4 dB } }\n"));
    }

    @Test
    void aCompIsRangesInTheOrderOfTheSong() throws Exception {
        Source.Comp comp = (Source.Comp) read("""
                parts:
                  lead:
                    comp:
                      - { take: a.wav, from: verse }
                      - { take: b.wav, from: verse bar 2 beat 3, fade: 20 ms, at: 250 ms }
                      - { take: a.wav, from: chorus, to: chorus bar 2, exact: yes }
                """).parts().get(0).source();
        assertEquals(3, comp.ranges().size());
        assertEquals(3, comp.ranges().get(1).from());
        assertEquals(0.02, comp.ranges().get(1).fade());
        assertEquals(0.25, comp.ranges().get(1).at());
        assertEquals(6, comp.ranges().get(2).to());
        assertEquals(true, comp.ranges().get(2).exact());
    }

    @Test
    void aCompThatCannotBeIsTold() throws Exception {
        String song = "parts: { one: { comp: %s } }\n";
        assertEquals("song.yaml:4:23: a comp is a list of ranges, such as - { take: lead-1.wav, from: verse 1 }", said(song.formatted("a.wav")));
        assertEquals("song.yaml:4:25: a range of a comp needs 'from', as in { take: lead-1.wav, from: verse 1 }", said(song.formatted("[ { take: a.wav } ]")));
        assertEquals("song.yaml:4:77: \"verse\" does not come after \"chorus\": ranges stand in the order of the song, 60 ms apart at least", said(song.formatted("[ { take: a.wav, from: chorus }, { take: b.wav, from: verse } ]")));
        assertEquals("song.yaml:4:88: this range begins before the one above ends; leave out its 'to:' where one is to follow the other",
                said(song.formatted("[ { take: a.wav, from: verse, to: chorus }, { take: b.wav, from: bar 2 } ]")));
        assertEquals("song.yaml:4:58: this range ends before it has begun: 60 ms are the least", said(song.formatted("[ { take: a.wav, from: chorus, to: verse } ]")));
        assertEquals("song.yaml:4:60: fade is outside 4 ms … 500 ms", said(song.formatted("[ { take: a.wav, from: chorus, fade: 1 ms } ]")));
        assertEquals("song.yaml:4:61: 'exact' is yes or no", said(song.formatted("[ { take: a.wav, from: chorus, exact: very } ]")));
        assertEquals("song.yaml:4:23: 'one' has a comp: 'take' belongs into its ranges", said("parts: { one: { take: a.wav, comp: [ { take: a.wav, from: verse } ] } }\n"));
        assertEquals("song.yaml:4:10: 'one' needs its 'take:', a sound file, or 'comp:', ranges of several", said("parts: { one: { level: 1 dB } }\n"));
        assertEquals("song.yaml:4:46: \"chorvs\" is no place in this song; did you mean 'chorus'? (say a section, 'chorus 1 bar 4 beat 3', 'bar 17', '12.5 s' or 'end')", said(song.formatted("[ { take: a.wav, from: chorvs } ]")));
    }
}
