package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import linnet.dsp.Samples;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Prints that add up to the mix through its whole chain. */
class StemsTest {
    private static final String PARTS = """
            parts:
              lead: { take: a.wav, sends: { room: -9 dB } }
              low: { take: b.wav, at: 250 ms, level: -3 dB, pan: 60 % left }
              high: { take: c.wav, at: chorus, pan: 60 % right }
            instrumental: { take: d.wav, level: -6 dB }
            groups: { backing: { parts: [ low, high ], chain: [ GROUP ], level: -2 dB, sends: { room: -12 dB } } }
            returns: { room: { chain: [ reverb: { decay: 0.6 s } ], level: -1 dB } }
            throws: [ { part: lead, word: chorus, length: 2 beats, to: room } ]
            mix: { chain: [ BUS ] }
            prints: [ mix, vocals, instrumental, lead, backing, low, high, room ]
            """;
    /** All that a bus may hold: filters, levels, bands, a mix, branches; and what is found by hearing. */
    private static final String BUS = String.join(", ",
            "eq: [ { low-shelf: 120 Hz, gain: -2 dB }, { high-shelf: 8 kHz, gain: 2 dB } ]",
            "compressor: { ratio: 2:1, attack: 20 ms, aim: 4 dB, makeup: match, lookahead: 2 ms }",
            "multiband: { splits: [ 200 Hz, 3 kHz ], bands: [ { aim: 3 dB }, {}, { threshold: 6 dB under voice } ] }",
            "parallel: [ { level: 0 dB }, { level: -9 dB, steps: [ compressor: { ratio: 10:1, aim: 12 dB, lookahead: 1 ms } ] } ]",
            "de-ess",
            "compressor: { aim: 2 dB, mix: 60 % }",
            "width: { amount: 120 % }",
            "trim: { level: 9 dB }",
            "limit: { ceiling: -3 dBTP }");

    private static final List<String> STEMS = List.of("lead", "instrumental", "backing", "room");

    @TempDir
    Path folder;

    private SongRig rig;

    private static Samples[] takes() {
        return new Samples[] {SongRig.sung(1, 3, 0.2), SongRig.sung(3, 2, 0.15), SongRig.sung(5, 2, 0.15), SongRig.sung(-4, 4, 0.2)};
    }

    @BeforeEach
    void rig() {
        rig = new SongRig(folder);
    }

    private static String song(String group, String bus) {
        return PARTS.replace("GROUP", group).replace("BUS", bus);
    }

    /** -120 dBFS is what the trade asks of stems in float; the rounding of doubles is far below. */
    @Test
    void stemsAddUpToTheMixThroughAllThatABusMayHold() throws Exception {
        Map<String, double[][]> prints = rig.render(song("compressor: { aim: 4 dB }", BUS), 2, takes());
        assertTrue(SongRig.residue(prints, "mix", STEMS) < -200, () -> "stems against the mix: " + SongRig.residue(prints, "mix", STEMS));
        assertTrue(SongRig.residue(prints, "mix", List.of("vocals", "instrumental")) < -200);
        // The parts of the group come from the store, where samples are 32-bit floats.
        assertTrue(SongRig.residue(prints, "backing", List.of("low", "high")) < -140,
                () -> "members: " + SongRig.residue(prints, "backing", List.of("low", "high")));
        prints.forEach((name, x) -> assertEquals(prints.get("mix")[0].length, x[0].length, name));
    }

    /** As they go into the chain of the mix, which is at work in the mix beside them; what cannot be shared out there is none of theirs. */
    @Test
    void stemsWithoutBusAddUpToTheMixWithoutBus() throws Exception {
        String wanted = "prints: [ mix, mix without bus, vocals without bus, stems without bus, low without bus, high without bus, stems ]",
                bare = song("compressor: { aim: 4 dB }", "trim").replaceFirst("prints: .*", "prints: [ mix, vocals, stems, low, high ]");
        Map<String, double[][]> prints = rig.render(song("compressor: { aim: 4 dB }", BUS).replaceFirst("prints: .*", wanted), 2, takes());
        List<String> without = STEMS.stream().map(s -> s + " without bus").toList();
        assertTrue(SongRig.residue(prints, "mix without bus", without) < -200, () -> "against the sum: " + SongRig.residue(prints, "mix without bus", without));
        assertTrue(SongRig.residue(prints, "mix", STEMS) < -200);
        assertTrue(SongRig.residue(prints, "mix without bus", List.of("vocals without bus", "instrumental without bus")) < -200);
        assertTrue(SongRig.residue(prints, "backing without bus", List.of("low without bus", "high without bus")) < -140);
        assertTrue(SongRig.residue(prints, "mix", without) > -40, "the chain of the mix does something");
        prints.forEach((name, x) -> assertEquals(prints.get("mix")[0].length, x[0].length, name));
        rig.render(bare, 1, takes()).forEach((name, x) -> {
            for (int c = 0; c < x.length; c++) assertArrayEquals(x[c], prints.get(name + " without bus")[c], 1e-9, name);
        });
        Map<String, double[][]> torn = rig.render(song("trim", "saturate, limit").replaceFirst("prints: .*", "prints: [ mix, stems without bus ]"), 1, takes());
        assertEquals(List.of("mix", "lead without bus", "backing without bus", "room without bus", "instrumental without bus"), List.copyOf(torn.keySet()));
    }

    /** The bus must be at work for this to say anything: without it the stems would be others. */
    @Test
    void aStemIsTurnedDownByTheMixAndNotByItself() throws Exception {
        String still = song("trim", "trim");
        String bus = song("trim", "compressor: { threshold: -30 dBFS, ratio: 4:1 }");
        Map<String, double[][]> before = rig.render(still, 1, takes()), after = rig.render(bus, 1, takes());
        double mix = SongRig.rmsDb(after.get("mix")) - SongRig.rmsDb(before.get("mix"));
        assertTrue(mix < -3, "the bus takes off " + mix);
        for (String stem : STEMS) {
            double own = SongRig.rmsDb(after.get(stem)) - SongRig.rmsDb(before.get(stem));
            assertTrue(own < -1.5, stem + " " + own);
        }
    }

    @Test
    void bitsDoNotDependOnTheNumberOfJobs() throws Exception {
        String text = song("compressor: { aim: 4 dB }", BUS);
        Map<String, double[][]> once = rig.render(text, 1, takes()), twice = rig.render(text, 3, takes());
        once.forEach((name, x) -> assertArrayEquals(x, twice.get(name), name));
    }

    /** A part is not touched by throws, and so its print through a bus that does not hear them differently is the same to the bit. */
    @Test
    void aLeadWithoutBusIsTheSameWithAndWithoutThrows() throws Exception {
        String with = song("trim", "trim"), without = with.replaceFirst("throws: .*\n", "");
        assertArrayEquals(rig.render(with, 1, takes()).get("lead"), rig.render(without, 1, takes()).get("lead"));
    }

    /** With a compressor on the mix a throw turns everything down a little, the lead too; what was sung and mended stays as it is, to the bit. */
    @Test
    void aDryLeadIsTheSameWithAndWithoutThrowsThroughAnyBus() throws Exception {
        String with = song("trim", BUS).replaceFirst("prints: .*", "prints: [ mix, lead, lead dry ]"), without = with.replaceFirst("throws: .*\n", "");
        Map<String, double[][]> on = rig.render(with, 1, takes()), off = rig.render(without, 1, takes());
        assertArrayEquals(on.get("lead dry"), off.get("lead dry"));
        assertTrue(SongRig.rmsDb(on.get("lead dry")) > -40);
    }

    @Test
    void whatCannotBeSharedOutIsRefusedAtItsPlace() {
        ProblemsException said = assertThrows(ProblemsException.class, () -> rig.render(song("trim", "saturate, limit"), 1, takes()));
        assertTrue(said.getMessage()
                .contains("song.yaml:12:17: what 'saturate' makes of the mix cannot be shared out, so that 7 prints (vocals, instrumental, lead, …) are no "
                        + "parts of it"), said.getMessage());
    }

    @Test
    void theMixAloneMayHoldAnything() throws Exception {
        double[][] mix = rig.render(song("trim", "saturate, denoise, limit").replaceFirst("prints: .*", "prints: [ mix ]"), 1, takes()).get("mix");
        assertTrue(SongRig.rmsDb(mix) > -40);
    }

    /** Where the chain of a group cannot be shared out, its parts are printed as they go into it, and the user is told. */
    @Test
    void partsOfAGroupThatCannotBeSharedOutComeAsTheyGoIntoIt() throws Exception {
        String text = song("saturate: { drive: 12 dB }", "trim");
        Map<String, double[][]> bare = rig.render(song("trim", "trim"), 1, takes());
        Map<String, double[][]> prints = rig.render(text, 1, takes());
        assertArrayEquals(bare.get("low"), prints.get("low"));
        assertEquals(List.of("backing: parts of it are printed as they go into it, because what 'saturate' makes of the group cannot be shared out among them: "
                        + "they do not add up to it"),
                rig.notes);
    }

    /** A room in the chain of the mix rings on after all works have ended, and all prints last as long. */
    @Test
    void aTailOfTheMixIsPrintedWhole() throws Exception {
        Map<String, double[][]> prints = rig.render(song("trim", "reverb: { decay: 4 s, mix: 50 % }"), 1, takes());
        double[][] mix = prints.get("mix");
        int n = mix[0].length;
        assertTrue(n > 6 * SongRig.RATE, "ends at " + n / SongRig.RATE);
        for (int i = n - 480; i < n; i++) assertTrue(Math.abs(mix[0][i]) < 3.2e-5);
        assertTrue(SongRig.residue(prints, "mix", STEMS) < -200);
    }
}
