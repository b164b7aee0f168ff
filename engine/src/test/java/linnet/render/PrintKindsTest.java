package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import linnet.dsp.Samples;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What each kind of print is, against renders of songs that are written that way. */
class PrintKindsTest {
    private static final String SONG = """
            parts:
              lead: { take: a.wav, level: LEAD dB, chain: [ declick, level, eq: [ { high-pass: 100 Hz } ], level: { to: -20 dBFS } ], sends: { room: -9 dB } }
              low: { take: b.wav, at: 250 ms, level: LOW dB, pan: 60 % left }
              high: { take: c.wav, at: chorus, pan: 60 % right, sends: { room: -15 dB } }
            instrumental: { take: d.wav, level: -6 dB }
            groups: { backing: { parts: [ low, high ], chain: [ compressor: { threshold: -30 dBFS } ], level: -2 dB, sends: { room: -12 dB } } }
            returns: { room: { chain: [ ROOM ], level: -1 dB } }
            throws: THROWS
            mix: { chain: [ compressor: { threshold: -25 dBFS, ratio: 3:1 }, limit: { ceiling: -3 dBTP } ] }
            prints: [ PRINTS ]
            """;
    private static final String THROWS = "[ { part: lead, word: chorus, length: 2 beats, to: room, level: 3 dB } ]", ROOM = "reverb: { decay: 0.6 s }";

    @TempDir
    Path folder;

    private SongRig rig;

    @BeforeEach
    void rig() {
        rig = new SongRig(folder);
    }

    private Map<String, double[][]> render(String text, String prints) throws Exception {
        String song = text.replace("LEAD", "-3").replace("LOW", "0").replace("THROWS", THROWS).replace("ROOM", ROOM).replace("PRINTS", prints);
        return rig.render(song, 2, SongRig.sung(1, 3, 0.2), SongRig.sung(3, 2, 0.15), SongRig.sung(5, 2, 0.15), SongRig.sung(-4, 4, 0.2));
    }

    /** Half a step of the 32-bit floats of the store, for each of a few works: far below any print. */
    private static void assertSame(double[][] expected, double[][] found) {
        assertEquals(expected.length, found.length);
        for (int c = 0; c < found.length; c++) assertArrayEquals(expected[c], found[c], 5e-7);
    }

    @Test
    void wetAndWithoutMakeTheMix() throws Exception {
        Map<String, double[][]> p = render(SONG,
                "mix, lead wet, mix without lead, backing wet, mix without backing, low wet, mix without low, mix without instrumental, vocals, vocals "
                + "without lead, vocals without backing");
        for (String name : List.of("lead", "backing", "low")) {
            assertTrue(SongRig.residue(p, "mix", List.of(name + " wet", "mix without " + name)) < -130,
                    () -> name + " " + SongRig.residue(p, "mix", List.of(name + " wet", "mix without " + name)));
        }
        assertSame(p.get("vocals"), p.get("mix without instrumental"));
        assertTrue(SongRig.rmsDb(p.get("lead wet")) > -60);
        for (String name : List.of("lead", "backing")) {
            assertTrue(SongRig.residue(p, "vocals", List.of(name + " wet", "vocals without " + name)) < -130,
                    () -> name + " " + SongRig.residue(p, "vocals", List.of(name + " wet", "vocals without " + name)));
        }
    }

    /** Of what the room makes, the throws are what is missing without them; seen before the bus, which hears the difference. */
    @Test
    void throwsAreWhatTheRoomMakesOfThrownWords() throws Exception {
        String still = SONG.replaceFirst("mix: .*", "mix: { chain: [] }");
        Map<String, double[][]> with = render(still, "room, throws, lead wet, mix without lead, mix"), without = render(still.replace("THROWS", "[]"), "room");
        double[][] rest = new double[2][];
        for (int c = 0; c < 2; c++) {
            rest[c] = with.get("room")[c].clone();
            for (int i = 0; i < rest[c].length; i++) rest[c][i] -= i < without.get("room")[c].length ? without.get("room")[c][i] : 0;
        }
        assertSame(rest, with.get("throws"));
        assertTrue(SongRig.rmsDb(with.get("throws")) > -60);
    }

    @Test
    void aMixWithoutItsBusIsTheSumBeforeIt() throws Exception {
        double[][] bare = render(SONG, "mix without bus").get("mix without bus");
        assertSame(render(SONG.replaceFirst("mix: .*", "mix: { chain: [] }"), "mix").get("mix"), bare);
        assertTrue(SongRig.rmsDb(render(SONG, "mix").get("mix")) < SongRig.rmsDb(bare) - 1);
    }

    /** As if the fader had been moved: what is sent, the group and the bus go along. */
    @Test
    void aPartThatIsTurnedUpIsTheSongWithItsFaderThere() throws Exception {
        Map<String, double[][]> p = render(SONG, "mix, lead up 1 dB, lead down 2.5 dB, low up 1 dB");
        assertSame(render(SONG.replace("LEAD", "-2"), "mix").get("mix"), p.get("lead up 1 dB"));
        assertSame(render(SONG.replace("LEAD", "-5.5"), "mix").get("mix"), p.get("lead down 2.5 dB"));
        assertSame(render(SONG.replace("LOW", "1"), "mix").get("mix"), p.get("low up 1 dB"));
    }

    @Test
    void voicesThatAreTurnedUpAreJustThat() throws Exception {
        Map<String, double[][]> p = render(SONG.replaceFirst("mix: .*", "mix: { chain: [] }"),
                "vocals, instrumental, vocals up 1 dB, vocals down 1 dB, instrumental down 1 dB");
        double gain = Math.pow(10, 1 / 20.0);
        for (int c = 0; c < 2; c++) {
            for (int i = 0; i < p.get("vocals")[c].length; i++) {
                double voice = p.get("vocals")[c][i], rest = p.get("instrumental")[c][i];
                assertEquals(gain * voice + rest, p.get("vocals up 1 dB")[c][i], 1e-8);
                assertEquals(voice / gain + rest, p.get("vocals down 1 dB")[c][i], 1e-8);
                assertEquals(voice + rest / gain, p.get("instrumental down 1 dB")[c][i], 1e-8);
            }
        }
    }

    /** What the chain of the mix found by hearing stays as it is found in the mix: else a voice that is turned up would turn its compressor down. */
    @Test
    void theBusStaysSetAsForTheMix() throws Exception {
        String aimed = SONG.replaceFirst("instrumental: .*", "")
                .replaceFirst("mix: .*", "mix: { chain: [ compressor: { ratio: 20:1, attack: 5 ms, aim: 6 dB } ] }");
        for (String prints : List.of("mix, vocals up 6 dB", "vocals up 6 dB, mix")) {
            Map<String, double[][]> p = render(aimed, prints);
            assertEquals(1, SongRig.rmsDb(p.get("vocals up 6 dB")) - SongRig.rmsDb(p.get("mix")), 1);
        }
        assertSame(render(aimed, "mix, vocals up 6 dB").get("vocals up 6 dB"), render(aimed, "vocals up 6 dB").get("vocals up 6 dB"));
    }

    /** Mended, not shaped: up to the first step that does more, in the channels of the take, and at no fader. */
    @Test
    void aDryPartIsAsItWasSungAndMended() throws Exception {
        double[][] dry = render(SONG, "lead dry").get("lead dry");
        assertEquals(1, dry.length);
        double[][] mended = render(SONG.replaceFirst("chain: \\[ declick, level, .*?\\], sends", "chain: [ declick, level ], sends")
                .replace("level: LEAD dB", "level: 0 dB").replaceFirst("mix: .*", "mix: { chain: [] }"), "lead").get("lead");
        double centre = Math.sqrt(0.5);
        for (int i = 0; i < dry[0].length; i++) assertEquals(mended[0][i], centre * dry[0][i], 1e-7);
        assertTrue(SongRig.rmsDb(dry) > -40);
    }

    /** Not even mended: to the bit what a part without a chain has dry. */
    @Test
    void anUntunedPartIsAsItWasSung() throws Exception {
        double[] untuned = render(SONG, "lead untuned").get("lead untuned")[0];
        assertArrayEquals(render(SONG.replaceFirst("chain: \\[ declick, level, .*?\\], sends", "sends"), "lead dry").get("lead dry")[0], untuned);
        assertTrue(SongRig.rmsDb(new double[][] {untuned}) > -40);
    }

    @Test
    void aStretchIsThatOfTheWholeToTheBit() throws Exception {
        Map<String, double[][]> p = render(SONG,
                "mix, lead, { print: mix, name: chorus, from: chorus, to: chorus bar 2 }, { print: lead, name: late, from: bar 4 beat 2 }");
        assertArrayEquals(Arrays.copyOfRange(p.get("mix")[1], 96_000, 144_000), p.get("chorus")[1]);
        assertArrayEquals(Arrays.copyOfRange(p.get("lead")[0], 156_000, p.get("lead")[0].length), p.get("late")[0]);
    }

    @Test
    void stemsAreAllThatGoesIntoTheMix() throws Exception {
        Map<String, double[][]> p = render(SONG, "mix, room, stems");
        assertEquals(List.of("mix", "room", "lead", "backing", "instrumental"), List.copyOf(p.keySet()));
        assertTrue(SongRig.residue(p, "mix", List.of("room", "lead", "backing", "instrumental")) < -200);
    }

    /** And so it does where a setting is written out as it usually is. */
    @Test
    void aUsualValueThatIsWrittenOutChangesNothing() throws Exception {
        Map<String, double[][]> p = render(SONG.replace("ROOM", "delay: { drive: 0 dB, time: 100 ms }"), "mix, lead wet, mix without lead");
        assertTrue(SongRig.residue(p, "mix", List.of("lead wet", "mix without lead")) < -130);
        assertEquals(List.of(), rig.notes);
    }

    /** A room that makes way for what is sent there cannot be shared out: what is wanted is sent alone, and the user is told. */
    @Test
    void aRoomThatCannotBeSharedOutHearsThePartAlone() throws Exception {
        String song = SONG.replace("ROOM", "reverb: { decay: 0.6 s, duck: 6 dB, duck threshold: -30 dBFS }");
        assertTrue(SongRig.rmsDb(render(song, "lead wet").get("lead wet")) > -60);
        assertEquals(List.of("room: where not all that is sent there is wanted, what is wanted is sent alone, because what 'reverb' makes of it all cannot be "
                + "shared out: such prints do not add up to the mix"), rig.notes);
    }
}
