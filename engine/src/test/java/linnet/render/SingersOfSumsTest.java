package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * What a group or a return states against the singer, where several sing in it: 200 and 300 Hz together have the period of 100 Hz, the note that two tones
 * have in common (a "common fundamental" of any text on acoustics), and nobody sings that.
 */
class SingersOfSumsTest {
    private static final String GROUP = """
            parts:
              low: { take: a.wav }
              high: { take: b.wav }
            groups: { backs: { parts: [ low, high ], chain: [ CHAIN ] } }
            prints: [ backs ]
            """;
    private static final String RETURN = """
            parts:
              low: { take: a.wav, sends: { plate: -6 dB } }
              high: { take: b.wav, sends: { plate: -9 dB } }
            returns: { plate: { chain: [ CHAIN ] } }
            prints: [ plate ]
            """;
    private static final String NESTED = """
            parts:
              low: { take: a.wav }
              high: { take: b.wav }
            groups: { backs: { parts: [ low, high ], chain: [ trim: { level: -1 dB } ], sends: { plate: -6 dB } } }
            returns: { plate: { chain: [ CHAIN ] } }
            prints: [ plate ]
            """;
    private static final String LOWEST = "eq: [ { high-pass: 1 x lowest note } ]", SIBILANCE = "eq: [ { bell: sibilance, gain: -2 dB } ]",
            VOICE = "compressor: { threshold: 6 dB under voice }";

    @TempDir
    Path folder;

    private SongRig rig;

    @BeforeEach
    void rig() {
        rig = new SongRig(folder);
    }

    /** Some hundred Hz with an s in each second, in the pause after the tone. */
    private static Samples singing(double hz) {
        double[] x = new double[(int) (4 * SongRig.RATE)];
        double[] noise = SongRig.noise((int) hz, 4, 0.3).data()[0];
        for (int i = 2; i < x.length; i++) {
            double t = i / SongRig.RATE, in = t % 1;
            x[i] = 1e-4 * noise[i];
            if (in < 0.6) for (int k = 1; k < 12; k++) x[i] += 0.15 / k * Math.sin(2 * Math.PI * hz * k * t);
            if (in > 0.62 && in < 0.75) x[i] += 0.25 * (noise[i] - 2 * noise[i - 1] + noise[i - 2]);
        }
        return new Samples(SongRig.RATE, x);
    }

    private double hz(String of, String song, String chain, Sound... takes) throws Exception {
        return hz(rig.resolved(of, song.replace("CHAIN", chain), takes));
    }

    private static double hz(List<Resolved> found) {
        assertEquals(1, found.size(), found.toString());
        String value = found.get(0).value().replaceAll(" \\(.*", "");
        return value.endsWith(" kHz") ? 1000 * Double.parseDouble(value.replace(" kHz", "")) : Double.parseDouble(value.replaceAll(" (Hz|dBFS)", ""));
    }

    @Test
    void theLowestNoteIsThatOfWhoeverSingsLowest() throws Exception {
        assertEquals(200, hz("backs", GROUP, LOWEST, singing(300), singing(200)), 2);
        assertEquals(200, hz("plate", RETURN, LOWEST, singing(300), singing(200)), 2);
        assertEquals(200, hz("plate", NESTED, LOWEST, singing(300), singing(200)), 2);
    }

    /** Three whose common period is longer than any singer's: nothing has a pitch. */
    @Test
    void someoneSingsWhereTheSumHasNoPitch() throws Exception {
        Sound[] three = {singing(211), singing(283), singing(367)};
        String group = GROUP.replace("low, high", "low, high, third").replace("groups:", "  third: { take: c.wav }\ngroups:");
        assertEquals(211, hz("backs", group, LOWEST, three), 3);
        assertTrue(hz("backs", group, SIBILANCE, three) > 6000);
        String alone = GROUP.replace("[ CHAIN ]", "[ trim ]").replace("a.wav }", "a.wav, chain: [ CHAIN ] }");
        // Powers of three add up, and each stands in the middle 3 dB lower on both sides.
        assertEquals(hz("low", alone, VOICE, three[0], three[1]) + 10 * Math.log10(3) - 3, hz("backs", group, VOICE, three), 0.5);
    }

    @Test
    void oneAloneIsHeardAsItWas() throws Exception {
        String one = GROUP.replace("low, high", "low").replace("  high: { take: b.wav }\n", "");
        assertEquals(200, hz("backs", one, LOWEST, singing(200)), 2);
    }

    /** What the parts are made of lies on the shelf, and is not read for a print that is there: it is, where somebody wants to know who sings. */
    @Test
    void whoSingsIsHeardAlsoWhereAllIsKept() throws Exception {
        for (String low : List.of("tidy: { like: lead }", "chain: [ reverse ]")) {
            for (String song : List.of(GROUP, RETURN, NESTED)) {
                rig = new SongRig(Files.createTempDirectory(folder, "song"));
                String of = song.equals(GROUP) ? "backs" : "plate";
                String text = song.replace("parts:\n", "parts:\n  lead: { take: c.wav }\n").replace("a.wav", "a.wav, " + low);
                Sound[] takes = {singing(200), singing(200), singing(300)};
                rig.render(text.replace("CHAIN", "trim"), 1, takes);
                assertEquals(200, hz(rig.resolvedAfterwards(of, text.replace("CHAIN", LOWEST), takes)), 2, of + " of " + low);
            }
        }
    }

    @Test
    void whatCannotBeMeasuredIsSaidOfTheSum() {
        String song = GROUP.replace("CHAIN", SIBILANCE);
        ProblemsException refused = assertThrows(ProblemsException.class, () -> rig.render(song, 1, SongRig.sung(1, 3, 0.2), SongRig.sung(6, 3, 0.2)));
        String told = "backs: the sibilance of this sum cannot be measured: no sibilant is heard in it; give ";
        assertTrue(refused.getMessage().contains(told), refused.getMessage());
    }
}
