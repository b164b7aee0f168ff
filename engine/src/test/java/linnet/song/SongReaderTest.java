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
}
