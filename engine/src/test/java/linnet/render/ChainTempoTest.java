package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import linnet.dsp.Samples;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Where the tempo of a song changes, the note values of a chain go by the tempo of that chain, however it comes into the song. */
class ChainTempoTest {
    private static final String CHANGING = "song: tempos\ntempo: { bar 1: 120 bpm, bar 2: 130 bpm }\nsections: { a: 1, end: 3 }\nprints: [ g ]\n";
    private static final String SONG = "parts: { lead: { take: a.wav, chain: %s } }\ngroups: { g: { parts: [ lead ], each: %s } }\n";
    private static final Samples TAKE = SongRig.sung(1, 1, 0.3);

    @TempDir
    Path folder;

    private SongRig rig;

    @BeforeEach
    void chains() throws IOException {
        rig = new SongRig(folder);
        write("echo.yaml", "chain: e\ntempo: 96 bpm\nsteps: [ delay: { time: 1/8 } ]\n");
        write("fast.yaml", "chain: f\ntempo: 120 bpm\nsteps: [ delay: { time: 1/8 } ]\n");
        write("p60.yaml", "chain: p\ntempo: 60 bpm\nsteps: [ trim ]\n");
        write("none.yaml", "chain: n\nsteps: [ delay: { time: 1/8 } ]\n");
        write("using.yaml", "chain: u\nsteps: [ trim, use: echo.yaml, use: fast.yaml ]\n");
        write("deep.yaml", "chain: d\nsteps: [ parallel: [ { steps: [ use: echo.yaml ] }, { steps: [ use: none.yaml ] } ] ]\n");
        write("whole.yaml", "chain: w\ntempo: 60 bpm\nsteps: [ use: echo.yaml, use: none.yaml ]\n");
    }

    private void write(String name, String text) throws IOException {
        Files.writeString(folder.resolve(name), text);
    }

    private double[][] render(String head, String chain, String each, String rest) throws ProblemsException, IOException {
        return rig.whole(head + SONG.formatted(chain, each) + rest, 1, TAKE).get("g");
    }

    /** A quarter of 96 bpm lasts 625 ms, one of 60 bpm a second; what is expected says so in milliseconds. */
    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "[]       | echo.yaml          | [ delay: { time: 312.5 ms } ]",
        "p60.yaml | echo.yaml          | [ delay: { time: 312.5 ms } ]",
        "echo.yaml| fast.yaml          | [ delay: { time: 312.5 ms }, delay: { time: 250 ms } ]",
        "[]       | using.yaml         | [ delay: { time: 312.5 ms }, delay: { time: 250 ms } ]",
        "[]       | '[ use: echo.yaml ]' | [ delay: { time: 312.5 ms } ]",
        "[]       | whole.yaml         | [ delay: { time: 500 ms }, delay: { time: 500 ms } ]"})
    void aTempoGoesWithItsSteps(String chain, String each, String expected) throws Exception {
        double[][] plain = render(CHANGING, "[]", expected, "");
        assertArrayEquals(plain, render(CHANGING, chain, each, ""));
    }

    /** What one chain names is not for the steps of another beside it. */
    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {"p60.yaml | none.yaml", "none.yaml | echo.yaml", "[] | deep.yaml"})
    void aTempoIsNotForTheStepsOfOthers(String chain, String each) {
        ProblemsException said = assertThrows(ProblemsException.class, () -> render(CHANGING, chain, each, ""));
        assertEquals(List.of("none.yaml:2:25"),
                said.getMessage().lines().filter(l -> l.contains("needs a tempo")).map(l -> l.split(": ")[0].replace(folder + "/", "")).toList(),
                said.getMessage());
    }

    /** The file of a chain is the place for its tempo; a list of steps in the song has none, and a song of several no --tempo. */
    @Test
    void whatIsSaidToDoHelps() throws Exception {
        String inline = assertThrows(ProblemsException.class, () -> render(CHANGING, "[ delay: { time: 1/8 } ]", "[]", "")).getMessage();
        assertTrue(inline.contains(": 1/8 needs a tempo, and that of this song changes: put the one it goes by, such as 'tempo: 120 bpm', at the top of a "
                + "chain file with these steps, or give the time in ms\n"), inline);
    }

    /** The fault is the move, and in its place the time in ms is that at the tempo there. */
    @Test
    void aMoveToANoteValueIsToldWhereItStands() throws Exception {
        String moves = "moves: { a bar 1 to a bar 2: { lead delay time: +20 ms }, a bar 2 to end: { lead delay time: to %s } }\n",
                song = CHANGING + SONG.formatted("[ delay: { time: 500 ms } ]", "[]") + moves;
        String said = assertThrows(ProblemsException.class, () -> rig.whole(song.formatted("1/4"), 1, TAKE)).getMessage();
        assertTrue(said.contains(": 1/4 needs a tempo, and that of this song changes: say 'to 461.538 ms' for the 130 bpm there, or put the one it "
                + "goes by, such as 'tempo: 130 bpm', at the top of a chain file with these steps\n"), said);
        List<String> lines = song.formatted("1/4").lines().toList();
        int line = lines.size(), column = lines.get(line - 1).indexOf("to 1/4") + 1;
        assertEquals(1, said.lines().filter(l -> l.contains("needs a tempo")).count(), said);
        assertTrue(said.contains("song.yaml:" + line + ":" + column + ": "), said);
        rig.whole(song.formatted("461.538 ms"), 1, TAKE);
        String steady = song.replace("{ bar 1: 120 bpm, bar 2: 130 bpm }", "120 bpm").formatted("16/1");
        String far = assertThrows(ProblemsException.class, () -> rig.whole(steady, 1, TAKE)).getMessage();
        assertTrue(far.contains("song.yaml:" + line + ":") && far.contains(": 16/1 is 32 s at 120 bpm"), far);
    }

    /** A song of one tempo has it everywhere. */
    @Test
    void theOneTempoOfASongWins() throws Exception {
        String one = CHANGING.replace("{ bar 1: 120 bpm, bar 2: 130 bpm }", "150 bpm");
        double[][] plain = render(one, "[]", "[ delay: { time: 200 ms }, delay: { time: 200 ms } ]", "");
        assertArrayEquals(plain, render(one, "p60.yaml", "using.yaml", ""));
    }

    /** With what moves in them, and what a room or a change of its settings makes of them. */
    @Test
    void aStepThatIsChangedKeepsItsTempo() throws Exception {
        String moves = "moves: { a bar 2 to end: { ramp: 5 ms, %s time: to %s, %s mix: to 30 %% } }\n";
        double[][] plain = render(CHANGING, "[]", "[ delay: { time: 312.5 ms, feedback: 40 % } ]",
                moves.formatted("g each delay", "156.25 ms", "g each delay"));
        write("changed.yaml", "chain: c\nsteps: [ { use: echo.yaml, with: { delay: { feedback: 40 % } } } ]\n");
        assertArrayEquals(plain, render(CHANGING, "p60.yaml", "changed.yaml", moves.formatted("g each delay", "1/16", "g each delay")));
        String room = CHANGING.replace("[ g ]", "[ g, room ]")
                + "parts: { lead: { take: a.wav, sends: { room: 0 dB } }, g: { take: a.wav } }\nreturns: { room: { chain: %s } }\n";
        assertArrayEquals(rig.whole(room.formatted("[ delay: { time: 312.5 ms } ]"), 1, TAKE).get("room"),
                rig.whole(room.formatted("echo.yaml"), 1, TAKE).get("room"));
    }

    /** What was made at one tempo is not taken for what another would make. */
    @Test
    void anotherTempoIsMadeAnew() throws Exception {
        double[][] slow = render(CHANGING, "p60.yaml", "echo.yaml", "");
        write("echo.yaml", "chain: e\ntempo: 192 bpm\nsteps: [ delay: { time: 1/8 } ]\n");
        double[][] fast = render(CHANGING, "p60.yaml", "echo.yaml", "");
        assertTrue(!rig.found.contains("lead"), rig.found.toString());
        assertArrayEquals(render(CHANGING, "[]", "[ delay: { time: 156.25 ms } ]", ""), fast);
        assertTrue(!Arrays.equals(slow[0], fast[0]));
    }
}
