package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import linnet.demo.Performance;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.dsp.loudness.Loudness;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Moves by section on the demo's lead: the measured wet against the dry, in LU, in the sections where it is asked for and where it is not. */
class SectionMovesTest {
    private static final double RATE = SongRig.RATE;
    private static final String SONG = """
            song: Seven Lanterns
            tempo: 100 bpm
            sections: { count-in: 1, verse: 2, chorus: 10, end: 19 }
            parts: { lead: { take: a.wav, chain: [ eq: [ { high-pass: 90 Hz } ], trim ], sends: { plate: -10 dB } } }
            returns: { plate: { chain: [ { trim: { level: 0 dB }, name: into }, reverb: { decay: 1.4 s, pre-delay: 20 ms } ] } }
            prints: [ mix, lead, plate ]
            """;
    /** Bars 2 to 10, and 10 to 19. */
    private static final double VERSE = 2.4, CHORUS = 21.6, END = 43.2;

    @TempDir
    Path folder;

    private final Samples take = new Samples(RATE, Performance.sing(SevenLanterns.lead(), Singer.high(), RATE).samples());

    private Map<String, double[][]> render(String moves) throws Exception {
        return new SongRig(folder).whole(SONG + moves, 1, take);
    }

    private static double lufs(double[][] x, double from, double to) {
        Loudness meter = new Loudness(RATE, x.length);
        double[][] part = Arrays.stream(x).map(c -> Arrays.copyOfRange(c, (int) (from * RATE), (int) (to * RATE))).toArray(double[][]::new);
        meter.add(part, part[0].length);
        return meter.integrated();
    }

    private static double wet(Map<String, double[][]> x, double from, double to) {
        return lufs(x.get("plate"), from, to) - lufs(x.get("lead"), from, to);
    }

    /** What is asked for in its section within 0.5 LU, and under 0.1 LU elsewhere, tails and ramps left out. */
    @Test
    void theWetnessMovesByWhatIsAskedAndNowhereElse() throws Exception {
        Map<String, double[][]> still = render("");
        double verse = wet(still, VERSE, CHORUS - 0.7), chorus = wet(still, CHORUS, END), after = wet(still, CHORUS + 2, END);
        Map<String, double[]> asked = Map.of(
                "chorus: { ramp: 1 beat, plate: +4 dB }", new double[] {0, 4},
                "chorus: { ramp: 1 beat, lead to plate: -3 dB }", new double[] {0, -3},
                "verse: { lead: -2 dB }", new double[] {0, 0},
                "chorus: { ramp: 1 beat, plate into level: +5 dB }", new double[] {0, 5},
                "verse: { plate: -6 dB }, chorus: { ramp: 1 beat, plate: +2 dB }", new double[] {-6, 2},
                "verse: { plate into level: to -4 dB }", new double[] {-4, 0});
        for (var e : asked.entrySet()) {
            Map<String, double[][]> moved = render("moves: { " + e.getKey() + " }\n");
            double first = wet(moved, VERSE, CHORUS - 0.7) - verse, second = wet(moved, CHORUS, END) - chorus;
            assertEquals(e.getValue()[0], first, e.getValue()[0] == 0 ? 0.1 : 0.5, e.getKey() + " in the verse");
            if (e.getValue()[1] == 0) second = wet(moved, CHORUS + 2, END) - after;
            assertEquals(e.getValue()[1], second, e.getValue()[1] == 0 ? 0.1 : 0.5, e.getKey() + " in the chorus");
        }
    }

    /** More is sent until the border, and what was sent rings on after it. */
    @Test
    void theTailOfAWetterSectionRingsOverTheLine() throws Exception {
        double[] still = render("").get("plate")[0], wetter = render("moves: { bar 3 to bar 3 beat 4.5: { lead to plate: +9 dB } }\n").get("plate")[0];
        // The line ends there; the next begins in bar 4.
        double border = 4.8 + 3.5 * 0.6;
        assertEquals(9, SongRig.db(wetter, border - 1, border) - SongRig.db(still, border - 1, border), 1);
        assertTrue(SongRig.db(wetter, border + 0.1, border + 0.3) - SongRig.db(still, border + 0.1, border + 0.3) > 4, "the tail was cut");
        assertEquals(0, SongRig.db(wetter, border + 6, 20) - SongRig.db(still, border + 6, 20), 0.1);
    }

    /** At each border no sample steps further out of the line of its neighbours than it does there without the move or with it throughout. */
    @Test
    void noBorderClicks() throws Exception {
        String what = "plate: +6 dB, lead: -3 dB, lead pan: +60 %, lead eq high-pass of band 1: +200 Hz, plate reverb low-pass: to 3 kHz, lead trim level: +4 "
                + "dB, plate reverb mix: to 60 %";
        Map<String, double[][]> still = render(""), throughout = render("moves: { count-in to chorus: { " + what + " } }\n");
        for (String where : List.of("chorus", "verse bar 2 beat 2.37 to chorus bar 2 beat 1.5", "verse bar 3 beat 1.9 to chorus bar 3 beat 4.2")) {
            double[][] moved = render("moves: { " + where + ": { ramp: 20 ms, " + what + " } }\n").get("mix");
            double from = where.startsWith("chorus") ? CHORUS : where.contains("2.37") ? 4.8 + 1.37 * 0.6 : 7.2 + 0.9 * 0.6,
                    to = where.startsWith("chorus") ? END : where.contains("2.37") ? 24 + 0.5 * 0.6 : 26.4 + 3.2 * 0.6;
            for (double border : new double[] {from, to}) {
                for (int c = 0; c < 2; c++) {
                    double most = 1.05 * Math.max(step(still.get("mix")[c], border), step(throughout.get("mix")[c], border));
                    assertTrue(step(moved[c], border) <= most, where + " at " + border + ": " + step(moved[c], border) + ", else " + most);
                }
            }
        }
    }

    /** The largest third difference: a step stands out in it from a voice, whose highs are weak. */
    private static double step(double[] x, double border) {
        double most = 0;
        for (int i = (int) ((border - 0.05) * RATE); i < Math.min(x.length, (border + 0.05) * RATE); i++) {
            most = Math.max(most, Math.abs(x[i] - 3 * x[i - 1] + 3 * x[i - 2] - x[i - 3]));
        }
        return most;
    }

    /** In another tempo every address means the same bar and beat. */
    @Test
    void anotherTempoKeepsEveryAddress() throws Exception {
        Samples steady = new Samples(RATE, new double[(int) (24 * RATE)]);
        Arrays.fill(steady.data()[0], 0.1);
        for (double bpm : new double[] {100, 92, 131}) {
            String song = "song: x\ntempo: " + bpm
                    + " bpm\nsections: { verse: 1, chorus: 4, end: 8 }\nparts: { lead: { take: a.wav, at: verse bar 2 beat 2, chain: [ trim ] } }\n"
                    + "returns: { far: { chain: [ trim ] } }\n"
                    + "moves: { chorus beat 3 to chorus bar 2 beat 2: { ramp: 1/8, lead: +6 dB } }\n"
                            + "throws: [ { part: lead, word: verse bar 3 beat 4, length: 1/4 dotted, to: far, exact: yes } ]\nprints: [ lead, far ]\n";
            Map<String, double[][]> x = new SongRig(folder).whole(song, 1, steady);
            double beat = 60 / bpm;
            double[] lead = x.get("lead")[0], far = x.get("far")[0];
            assertEquals(5 * beat, first(lead, 0, 0.05), 1e-3);
            double base = lead[(int) (6 * beat * RATE)];
            // The chorus begins after 12 beats; the ramp takes half a beat before beat 3.
            assertEquals(13.5 * beat, first(lead, 6 * beat, base * 1.001), 0.002);
            assertEquals(base * Math.pow(10, 6 / 20.0), lead[(int) (14.01 * beat * RATE)], 1e-3 * base);
            assertEquals(base * Math.pow(10, 6 / 20.0), lead[(int) (16.99 * beat * RATE)], 1e-3 * base);
            assertEquals(base, lead[(int) (17.51 * beat * RATE)], 1e-3 * base);
            assertEquals(11 * beat, first(far, 0, 1e-7), 0.002);
            for (int i = (int) ((12.5 * beat + 0.081) * RATE); i < far.length; i++) assertEquals(0, far[i], "at " + i);
            assertTrue(far[(int) (12.49 * beat * RATE)] > 0.05);
        }
    }

    private static double first(double[] x, double from, double over) {
        for (int i = (int) (from * RATE); i < x.length; i++) if (Math.abs(x[i]) > over) return i / RATE;
        return Double.NaN;
    }
}
