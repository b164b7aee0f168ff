package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** The sheet tells all that the text does to a part before its chain, and what moves where: whoever receives it has not the song. */
class SheetPartsTest extends SongFolder {
    @BeforeEach
    void takes() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 5);
        Takes.tone(folder.resolve("other.wav"), 220, 0.1, 5);
    }

    private void song(String parts, String rest) throws IOException {
        Files.writeString(song, "song: x\ntempo: 120 bpm\nsections: { a: 1, b: 2, end: 4 }\nparts:\n" + parts + rest + "prints: [ mix ]\n");
    }

    private String sheet(String heading) throws IOException {
        String all = Files.readString(prints.resolve("sheet.md"));
        int at = all.indexOf("\n## " + heading + "\n"), end = all.indexOf("\n## ", at + 1);
        assertTrue(at >= 0, heading + "\n" + all);
        return all.substring(at, end < 0 ? all.length() : end);
    }

    @Test
    void whatAPartSingsIsToldInTheWordsOfCheck() throws IOException {
        song("""
                  lead: { take: take.wav, at: 0.25 s, from: 0.5 s, to: 3 s, edits: [ { fade out: b beat 2 to b beat 3 } ] }
                  low: { take: other.wav, polarity: flipped, nudge: 20 ms later }
                  far word: { from: lead, only: b beat 1 to b beat 2, chain: [ reverse ] }
                """, "instrumental: { take: other.wav, polarity: flipped, at: 1 s }\n");
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        String parts = sheet("Parts");
        assertTrue(parts.contains("- lead: take.wav (0:00.500 to 0:03.000 of it), from 0:00.250 to 0:02.750, 1 edit\n  - faded out: 0:02.500 to 0:03.000\n"),
                parts);
        assertTrue(parts.contains("- low: other.wav, from 0:00.000 to 0:05.000, 20.0 ms later, polarity flipped\n"), parts);
        assertTrue(parts.contains("- far word: what 'lead' comes to, 1 edit\n  - left: 0:02.000 to 0:02.500\n"), parts);
        assertTrue(parts.contains("- instrumental: other.wav, from 0:01.000 to 0:06.000, polarity flipped\n"), parts);
        assertEquals(0, run("check", song), err::toString);
        assertTrue(out.toString().contains("take.wav (0:00.500 to 0:03.000 of it), from 0:00.250 to 0:02.750, 1 edit\n"), out::toString);
        assertTrue(out.toString().contains("other.wav, from 0:00.000 to 0:05.000, 20.0 ms later, polarity flipped\n"), out::toString);
    }

    @Test
    void rangesOfACompAreTold() throws IOException {
        song("""
                  lead:
                    comp:
                      - { take: take.wav, from: a }
                      - { take: other.wav, from: b, at: 0.5 s, into: 9.5 dB, fade: 50 ms, to: b bar 2, exact: yes }
                """, "");
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        String told = "- lead: a comp of 2 ranges, from 0:00.000\n  - take.wav, from 0:00.000 to 0:02.000\n"
                + "  - other.wav, from 0:02.000 to 0:04.000, its take begins at 0:00.500, fade 50 ms, kept where it is, 9.5 dB into the comp\n";
        assertTrue(sheet("Parts").contains(told), sheet("Parts"));
        assertEquals(0, run("check", song), err::toString);
        assertTrue(out.toString().contains("  other.wav, from 0:02.000 to 0:04.000, its take begins at 0:00.500"), out::toString);
        // A range without an end goes to where its take has one.
        song("  lead: { comp: [ { take: take.wav, from: a }, { take: other.wav, from: b } ] }\n", "");
        assertEquals(0, run("check", song), err::toString);
        assertTrue(out.toString().contains("  other.wav, from 0:02.000 to 0:05.000\n"), out::toString);
    }

    @Test
    void duckingIsToldWithItsTimes() throws IOException {
        song("  lead: { take: take.wav }\n", "instrumental: { take: other.wav, duck: { from: lead, by: 3 dB, attack: 33 ms, release: 444 ms } }\n");
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        assertTrue(sheet("Chains").contains(", 3 dB lower while lead sounds, attack 33 ms, release 444 ms\n"), sheet("Chains"));
    }

    @Test
    void movesAreATable() throws IOException {
        song("  lead: { take: take.wav, sends: { room: -12 dB } }\n  low: { take: other.wav, pan: 20 % right }\n", """
                returns: { room: { chain: [ delay: { time: 1/8 } ] } }
                moves:
                  a: { ramp: 1 beat, room: +4 dB, low pan: -60 %, lead to room: -1 dB }
                  b beat 3 to b bar 2: { lead: to -3 dB, low pan: to 50 % left }
                  b: { ramp: 100 ms, room delay feedback: +5 % }
                """);
        assertEquals(0, run("render", song, "--out", prints), err::toString);
        String moves = sheet("Moves");
        assertTrue(moves.contains("| Where | What | By how much | Ramp |\n"), moves);
        assertTrue(moves.contains("| a (0:00.000 to 0:02.000) | room | +4 dB | 500 ms |\n"), moves);
        assertTrue(moves.contains("| a (0:00.000 to 0:02.000) | low pan | 60 % further left | 500 ms |\n"), moves);
        assertTrue(moves.contains("| a (0:00.000 to 0:02.000) | lead to room | -1 dB | 500 ms |\n"), moves);
        assertTrue(moves.contains("| b bar 1 beat 3 to b bar 2 (0:03.000 to 0:04.000) | lead | to -3 dB | 60 ms |\n"), moves);
        assertTrue(moves.contains("| b bar 1 beat 3 to b bar 2 (0:03.000 to 0:04.000) | low pan | to 50 % left | 60 ms |\n"), moves);
        assertFalse(sheet("Chains").contains("in the song."), sheet("Chains"));
    }
}
