package linnet.song;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.OptionalDouble;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import linnet.tidy.Aims;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class TidyReaderTest {
    @TempDir
    Path folder;

    private Song read(String parts, String groups) throws ProblemsException, IOException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, "song: x\ntempo: 120 bpm\nsections: { verse: 1, chorus: 5, end: 9 }\nparts:\n" + parts.indent(2) + groups);
        return SongReader.read(file, Builtins.catalogue());
    }

    private static Song.Tidy tidy(Song song, int part) {
        return song.parts().get(part).tidy().orElseThrow();
    }

    @Test
    void usualValuesAreGoodEnough() throws Exception {
        Song song = read("lead: { take: a.wav }\nlow: { take: b.wav, tidy: { like: lead } }\n", "");
        assertTrue(song.parts().get(0).tidy().isEmpty());
        assertEquals("lead", tidy(song, 1).like().text());
        assertEquals(new Aims(OptionalDouble.of(0.012), 0.5, 0.1, true, OptionalDouble.of(15), true, new Aims.Level.Lead(3)), tidy(song, 1).aims());
    }

    @Test
    void eachOfTheFiveCanBeSetOrLeft() throws Exception {
        Song song = read("""
                lead: { take: a.wav }
                low: { take: b.wav, tidy: { like: lead, timing: 20 ms, reach: 0.3 s, stretch: 15 %, breaths: leave, consonants: 9 dB, ends: leave, level: -20 dBFS, except: [ chorus bar 3 to chorus bar 4, verse ] } }
                high: { take: b.wav, tidy: { like: lead, timing: leave, breaths: remove, consonants: leave, ends: with lead, level: leave } }
                mid: { take: b.wav, tidy: { like: lead, consonants: soften, level: with lead, other words: 6 dB } }
                """, "");
        assertEquals(new Aims(OptionalDouble.of(0.02), 0.3, 0.15, false, OptionalDouble.of(9), false, new Aims.Level.At(-20)), tidy(song, 1).aims());
        assertEquals(2, tidy(song, 1).except().size());
        assertEquals(new Place.Range(12, 14), tidy(song, 1).except().get(0));
        assertEquals(new Aims(OptionalDouble.empty(), 0.5, 0.1, true, OptionalDouble.empty(), true, new Aims.Level.Left()), tidy(song, 2).aims());
        assertEquals(new Aims(OptionalDouble.of(0.012), 0.5, 0.1, true, OptionalDouble.of(15), true, new Aims.Level.Lead(6)), tidy(song, 3).aims());
    }

    @Test
    void aGroupSpeaksForItsMembersAndAPartForItself() throws Exception {
        Song song = read("""
                lead: { take: a.wav }
                one: { take: b.wav }
                two: { take: b.wav, tidy: { timing: 30 ms, level: leave } }
                three: { take: b.wav, tidy: no }
                """, "groups: { all: { parts: [ lead, one, two, three ], tidy: { like: lead, breaths: leave } } }\n");
        assertTrue(song.parts().get(0).tidy().isEmpty(), "the lead does not follow itself");
        assertEquals(new Aims(OptionalDouble.of(0.012), 0.5, 0.1, false, OptionalDouble.of(15), true, new Aims.Level.Lead(3)), tidy(song, 1).aims());
        assertEquals(new Aims(OptionalDouble.of(0.03), 0.5, 0.1, false, OptionalDouble.of(15), true, new Aims.Level.Left()), tidy(song, 2).aims());
        assertTrue(song.parts().get(3).tidy().isEmpty());
    }

    @Test
    void whatIsWrongIsSaid() {
        says("tidy needs to know whom 'low' follows", "tidy: { timing: 10 ms }");
        says("this song has no part 'leed'; did you mean 'lead'?", "tidy: { like: leed }");
        says("'low' cannot follow itself", "tidy: { like: low }");
        says("'second' follows 'lead' itself: say 'like: lead'", "tidy: { like: second }");
        says("'fourth' follows 'third' itself: say 'like: lead'",
                "tidy: { like: fourth } }\nthird: { take: d.wav, tidy: { like: lead } }\nfourth: { take: e.wav, tidy: { like: third }");
        says("tidy has no 'tightness'", "tidy: { like: lead, tightness: 3 }");
        says("timing is outside 5 ms … 100 ms", "tidy: { like: lead, timing: 2 ms }");
        says("consonants is outside 3 dB … 40 dB", "tidy: { like: lead, consonants: 90 dB }");
        says("other words is outside 0 dB … 12 dB", "tidy: { like: lead, other words: 20 dB }");
        says("'ends' is 'with lead' or 'leave'", "tidy: { like: lead, ends: short }");
        says("is no place in this song", "tidy: { like: lead, except: [ bridge ] }");
        says("tidy wants its settings in braces", "tidy: yes");
    }

    /** What is said to do is not refused in its turn: where each waits for the other, nobody is left to follow. */
    @Test
    void partsThatFollowEachOtherAreToldAsThat() {
        says("song.yaml:7:37: 'other' follows 'low' itself: take 'tidy' out of one of them",
                "tidy: { like: other } }\nother: { take: d.wav, tidy: { like: low }");
        says("song.yaml:7:37: 'b' follows 'c' itself: take 'tidy' out of one of them",
                "tidy: { like: b } }\nb: { take: d.wav, tidy: { like: c } }\nc: { take: e.wav, tidy: { like: low }");
    }

    private void says(String message, String tidy) {
        String parts = "lead: { take: a.wav }\nsecond: { take: c.wav, tidy: { like: lead } }\nlow: { take: b.wav, " + tidy + " }\n";
        String said = assertThrows(ProblemsException.class, () -> read(parts, "")).getMessage();
        assertTrue(said.contains(message), said);
    }
}
