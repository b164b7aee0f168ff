package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
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

    /** What is known from the takes alone costs no render. */
    @Test
    void nothingIsRenderedBefore() throws Exception {
        assertEquals(Exit.TEXT, run("render", song, "--out", prints));
        try (Stream<Path> kept = Files.walk(folder.resolve(".linnet"))) {
            assertEquals(List.of(), kept.filter(f -> Files.isRegularFile(f) && f.toFile().length() > 48_000).toList());
        }
    }

    /** Nobody takes a group, a return or the mix out of a song, and nobody takes out who sings. */
    @Test
    void onlyAPartInWhichNothingSoundsIsTakenOut() throws Exception {
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts:\n  lead: { take: take.wav, chain: chain.yaml }\n"
                + "prints: [ mix ]\n");
        assertEquals(Exit.TEXT, run("render", song, "--out", prints));
        assertTrue(err.toString().contains("lead: the sibilance of this take cannot be measured: no sibilant is heard in it; give "), err.toString());
        assertFalse(err.toString().contains("out of the song"), err.toString());
    }

    /** Where nothing comes in, the chains of groups, returns and the mix hear nothing either: all is told at once, each by its name. */
    @Test
    void whatIsMadeOfSilenceIsToldAtOnce() throws Exception {
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts:\n  low: { take: empty.wav }\n"
                + "groups: { all: { parts: [ low ], chain: [ compressor: { threshold: 6 dB under voice } ], sends: { room: -10 dB } } }\n"
                + "returns: { room: { chain: [ { gate: { threshold: 6 dB over noise } }, reverb ] } }\n"
                + "mix: { chain: [ compressor: { threshold: 6 dB under voice }, gate: { threshold: 3 dB over noise } ] }\nprints: [ mix ]\n");
        assertEquals(Exit.TEXT, run("check", song));
        String checked = err.toString();
        for (String what : new String[] {"all: the voice", "room: the noise", "mix: the voice", "mix: the noise"}) {
            assertEquals(2, checked.split(what + " of this take cannot be measured: it is silent", -1).length, what + " in " + checked);
        }
        assertFalse(checked.contains("out of the song"), checked);
        assertEquals(Exit.TEXT, run("render", song, "--out", prints));
        assertEquals(checked, err.toString());
    }

    /** The mix is named, too, where something sounds in it. */
    @Test
    void theMixHasItsName() throws Exception {
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts:\n  lead: { take: take.wav }\n"
                + "mix: { chain: [ de-ess: { band: 1 x sibilance } ] }\nprints: [ mix ]\n");
        assertEquals(Exit.TEXT, run("render", song, "--out", prints));
        assertTrue(err.toString().contains("mix: the sibilance of this take cannot be measured: "), err.toString());
    }

    /** A part that follows another is one, too, though its chain hears what was tidied for it. */
    @Test
    void aSilentPartThatIsTidiedIsTakenOut() throws Exception {
        for (String command : new String[] {"check", "render"}) {
            assertEquals(Exit.TEXT, command.equals("check") ? run("check", song) : run("render", song, "--out", prints));
            assertTrue(err.toString().contains("shadow: the voice" + SILENT + "threshold as a number such as -18 dB, or take 'shadow' out of the song"),
                    err.toString());
        }
    }

    /** What no print has, but the mix that they are shares of, is rendered for each of them. */
    @Test
    void aSilentPartThatOnlyTheMixHasIsRefusedByBoth() throws Exception {
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, b: 2, end: 3 }\nparts:\n  lead: { take: take.wav }\n"
                + "  low: { take: empty.wav, chain: chain.yaml }\nprints: [ { print: lead, from: a, to: a } ]\n");
        assertEquals(Exit.TEXT, run("check", song));
        String checked = err.toString();
        assertTrue(checked.contains("low: the voice" + SILENT), checked);
        assertEquals(Exit.TEXT, run("render", song, "--out", prints));
        assertEquals(checked, err.toString());
    }

    /**
     * A group is not silent for one silent part: the other is too soft to be heard in its take and is brought up by its chain, so what goes into the parts
     * does not tell what goes into the group.
     */
    @Test
    void aGroupOfASilentPartAndOneThatSoundsIsNotRefused() throws Exception {
        Takes.tone(folder.resolve("soft.wav"), 220, 2e-5, 1);
        Files.writeString(song, "song: x\ntempo: 100 bpm\nsections: { a: 1, end: 2 }\nparts:\n  low: { take: empty.wav }\n"
                + "  high: { take: soft.wav, chain: [ trim: { level: 24 dB }, trim: { level: 24 dB }, trim: { level: 24 dB } ] }\n"
                + "groups: { back: { parts: [ low, high ], chain: [ compressor: { threshold: 6 dB under voice } ] } }\nprints: [ mix ]\n");
        assertEquals(Exit.DONE, run("check", song), err.toString());
        assertEquals(Exit.DONE, run("render", song, "--out", prints), err.toString());
    }
}
