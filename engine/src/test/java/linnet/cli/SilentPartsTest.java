package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Parts on whose takes nothing is, whose chains want something of the singer. */
class SilentPartsTest extends SongFolder {
    private static final String SILENT = " of this take cannot be measured: it is silent; give ";

    @BeforeEach
    void parts() throws Exception {
        Takes.tone(folder.resolve("empty.wav"), 220, 0, 1);
        Takes.tone(folder.resolve("take.wav"), 220, 0.3, 1);
        Files.writeString(folder.resolve("chain.yaml"), "steps:\n  - compressor: { threshold: 6 dB under voice }\n  - de-ess: { band: 1 x sibilance }\n");
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts:\n"
                + "  lead: { take: take.wav, chain: [ trim: { level: -1 dB } ] }\n"
                + "  low: { take: empty.wav, chain: chain.yaml }\n"
                + "  high: { take: empty.wav, chain: [ gate: { threshold: 3 dB over noise }, compressor: { threshold: 3 dB under peak } ] }\n"
                + "  shadow: { take: empty.wav, chain: chain.yaml, tidy: { like: lead } }\n"
                + "groups: { back: { parts: [ low, high ], chain: [ compressor: { threshold: 6 dB under voice } ] } }\n"
                + "prints: [ mix, high dry ]\n");
    }

    private static void named(String said) {
        for (String part : new String[] {"low: the voice", "low: the sibilance", "high: the noise", "shadow: the voice",
            "shadow: the sibilance"}) {
            assertEquals(2, said.split(part, -1).length, part + " in " + said);
        }
        assertTrue(said.contains("low: the voice" + SILENT + "threshold as a number such as -18 dB, or take 'low' out of the song"), said);
        assertTrue(said.contains("chain.yaml:2:") && said.contains("song.yaml:7:"), said);
    }

    @Test
    void eachIsNamedAtOnce() throws Exception {
        assertEquals(Exit.TEXT, run("render", song, "--out", prints));
        named(err.toString());
        assertFalse(Files.exists(prints.resolve("mix.wav")));
    }

    @Test
    void theCheckTellsTheSame() throws Exception {
        assertEquals(Exit.TEXT, run("check", song));
        named(err.toString());
        assertFalse(out.toString().contains("nothing wrong"), out.toString());
        String checked = err.toString();
        assertEquals(Exit.TEXT, run("render", song, "--out", prints));
        assertEquals(checked, err.toString());
    }

    /** Nothing is mixed: what its chain wants is told of the mix, whose chain file a part may use too. */
    @Test
    void theMixIsNamedToo() throws Exception {
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts: { low: { take: empty.wav } }\n"
                + "mix: { chain: chain.yaml }\nprints: [ mix ]\n");
        assertEquals(Exit.TEXT, run("render", song, "--out", prints));
        assertTrue(err.toString().contains("mix: the voice of this take cannot be measured"), err::toString);
        assertFalse(err.toString().contains("'mix' out of the song"), err::toString);
    }
}
