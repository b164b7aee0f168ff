package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Parts that sound, whose chains want something of the singer that these takes cannot give: a tone has no sibilants. */
class UnheardPartsTest extends SongFolder {
    private static final String NO_SIBILANT = ": the sibilance of this take cannot be measured: no sibilant is heard in it; give ";
    private static final String WANTS = "eq: [ { bell: sibilance, gain: -2 dB } ]", PLAIN = "trim: { level: -1 dB }", MOVES = "eq: [ { high-pass: 90 Hz } ]";

    @BeforeEach
    void takes() throws Exception {
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 1);
        Takes.tone(folder.resolve("other.wav"), 330, 0.3, 1);
    }

    private void song(String lead, String back, String prints) throws Exception {
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts:\n  lead: { take: take.wav, chain: [ " + lead + " ] }\n"
                + "  back: { take: other.wav, chain: [ " + back + " ] }\nprints: [ " + prints + " ]\n");
    }

    private void refused(String part) throws Exception {
        assertEquals(Exit.TEXT, run("check", song), out.toString());
        assertFalse(out.toString().contains("nothing wrong"), out.toString());
        String checked = err.toString();
        assertTrue(checked.contains(part + NO_SIBILANT) && checked.contains("song.yaml:"), checked);
        assertEquals(Exit.TEXT, run("check", song), "with what was heard before");
        assertEquals(checked, err.toString());
        assertEquals(Exit.TEXT, run("render", song, "--out", prints));
        assertEquals(checked, err.toString());
    }

    private void taken() throws Exception {
        assertEquals(Exit.DONE, run("check", song), err.toString());
        assertTrue(out.toString().contains("nothing wrong"), out.toString());
    }

    /** Its marks are heard for the words that are good to throw. */
    @Test
    void whatTheLeadCannotGiveIsTold() throws Exception {
        song(WANTS, PLAIN, "mix");
        refused("lead");
    }

    /** A render alone, which has nothing from a check, says the same. */
    @Test
    void theRenderAloneSaysTheSame() throws Exception {
        song(WANTS, PLAIN, "mix");
        assertEquals(Exit.TEXT, run("render", song, "--out", prints));
        String rendered = err.toString();
        assertEquals(Exit.TEXT, run("check", song));
        assertEquals(rendered, err.toString());
    }

    /** Its chain is heard as far as a step that may find something odd. */
    @Test
    void whatIsHeardForSomethingOddIsTold() throws Exception {
        song(PLAIN, WANTS + ", ride: { sections: 50 % }", "mix");
        refused("back");
    }

    /** What nothing else is heard for is left to the render, and told by each check after it: also of a step that others come before. */
    @Test
    void whatARenderFoundIsRemembered() throws Exception {
        for (String chain : new String[] {WANTS, MOVES + ", " + WANTS}) {
            song(PLAIN, chain, "mix");
            taken();
            assertEquals(Exit.TEXT, run("render", song, "--out", prints));
            refused("back");
        }
    }

    /** A chain may bring up what its take does not have by itself. */
    @Test
    void theTakeDoesNotTellOfWhatComesOfIt() throws Exception {
        song(WANTS, PLAIN, "mix");
        refused("lead");
        song(MOVES + ", " + WANTS, PLAIN, "mix");
        taken();
    }

    /** What no print has, but the mix that they are shares of, is rendered for each of them: the check goes by what the render does. */
    @Test
    void aPartThatOnlyTheMixHasIsRefusedByBoth() throws Exception {
        song(WANTS, PLAIN, "{ print: back, from: a, to: a }");
        refused("lead");
    }
}
