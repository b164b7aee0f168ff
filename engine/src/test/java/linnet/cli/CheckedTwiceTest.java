package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** A check says the same whether it hears the takes or remembers them. */
class CheckedTwiceTest extends SongFolder {
    private static final String SONG = """
            song: x
            tempo: 240 bpm
            sections: { a: 1, b: 2, end: 4 }
            parts:
              lead:
                comp: [ { take: take.wav, from: a }, { take: other.wav, from: b } ]
                edits: [ { mute: breaths } ]
                sends: { room: 12 LU under }
              double: { take: other.wav, tidy: { like: lead, timing: %s } }
            instrumental: { take: other.wav }
            balance: { lead: 2 LU over instrumental }
            returns: { room: { chain: [ delay: { time: 1/8 } ], duck: { from: lead, by: 3 dB } } }
            mix: { loudness: -16 LUFS, ceiling: -1 dBTP }
            throws: [ { part: double, word: b beat 2, length: 1 beat, to: room } ]
            prints: [ mix, lead ]
            """;

    private String said(String timing, String... more) throws IOException {
        return saidOf(SONG, timing, more);
    }

    private String saidOf(String text, String timing, String... more) throws IOException {
        Files.writeString(song, String.format(text, timing));
        String[] words = Stream.concat(Stream.of("check", song.toString()), Stream.of(more)).toArray(String[]::new);
        assertEquals(0, run((Object[]) words), err::toString);
        return out.toString();
    }

    private void forget() throws IOException {
        try (Stream<Path> files = Files.list(folder.resolve(".linnet"))) {
            for (Path f : files.toList()) Files.delete(f);
        }
    }

    @Test
    void theSecondTimeTheSameIsSaid() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 3);
        Takes.tone(folder.resolve("other.wav"), 330, 0.2, 3);
        String heard = said("10 ms"), json = said("10 ms", "--json");
        for (String part : new String[] {"Joins:", "Muted:", "Tidied:", "LU over instrumental", "LU under lead", "while lead sounds", "LUFS"}) {
            assertTrue(heard.contains(part), part + "\n" + heard);
        }
        assertEquals(heard, said("10 ms"));
        forget();
        assertEquals(json, said("10 ms", "--json"));
        assertEquals(json, said("10 ms", "--json"));
        // A take that is another is heard, though nothing else is new.
        Takes.tone(folder.resolve("other.wav"), 330, 0.1, 3);
        String softer = said("10 ms");
        assertNotEquals(heard, softer);
        forget();
        assertEquals(softer, said("10 ms"));
    }

    /** What was found of one text is no answer for another, be it only in a chain that the song names. */
    @Test
    void anotherTextIsHeardAnew() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 3);
        Takes.tone(folder.resolve("other.wav"), 330, 0.2, 3);
        Path chain = folder.resolve("part.yaml");
        String plain = SONG.replace("sends: { room: 12 LU under }", "sends: { room: 12 LU under }\n    chain: [ use: part.yaml ]");
        String[] songs = {plain, plain.replace("2 LU over", "5 LU over"), plain.replace("12 LU under", "9 LU under"), plain};
        String[] levels = {"0 dB", "0 dB", "0 dB", "-6 dB"};
        Set<String> all = new HashSet<>();
        List<String> before = new ArrayList<>();
        for (boolean kept : new boolean[] {true, false}) {
            for (int k = 0; k < songs.length; k++) {
                Files.writeString(chain, "chain: x\nsteps: [ trim: { level: " + levels[k] + " } ]\n");
                if (!kept) forget();
                String said = saidOf(songs[k], "10 ms");
                if (kept) before.add(said);
                else assertEquals(before.get(k), said);
                all.add(said);
            }
        }
        assertEquals(songs.length, all.size());
    }

    /** Sections that come from a sound file are none of the text: where a cue in it is moved, what was found for them as they were is no answer. */
    @Test
    void aCueThatIsMovedIsHeardAnew() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 6);
        Takes.tone(folder.resolve("other.wav"), 220, 0.1, 6);
        String text = """
                song: x
                tempo: 240 bpm
                sections: { from: guide.wav }
                parts: { lead: { comp: [ { take: take.wav, from: verse }, { take: other.wav, from: chorus } ] } }
                instrumental: { take: other.wav }
                balance: { lead: 2 LU over instrumental }
                prints: [ mix ]
                """;
        List<String> levels = new ArrayList<>();
        for (int bar : new int[] {2, 5}) {
            Takes.cued(folder.resolve("guide.wav"), 48_000 * (bar - 1));
            String said = saidOf(text, "");
            levels.add(said.lines().filter(l -> l.contains("LU over instrumental")).findFirst().orElseThrow());
            forget();
            assertEquals(said, saidOf(text, ""));
        }
        assertNotEquals(levels.get(0), levels.get(1));
    }
}
