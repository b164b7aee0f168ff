package linnet.song;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.TreeSet;
import linnet.chain.Link;
import linnet.setting.Live;
import linnet.setting.Value;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What moves, by how far, and what is said where it cannot. */
class MoveReaderTest {
    private static final double STAYS = Double.POSITIVE_INFINITY;

    private static final String HEAD = """
            song: lines
            tempo: 120 bpm
            sections: { verse: 1, chorus: 3, end: 5 }
            """;

    @TempDir
    Path folder;

    private Song read(String text) throws IOException, ProblemsException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, HEAD + text);
        return SongReader.read(file, Builtins.catalogue());
    }

    private String said(String text) {
        return assertThrows(ProblemsException.class, () -> read(text)).getMessage().replace(folder + "/", "").lines().findFirst().orElseThrow();
    }

    /** A step that is off is there, and what to do about it is said; so it is where a chain that is used is changed. */
    @Test
    void aStepThatIsOffIsToldAsThat() throws Exception {
        Files.writeString(folder.resolve("room.yaml"), "steps: [ eq: [ { high-pass: 80 Hz } ], reverb ]\n");
        String song = "parts: { one: { take: a.wav, chain: CHAIN } }\nmoves: { verse: { one reverb low-pass: to 5 kHz } }\n",
                off = "song.yaml:5:19: 'reverb' is off in the chain of 'one': nothing of it moves; leave out its 'on: no' to have it";
        assertEquals(off, said(song.replace("CHAIN", "[ { use: room.yaml, with: { reverb: { on: no } } } ]")));
        assertEquals(off, said(song.replace("CHAIN", "[ trim, { reverb: { }, on: no } ]")));
        read(song.replace("CHAIN", "room.yaml"));
    }

    /** A ramp of beats, bars or notes is as long as those that lie there, before each stretch and after it. */
    @Test
    void aRampGoesByTheTempoOnItsSideOfTheBorder() throws Exception {
        String song = """
                song: lines
                tempo: { bar 1: 120 bpm, bar 4: 40 bpm, bar 6: 60 bpm }
                metre: { bar 1: 4/4, bar 4: 3/4, bar 6: 4/4 }
                sections: { chorus 1: 2, verse: 3, chorus 2: 4, chorus 3: 6, end: 7 }
                parts: { one: { take: a.wav, chain: [ trim: { level: -3 dB } ] } }
                moves: { MOVE }
                """;
        // A beat at 120, 40 and 60 bpm lasts 0.5, 1.5 and 1 s; what reaches the end of the song stays.
        ramps(song, "chorus *: { ramp: 1 beat, one: -6 dB, one trim level: -6 dB }", new double[][] {{0.5, 0.5}, {0.5, 1}, {1.5, STAYS}});
        ramps(song, "chorus *: { ramp: 1/8 dotted, one: -6 dB, one trim level: -6 dB }", new double[][] {{0.375, 0.375}, {0.375, 0.75}, {1.125, STAYS}});
        // The verse has one bar: those of two choruses share it. Of two bars, 2 s and 4.5 s, a ramp of 5 s has what one of 2 s leaves.
        ramps(song, "chorus *: { ramp: 1 bar, one: -6 dB, one trim level: -6 dB }", new double[][] {{2, 1}, {1, 4}, {4.5, STAYS}});
        ramps(song.replace("chorus 2: 4", "chorus 2: 5"), "chorus *: { ramp: 4 beats, one: -6 dB, one trim level: -6 dB }",
                new double[][] {{2, 2}, {4.5, 4}, {6, STAYS}});
        ramps(song, "verse beat 2 to verse beat 4: { ramp: 3 beats, one: -6 dB, one trim level: -6 dB }", new double[][] {{1.5, 3.5}});
        ramps(song, "chorus *: { ramp: 80 ms, one: -6 dB, one trim level: -6 dB }", new double[][] {{0.08, 0.08}, {0.08, 0.08}, {0.08, STAYS}});
    }

    private void ramps(String song, String move, double[][] expected) throws Exception {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, song.replace("MOVE", move));
        Song read = SongReader.read(file, Builtins.catalogue());
        List<Shift> shifts = read.moves().get(0).shifts(0);
        assertEquals(expected.length, shifts.size());
        for (int i = 0; i < expected.length; i++) {
            assertEquals(expected[i][0], shifts.get(i).in(), 1e-9, move);
            assertEquals(expected[i][1], shifts.get(i).out(), 1e-9, move);
        }
        // A setting moves with the level.
        TreeSet<Long> corners = new TreeSet<>(), moved = new TreeSet<>();
        Shift.courses(shifts).forEach(c -> c.stream().filter(k -> k.seconds() < STAYS).forEach(k -> corners.add(Math.round(k.seconds() * 1e6))));
        Link.Use trim = (Link.Use) read.parts().get(0).chain().links().get(0);
        Live level = (Live) trim.values().settings().all().get(0);
        ((Value.Curve) trim.values().get(level).orElseThrow()).points().forEach(p -> moved.add(Math.round(p.seconds() * 1e6)));
        assertEquals(corners, moved, move);
    }

    /** A setting that cannot move, is not there or goes too far is told at its place, with what can. */
    @Test
    void aMoveOfASettingSaysWhatCannotBe() throws Exception {
        String song = """
                parts: { one: { take: a.wav, chain: [ compressor: { aim: 3 dB }, compressor: { threshold: -20 dB, makeup: match }, eq: [ { bell: 1 kHz, gain: 2 dB } ] ], pan: 80 % left } }
                returns: { plate: { chain: [ reverb: { decay: 1.8 s } ] } }
                moves: { chorus: { MOVE } }
                """;
        for (String[] c : new String[][] {
                {"plate reverb decay: +0.4 s", "20",
                        "decay cannot move while it sounds; of 'reverb' these can: high-pass, low-pass, width, duck threshold, mix"},
                {"one compressor threshold: -2 dB", "20", "'compressor' has no threshold to move from: give it in the chain, in place of aim"},
                {"one compressor 2 makeup: +2 dB", "20",
                        "makeup cannot move while it sounds; of 'compressor 2' these can: threshold, ratio, knee, attack, release, mix"},
                {"one compressor 2 treshold: -2 dB", "20",
                        "'compressor 2' has no setting 'treshold'; did you mean 'threshold'?; of 'compressor 2' these can: threshold, ratio, knee, attack, "
                        + "release, mix"},
                {"one eq gain of band 2: -2 dB", "20", "'eq' has no band 2; it has 1"},
                {"one gate floor: -2 dB", "20", "'one' has no step and setting 'gate floor' (its steps are compressor, compressor 2, eq)"},
                {"one eq gain of band 1: +23 dB", "43", "gain would be 25 dB there: outside -24 dB … 24 dB"},
                {"one eq gain of band 1: 3 dB", "43", "a move of gain is a difference with its sign, such as '+3 dB', or 'to' and a value, such as 'to -3 dB'"},
                {"one eq gain of band 1: to 30 dB", "43", "gain is outside -24 dB … 24 dB"},
                {"one pan: -30 %", "29", "pan would be 110 % left there: no further than to the side"},
                {"one pan: 30 %", "29", "a move of pan is a difference with its sign, such as '+60 %', or 'to' and a value, such as 'to 60 % left'"},
                {"too much: +3 dB", "20", "this song has no part, group or return 'too much' (it has one, plate)"}}) {
            assertEquals("song.yaml:6:" + c[1] + ": " + c[2], said(song.replace("MOVE", c[0])), c[0]);
        }
        assertEquals("song.yaml:6:100: another move of this setting sounds at the same time, and one of them goes to a value; say both as differences, such "
                + "as '+2 dB'",
                said(song.replace("MOVE", "one eq gain of band 1: to 3 dB }, chorus bar 2 to end: { one eq gain of band 1: +1 dB")));
    }

    /** As the page on songs says: a plain usual value needs no writing, one that is found by hearing or goes by the character does. */
    @Test
    void aMoveGoesFromAUsualValueThatIsANumber() throws Exception {
        String song = "parts: { one: { take: a.wav, chain: [ gate: { THRESHOLD }, compressor ] } }\nmoves: { chorus: { MOVE } }\n";
        read(song.replace("THRESHOLD", "").replace("MOVE", "one gate floor: to -20 dB"));
        read(song.replace("THRESHOLD", "threshold: 10 dB over noise").replace("MOVE", "one gate threshold: to -40 dB"));
        assertEquals("song.yaml:5:20: 'gate' has no threshold to move from: give it in the chain",
                said(song.replace("THRESHOLD", "").replace("MOVE", "one gate threshold: to -40 dB")));
        assertEquals("song.yaml:5:20: 'compressor' has no ratio to move from: give it in the chain",
                said(song.replace("THRESHOLD", "").replace("MOVE", "one compressor ratio: to 4:1")));
    }

    /** The first of several answers to its number too, and is the same step with it and without. */
    @Test
    void theFirstOfSeveralStepsIsNumberOne() throws Exception {
        String song = "parts: { one: { take: a.wav, chain: [ de-ess, de-ess: { most: 3 dB }, { trim: { level: 1 dB }, name: lift 1 } ] } }\n"
                + "moves: { chorus: { MOVE } }\n";
        Link.Use moved = (Link.Use) read(song.replace("MOVE", "one de-ess 1 most: +2 dB")).parts().get(0).chain().links().get(0);
        assertEquals(((Link.Use) read(song.replace("MOVE", "one de-ess most: +2 dB")).parts().get(0).chain().links().get(0)).values().write(),
                moved.values().write());
        assertTrue(moved.values().write().contains("7 dB"), moved.values().write());
        read(song.replace("MOVE", "one lift 1 level: +2 dB"));
        assertEquals("song.yaml:5:65: another move of this setting sounds at the same time, and one of them goes to a value; say both as differences, "
                + "such as '+2 dB'",
                said(song.replace("MOVE", "one de-ess most: to 3 dB, one de-ess 1 most: to 4 dB")));
        assertEquals("song.yaml:5:20: 'de-ess 2' has no setting '1 most'; did you mean 'most'?; of 'de-ess 2' these can: band, threshold, most, attack, "
                + "release, mix",
                said(song.replace("MOVE", "one de-ess 2 1 most: +1 dB")));
    }

    /** Whoever counts steps of a kind finds those that have names of their own. */
    @Test
    void aNumberThatIsTooHighIsToldWithWhatThereIs() throws Exception {
        String song = """
                parts: { one: { take: a.wav, chain: [ { compressor: { ratio: 2:1 }, name: peaks }, { compressor: { ratio: 3:1 }, name: level },
                  parallel: [ { }, { steps: [ compressor: { ratio: 8:1 } ] } ], de-ess, de-ess, trim ] } }
                moves: { chorus: { MOVE } }
                """;
        for (String[] c : new String[][] {
                {"one compressor 2 ratio: +1", "there is no 'compressor 2': 1 step is called 'compressor'; of that kind there are peaks, level, compressor"},
                {"one compressor 2: +1", "there is no 'compressor 2': 1 step is called 'compressor'; of that kind there are peaks, level, compressor"},
                {"one peaks 2 ratio: +1", "there is no 'peaks 2': 1 step is called 'peaks'; of that kind there are peaks, level, compressor"},
                {"one parallel 2 level of branch 1: +1 dB", "there is no 'parallel 2': 1 step is called 'parallel'"},
                {"one de-ess 3 most: +1 dB", "there is no 'de-ess 3': 2 steps are called 'de-ess'; of that kind there are de-ess, de-ess 2"}}) {
            assertEquals("song.yaml:6:20: " + c[1], said(song.replace("MOVE", c[0])), c[0]);
        }
    }

    /** A move goes from where its base is, or to a value, in the unit of what moves. */
    @Test
    void aMoveOfALevelOrPlaceGoesByADifferenceOrToAValue() throws Exception {
        String song = "parts: { one: { take: a.wav, level: -5 dB, pan: 80 % left, sends: { plate: -14 dB } } }\nreturns: { plate: { chain: [ reverb ] } }\n"
                + "moves: { chorus: { MOVE } }\n";
        for (String[] c : new String[][] {{"one: to -3 dB", "-5", "2"}, {"one: -2 dB", "-5", "-2"}, {"one: +2 dB", "-5", "2"},
                {"one to plate: to -10 dB", "-14", "4"}, {"one pan: to 20 % right", "-80", "100"}, {"one pan: +160 %", "-80", "160"}}) {
            assertEquals(Double.parseDouble(c[2]), read(song.replace("MOVE", c[0])).moves().get(0).by(Double.parseDouble(c[1])), 1e-9, c[0]);
        }
    }

    /** A number alone could be where it goes to as well as by how much, of a level and a send as of a setting. */
    @Test
    void aLevelWithoutASignIsNoMove() {
        String song = "parts: { one: { take: a.wav, level: -5 dB, sends: { plate: -14 dB } } }\nreturns: { plate: { chain: [ reverb ] } }\n"
                + "moves: { chorus: { MOVE } }\n";
        for (String[] c : new String[][] {{"one: 3 dB", "25"}, {"one to plate: 3 dB", "34"}, {"plate: 0 dB", "27"}, {"one: 3", "25"}}) {
            assertEquals("song.yaml:6:" + c[1] + ": a move of level is a difference with its sign, such as '+3 dB', or 'to' and a value, such as 'to -3 dB'",
                    said(song.replace("MOVE", c[0])), c[0]);
        }
        assertEquals("song.yaml:6:25: level is outside -90 dB … 24 dB", said(song.replace("MOVE", "one: +25 dB")));
    }

    /** What goes to a value stands alone; one that goes while the next comes is no two at once. */
    @Test
    void aLevelAPlaceOrASendIsAtOneValueAtATime() throws Exception {
        String song = "parts: { one: { take: a.wav, level: -6 dB, sends: { plate: -14 dB } } }\nreturns: { plate: { chain: [ reverb ] } }\n"
                + "moves: { chorus: { ONE }, OTHER }\n";
        String two = "another move of this setting sounds at the same time, and one of them goes to a value; say both as differences, such as '+2 dB'";
        for (String[] c : new String[][] {
                {"one: to -3 dB", "chorus bar 2 to end: { one: to -1 dB }", "to -1 dB"}, {"one: +2 dB", "chorus bar 2 to end: { one: to -1 dB }", "to -1 dB"},
                        {"one: to -1 dB", "verse bar 2 to end: { one: +2 dB }", "+2 dB"},
                {"one pan: to 20 % left", "chorus bar 2 to end: { one pan: +10 % }", "+10 %"},
                        {"one to plate: to -3 dB", "chorus bar 2 to end: { one to plate: +1 dB }", "+1 dB"}}) {
            String text = song.replace("ONE", c[0]).replace("OTHER", c[1]), moves = text.lines().toList().get(2);
            assertEquals("song.yaml:6:" + (moves.lastIndexOf(c[2]) + 1) + ": " + two, said(text), c[0]);
        }
        read(song.replace("ONE", "one: to -3 dB").replace("OTHER", "verse: { one: to -1 dB }"));
        read(song.replace("ONE", "one: to -3 dB").replace("OTHER", "chorus bar 2 to end: { one pan: +10 %, one to plate: to -3 dB, plate: to -1 dB }"));
    }

    /** A slip in the name of a return is told once, and not as a send that is missing too. */
    @Test
    void aReturnThatIsNotThereIsToldOnce() {
        String song = "parts: { one: { take: a.wav, sends: { plate: -14 dB } }, two: { take: a.wav } }\nreturns: { plate: { chain: [ reverb ] } }\n"
                + "moves: { chorus: { MOVE } }\n";
        String slip = assertThrows(ProblemsException.class, () -> read(song.replace("MOVE", "one to plat: -3 dB"))).getMessage();
        assertTrue(slip.contains("this song has no return 'plat'; did you mean 'plate'?") && !slip.contains("sends nothing"), slip);
        assertEquals("song.yaml:6:20: 'two' sends nothing to 'plate'", said(song.replace("MOVE", "two to plate: -3 dB")));
    }
}
