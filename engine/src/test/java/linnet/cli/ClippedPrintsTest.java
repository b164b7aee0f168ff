package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.util.Arrays;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What is said of prints that clip helps each kind of them: done as it says, the song is printed. */
class ClippedPrintsTest extends SongFolder {
    private static final String SONG = """
            song: x
            tempo: 100 bpm
            sections: { a: 1, end: 2 }
            parts:
              lead: { take: take.wav, into: 0 dB, level: 0 dB, edits: [ { fade in: 0 s to 0.1 s }, { fade out: 0.9 s to 1 s } ], chain: [ declick, trim: { level: 0 dB } ], sends: { plate: -20 dB } }
              low: { take: take.wav, level: -30 dB, edits: [ { fade in: 0 s to 0.1 s }, { fade out: 0.9 s to 1 s } ] }
            instrumental: { take: take.wav, level: -30 dB, edits: [ { fade in: 0 s to 0.1 s }, { fade out: 0.9 s to 1 s } ] }
            groups: { others: { parts: [ low ], level: 0 dB } }
            returns: { plate: { chain: [ delay: { time: 100 ms, feedback: 0 % } ] } }
            mix: { chain: [ ] }
            checks: { accept: [ mono, peak, tails ] }
            prints: [ PRINTS ]
            """;

    @BeforeEach
    void aLongerTake() throws IOException {
        Takes.tone(folder.resolve("take.wav"), 220, 0.5, 1.0);
    }

    private int print(String text, String prints) throws IOException {
        Files.writeString(song, text.replace("PRINTS", prints));
        return run("render", song, "--out", this.prints, "--force");
    }

    private void refused(String text, String prints, String remedy) throws IOException {
        assertEquals(5, print(text, prints), () -> prints + ": " + out);
        assertTrue(err.toString().contains(remedy), () -> prints + ", wanted '" + remedy + "': " + err);
    }

    private static String with(String text, String was, String is) {
        assertTrue(text.contains(was), was);
        return text.replace(was, is);
    }

    private void helps(String text, String prints) throws IOException {
        assertEquals(0, print(text, prints), () -> prints + ": " + err);
    }

    @Test
    void ofAPartBeforeItsChain() throws IOException {
        String hot = with(SONG, "into: 0 dB, level: 0 dB", "into: 7 dB, level: -20 dB");
        refused(hot, "lead dry", "put '- limit' before 'trim' in the chain of 'lead'");
        helps(with(hot, "declick, trim", "declick, limit, trim"), "lead dry");
        refused(with(hot, "declick, trim: { level: 0 dB }", "declick"), "lead dry", "put '- limit' at the end of the chain of 'lead'");
        helps(with(hot, "declick, trim: { level: 0 dB }", "declick, limit"), "lead dry");
        refused(hot, "lead untuned", "lower 'into' of 'lead' by 1 dB");
        helps(with(hot, "into: 7 dB", "into: 6 dB"), "lead untuned");
    }

    @Test
    void ofTheMixAndItsShares() throws IOException {
        String hot = with(SONG, "level: 0 dB, edits", "level: 12 dB, edits"), limited = with(hot, "chain: [ ] }", "chain: [ limit ] }");
        for (String print : new String[] {"mix", "lead up 1 dB"}) {
            refused(hot, print, "end the chain of the mix with '- limit'");
            helps(limited, print);
        }
        for (String print : new String[] {"lead", "vocals", "lead wet", "mix without instrumental"}) {
            refused(hot, print, "end the chain of the mix with '- trim: { level: -");
            helps(with(hot, "chain: [ ] }", "chain: [ trim: { level: -" + said("trim: \\{ level: -") + " dB } ] }"), print);
        }
        refused(limited, "mix without bus", "lower 'level' of lead, instrumental, others by 3.5 dB");
        helps(limited.replace("level: 12 dB, edits", "level: 8.5 dB, edits").replace("level: -30 dB", "level: -33.5 dB"), "mix without bus");
        // The balance stays, and with it what the stems add up to.
        for (String print : new String[] {"lead without bus", "vocals without bus"}) {
            refused(limited, print, "it has nothing of the chain of the mix: lower 'level' of lead, instrumental, others by ");
            double by = said("instrumental, others by ");
            helps(limited.replace("level: 12 dB, edits", "level: " + (12 - by) + " dB, edits").replace("level: -30 dB", "level: " + (-30 - by) + " dB"), print);
        }
    }

    /** In a mix that is turned up to a loudness a level changes nothing for good: only that and its ceiling do. */
    @Test
    void ofSharesOfALoudMix() throws IOException {
        // The two cancel each other in the mix, so that the lead is louder than it.
        String loud = with(SONG, "instrumental: { take: take.wav, level: -30 dB", "instrumental: { take: take.wav, nudge: 2.27 ms later, level: -1 dB")
                .replace("mix: { chain: [ ] }", "mix: { chain: [ ], loudness: -5 LUFS, ceiling: -1 dBTP }");
        refused(loud, "lead", "lower 'loudness' and 'ceiling' of the mix by ");
        double by = said("of the mix by ");
        helps(loud.replace("-5 LUFS", -5 - by + " LUFS").replace("-1 dBTP }", -1 - by + " dBTP }"), "lead");
    }

    /** What a print has of its own goes before what the command says. */
    @Test
    void floatsHoldIt() throws IOException {
        String hot = with(SONG, "level: 0 dB, edits", "level: 12 dB, edits");
        refused(hot, "lead", "--depth float, or 'depth: float' of one print");
        helps(hot, "{ print: lead, depth: float }");
        refused(hot, "{ print: lead, depth: 16-bit }", "'depth: float' of a print, where it has a depth of its own");
    }

    /**
     * A limiter right behind what mends a take holds the dry print; what lies under its ceiling keeps its bits, and the limiter of a sound behind that is none
     * of it.
     */
    @Test
    void aLimiterBehindWhatMendsHoldsTheDryPrint() throws IOException {
        String chain = "chain: [ declick, trim: { level: 0 dB } ]";
        helps(SONG, "lead dry");
        byte[] bare = Files.readAllBytes(prints.resolve("lead dry.wav"));
        helps(with(SONG, chain, "chain: [ declick, limit: { ceiling: -5 dBTP }, trim ]"), "lead dry");
        assertTrue(Arrays.equals(sound(bare), sound(Files.readAllBytes(prints.resolve("lead dry.wav")))), "the same bits under the ceiling");
        helps(with(SONG, chain, "chain: [ declick, limit: { ceiling: -12 dBTP }, trim ]"), "lead dry");
        assertFalse(Arrays.equals(sound(bare), sound(Files.readAllBytes(prints.resolve("lead dry.wav")))), "held under the ceiling");
        helps(with(SONG, chain, "chain: [ declick, trim: { level: 0 dB }, limit: { ceiling: -12 dBTP } ]"), "lead dry");
        assertTrue(Arrays.equals(sound(bare), sound(Files.readAllBytes(prints.resolve("lead dry.wav")))), "behind a sound it is none of the dry print");
    }

    /** By how many dB, behind these words. */
    private double said(String before) {
        return Double.parseDouble(err.toString().replaceAll("(?s).*" + before + "([0-9.]+) dB.*", "$1"));
    }

    /** The samples of a print of 3 s. */
    private static byte[] sound(byte[] file) {
        return Arrays.copyOfRange(file, file.length - 3 * 3 * 48_000, file.length);
    }
}
