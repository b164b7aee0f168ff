package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import linnet.demo.Performance;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.setting.Live;
import linnet.step.Step;
import linnet.step.builtin.Builtins;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Settings of steps that move by section. */
class MovesTest {
    private static final double RATE = SongRig.RATE;

    @TempDir
    Path folder;

    private Map<String, double[][]> render(String text, Samples... takes) throws Exception {
        return new SongRig(folder).render(text, 1, takes);
    }

    private double[] one(String chain, String moves, Samples take) throws Exception {
        return render("parts: { one: { take: a.wav, chain: " + chain + ", pan: 100 % left } }\n" + moves + "prints: [ one ]\n", take).get("one")[0];
    }

    /** By a difference, or to a value; over the ramp; and nowhere else. */
    @Test
    void aSettingMovesInItsStretchAndRampsIntoIt() throws Exception {
        Samples take = SongRig.noise(1, 4, 0.3);
        double[] still = one("[ trim: { level: -3 dB } ]", "", take);
        for (String by : List.of("+4 dB", "to 1 dB")) {
            double[] moved = one("[ trim: { level: -3 dB } ]", "moves: { chorus: { ramp: 2 beats, one trim level: " + by + " } }\n", take);
            for (int i = 0; i < 4 * RATE; i++) {
                double expected = 4 * Math.max(0, Math.min(1, (i / RATE - 1.5) / 0.5));
                if (Math.abs(still[i]) > 1e-3) assertEquals(expected, 20 * Math.log10(moved[i] / still[i]), 0.01, by + " at " + i);
            }
        }
    }

    /** What rings on behind the last section does so as it is there; a wet chorus does not end with a step in its tail. */
    @Test
    void aMoveUpToTheEndOfTheSongStays() throws Exception {
        Samples take = new Samples(RATE, new double[6 * (int) RATE]);
        Arrays.fill(take.data()[0], 0.1);
        for (String where : List.of("chorus", "bar 3 to end", "verse to chorus", "chorus *")) {
            for (String what : List.of("one trim level: +4 dB", "one trim level: to 1 dB", "one: +4 dB", "one: to 4 dB")) {
                double[] x = one("[ trim: { level: -3 dB } ]", "moves: { " + where + ": { ramp: 1 beat, " + what + " } }\n", take);
                for (double t : new double[] {3, 3.99, 4, 4.1, 4.6, 5.9}) {
                    assertEquals(-20 + 1, 20 * Math.log10(x[(int) (t * RATE)]), 0.01, where + ", " + what + " at " + t);
                }
            }
        }
        double[] verse = one("[ trim: { level: -3 dB } ]", "moves: { verse: { one trim level: +4 dB } }\n", take);
        assertEquals(-23, 20 * Math.log10(verse[(int) (3 * RATE)]), 0.01);
    }

    /** Differences that overlap add up; one value hands over to the next, and to a difference, without a way round by the base. */
    @Test
    void movesOfOneSettingAddUpOrHandOver() throws Exception {
        Samples take = new Samples(RATE, new double[4 * (int) RATE]);
        Arrays.fill(take.data()[0], 0.1);
        double[] sum = one("[ trim: { level: -3 dB } ]", "moves: { verse to chorus: { one trim level: +4 dB }, chorus: { one trim level: -1 dB } }\n", take);
        assertEquals(-20 + 1, 20 * Math.log10(sum[(int) RATE]), 0.01);
        assertEquals(-20, 20 * Math.log10(sum[(int) (3 * RATE)]), 0.01);
        double[] over = one("[ trim: { level: -3 dB } ]",
                "moves: { verse: { one trim level: to 2 dB }, chorus: { ramp: 1 beat, one trim level: +1 dB } }\n", take);
        for (int i = 0; i < 4 * RATE; i++) {
            double way = Math.max(0, Math.min(1, (i / RATE - 1.75) / 0.25));
            assertEquals(-20 + 2 - 4 * way, 20 * Math.log10(over[i]), 0.02, "at " + i);
        }
    }

    /** Two stretches of one move that lie closer together than their ramps are long: nobody asked for both at once. */
    @Test
    void rampsOfOneMoveShareTheGapBetweenItsStretches() throws Exception {
        Samples take = new Samples(RATE, new double[5 * (int) RATE]);
        Arrays.fill(take.data()[0], 0.1);
        String song = "song: ramps\ntempo: 240 bpm\nsections: { a: 1, b 1: 2, c: 3, b 2: 4, d: 5, end: 6 }\n"
                + "parts: { one: { take: a.wav, chain: [ trim ], pan: 100 % left } }\nprints: [ one ]\n";
        for (String what : List.of("one: +6 dB", "one: to 6 dB", "one trim level: +6 dB", "one trim level: to 6 dB")) {
            for (double[] ramp : new double[][] {{2, 1}, {0.75, 1}, {0.5, 1}, {0.25, 1}}) {
                double[] x = new SongRig(folder).whole(song + "moves: { b *: { ramp: " + ramp[0] + " bars, " + what + " } }\n", 1, take).get("one")[0];
                double in = Math.min(ramp[0], 0.5);
                for (int i = 0; i < 5 * RATE - 1; i++) {
                    double t = i / RATE, share = t < 1 ? Math.max(0, 1 - (1 - t) / ramp[0]) : t <= 2 || t >= 3 && t <= 4 ? 1
                            : t < 3 ? Math.max(0, Math.max(1 - (t - 2) / in, 1 - (3 - t) / in)) : Math.max(0, 1 - (t - 4) / ramp[0]);
                    assertEquals(-20 + 6 * share, 20 * Math.log10(x[i]), 0.05, what + ", ramp " + ramp[0] + " at " + t);
                }
            }
        }
    }

    /** What is stated against the singer moves from what that comes to. */
    @Test
    void whatIsStatedAgainstTheSingerMovesFromWhatIsMeasured() throws Exception {
        Samples take = SongRig.sung(3, 4, 0.2);
        String chain = "[ compressor: { threshold: 2 dB under voice, ratio: 100:1, knee: 0 dB, attack: 1 ms, release: 20 ms } ]";
        double[] still = one(chain, "", take), moved = one(chain, "moves: { chorus: { one compressor threshold: -6 dB } }\n", take);
        assertEquals(0, SongRig.db(moved, 1.2, 1.6) - SongRig.db(still, 1.2, 1.6), 0.01);
        assertEquals(-6 * 0.99, SongRig.db(moved, 2.2, 2.6) - SongRig.db(still, 2.2, 2.6), 0.1);
    }

    /** The share of a step, a branch, a step after another of its word, a step of every member, a step of the mix. */
    @Test
    void everyPlaceWhereAStepCanStandCanMove() throws Exception {
        String song = """
                parts: { one: { take: a.wav, chain: [ trim, trim, parallel: [ { level: 0 dB }, { level: -90 dB, steps: [ trim ] } ] ] }, two: { take: b.wav } }
                groups: { both: { parts: [ one, two ], each: [ { trim: { level: 0 dB }, name: all } ], chain: [ trim ] } }
                returns: { room: { chain: [ trim ] } }
                mix: { chain: [ trim ] }
                moves: { chorus: { %s } }
                prints: [ mix ]
                """;
        Samples a = SongRig.noise(2, 4, 0.1), silent = new Samples(RATE, new double[4 * (int) RATE]);
        Map<String, Double> rises = Map.of("one trim level: +2 dB", 2.0, "one trim 2 level: +3 dB", 3.0, "one parallel level of branch 2: to 0 dB", 6.02,
                "both each all level: -4 dB", -4.0,
                "both trim level: +1 dB", 1.0, "mix trim level: -2 dB", -2.0, "one trim mix: to 50 %, one trim level: -60 dB", -6.01);
        double still = SongRig.db(render(song.formatted("both: +0 dB"), a, silent).get("mix")[0], 2.1, 3.9);
        for (var e : rises.entrySet()) {
            assertEquals(e.getValue(), SongRig.db(render(song.formatted(e.getKey()), a, silent).get("mix")[0], 2.1, 3.9) - still, 0.02, e.getKey());
        }
    }

    /** The level of a return is not in its own work, a setting of it is. */
    @Test
    void aMoveRendersAgainWhatItTouches() throws Exception {
        String song = """
                parts: { one: { take: a.wav, sends: { room: -9 dB } } }
                returns: { room: { chain: [ reverb: { mix: 100 %% } ] } }
                moves: { chorus: { %s } }
                prints: [ mix, room ]
                """;
        SongRig rig = new SongRig(folder);
        Samples take = SongRig.noise(3, 4, 0.2);
        rig.render(song.formatted("room: +2 dB"), 1, take);
        rig.render(song.formatted("room: +3 dB, room pan: +10 %"), 1, take);
        assertEquals(List.of("one", "room"), rig.found);
        rig.render(song.formatted("room: +3 dB, room reverb width: -20 %"), 1, take);
        assertEquals(List.of("one"), rig.found);
        rig.render(song.formatted("room: +3 dB, room reverb width: -30 %"), 1, take);
        assertEquals(List.of("one"), rig.found);
    }

    /** A chain with a step, and a move of it. */
    record Case(String chain, String move) {
        @Override
        public String toString() {
            return move;
        }

        String setting() {
            return move.replaceFirst(":.*", "").replaceFirst(" of .*", "");
        }
    }

    static List<Case> cases() {
        String compressor = "compressor: { threshold: -30 dB, ratio: 4:1, knee: 6 dB, attack: 10 ms, release: 100 ms }";
        String bands = "multiband: { splits: [ 400 Hz ], bands: [ { threshold: -40 dB, ratio: 4:1, knee: 6 dB, attack: 10 ms, release: 100 ms }, {} ] }";
        String gate = "gate: { threshold: -40 dB, floor: -40 dB }", saturate = "saturate", deEss = "de-ess: { band: 6 kHz, most: 6 dB }";
        String delay = "delay: { mix: 50 %, feedback: 40 %, time: 150 ms, duck: 6 dB, duck threshold: -50 dB }",
                reverb = "reverb: { mix: 50 %, duck: 6 dB, duck threshold: -50 dB }";
        String shelf = "eq: [ { high-shelf: 2 kHz, gain: 6 dB, steepness: 0.9 } ]", bell = "eq: [ { bell: 800 Hz, gain: 6 dB, q: 1 } ]";
        return List.of(new Case("breaths: { lower: 3 dB }", "breaths lower: +12 dB"), new Case(compressor, "compressor threshold: -12 dB"),
                new Case(compressor, "compressor ratio: +8:1"),
                new Case(compressor, "compressor knee: +20 dB"), new Case(compressor, "compressor attack: +60 ms"),
                        new Case(compressor, "compressor release: +900 ms"),
                new Case(bands, "multiband threshold of band 1: -12 dB"), new Case(bands, "multiband ratio of band 1: +8:1"),
                        new Case(bands, "multiband knee of band 1: +20 dB"),
                new Case(bands, "multiband attack of band 1: +60 ms"), new Case(bands, "multiband release of band 1: +900 ms"),
                new Case(deEss, "de-ess band: -2 kHz"), new Case(deEss, "de-ess threshold: -6 dB"), new Case(deEss, "de-ess most: +6 dB"),
                        new Case(deEss, "de-ess attack: +15 ms"), new Case(deEss, "de-ess release: +300 ms"),
                new Case(delay, "delay time: +40 ms"), new Case(delay, "delay feedback: +40 %"), new Case(delay, "delay drive: +12 dB"),
                        new Case(delay, "delay wobble: +30 cents"), new Case(delay, "delay duck threshold: +30 dB"),
                new Case("denoise: { amount: 2 dB }", "denoise amount: +9 dB"), new Case(bell, "eq gain of band 1: +6 dB"),
                        new Case(bell, "eq q of band 1: +3"), new Case(bell, "eq bell of band 1: +600 Hz"),
                new Case("eq: [ { bell: 800 Hz, gain: 6 dB, bandwidth: 1 octave } ]", "eq bandwidth of band 1: +1 octave"),
                        new Case(shelf, "eq steepness of band 1: -0.5"), new Case(shelf, "eq high-shelf of band 1: -1 kHz"),
                new Case("eq: [ { low-shelf: 300 Hz, gain: 6 dB } ]", "eq low-shelf of band 1: +500 Hz"),
                        new Case("eq: [ { high-pass: 100 Hz } ]", "eq high-pass of band 1: +500 Hz"),
                new Case("eq: [ { low-pass: 8 kHz } ]", "eq low-pass of band 1: -6 kHz"),
                        new Case("eq: [ { band-pass: 1 kHz } ]", "eq band-pass of band 1: +500 Hz"),
                        new Case("eq: [ { notch: 800 Hz, q: 2 } ]", "eq notch of band 1: +600 Hz"),
                new Case("eq: [ { all-pass: 800 Hz } ]", "eq all-pass of band 1: +600 Hz"), new Case("formant", "formant by: +300 cents"),
                        new Case(gate, "gate threshold: +15 dB"), new Case(gate, "gate hysteresis: +15 dB"),
                new Case(gate, "gate floor: +30 dB"), new Case(gate, "gate attack: +90 ms"), new Case(gate, "gate hold: +600 ms"),
                        new Case(gate, "gate release: +1.5 s"),
                new Case("limit: { ceiling: -20 dBTP }", "limit ceiling: +6 dBTP"), new Case("limit: { ceiling: -20 dBTP }", "limit release: +800 ms"),
                        new Case("pan", "pan to: +60 %"),
                new Case("pops: { lower: 3 dB }", "pops lower: +30 dB"), new Case("pops: { lower: 20 dB }", "pops below: +80 Hz"),
                        new Case(reverb, "reverb high-pass: +600 Hz"), new Case(reverb, "reverb low-pass: -5 kHz"),
                new Case(reverb, "reverb width: -80 %"), new Case(reverb, "reverb duck threshold: +30 dB"),
                        new Case("ride: { amount: 20 % }", "ride amount: +80 %"), new Case(saturate, "saturate drive: +12 dB"),
                        new Case(saturate, "saturate bias: +60 %"),
                new Case("shift", "shift by: +200 cents"), new Case("trim", "trim level: +6 dB"),
                        new Case("delay: { mix: 50 %, pattern: ping-pong }, width", "width amount: -100 %"));
    }

    /** The list above leaves nothing out: a live setting that no move reaches would be promised in vain. */
    @Test
    void everyLiveSettingIsTried() {
        Set<String> live = new TreeSet<>(), tried = new TreeSet<>();
        for (Step s : Builtins.catalogue().steps()) s.settings().each(x -> {
            if (x instanceof Live) live.add(s.word() + " " + x.name());
        });
        cases().forEach(c -> tried.add(c.setting()));
        assertEquals(live, tried);
    }

    private static final Samples LEAD = lead(12);

    /** The demo: two lines in 12 s. */
    private static Samples lead(int seconds) {
        double[] x = Performance.sing(SevenLanterns.lead(), Singer.high(), RATE).samples();
        return new Samples(RATE, Arrays.copyOf(x, (int) (seconds * RATE)));
    }

    /** Before its section a move is not heard, in it it is, and at the border no sample steps further than it would with the one value or the other. */
    @ParameterizedTest
    @MethodSource("cases")
    void everyLiveSettingMovesWithoutAClick(Case c) throws Exception {
        String song = "song: two lines\ntempo: 100 bpm\nsections: { verse: 1, chorus: 4, end: 6 }\nparts: { one: { take: a.wav, chain: [ " + c.chain
                + " ] } }\nprints: [ one ]\n";
        SongRig rig = new SongRig(folder);
        // Two lines need no riding.
        Samples take = c.chain.startsWith("ride") ? lead(43) : LEAD;
        double[][] still = rig.whole(song, 1, take).get("one"), moved = rig.whole(song + "moves: { chorus: { one " + c.move + " } }\n", 1, take).get("one");
        double[][] throughout = rig.whole(song + "moves: { verse to chorus: { one " + c.move + " } }\n", 1, take).get("one");
        // The ramp takes 60 ms, and a gate is set for what it hears, up to 230 ms ahead of what leaves it.
        double border = 7.2, before = difference(still, moved, 0, border - 0.3), after = difference(still, moved, border, 12);
        // A ride keeps the loudness of the whole, so that one line moved moves the others a little.
        assertTrue(before < (c.move.startsWith("ride") ? -40 : -90), "before it: " + before + " dB");
        assertTrue(after > -65, "in it: " + after + " dB");
        for (int ch = 0; ch < 2; ch++) {
            double beside = Math.max(step(still[ch], border - 0.2, border + 0.1), step(throughout[ch], border - 0.2, border + 0.1));
            assertTrue(step(moved[ch], border - 0.2, border + 0.1) <= 1.05 * beside, "a step at the border: " + step(moved[ch], border - 0.2, border + 0.1)
                    + ", else " + beside);
        }
    }

    /** Of two sounds, in dB under the first. */
    private static double difference(double[][] a, double[][] b, double from, double to) {
        double sum = 0, all = 0;
        for (int c = 0; c < 2; c++) {
            for (int i = (int) (from * RATE); i < (int) (to * RATE); i++) {
                sum += (a[c][i] - b[c][i]) * (a[c][i] - b[c][i]);
                all += a[c][i] * a[c][i];
            }
        }
        return 10 * Math.log10(sum / all);
    }

    /** The largest third difference: a step stands out in it from a voice, whose highs are weak. */
    private static double step(double[] x, double from, double to) {
        double most = 0;
        for (int i = (int) (from * RATE) + 3; i < (int) (to * RATE); i++) most = Math.max(most, Math.abs(x[i] - 3 * x[i - 1] + 3 * x[i - 2] - x[i - 3]));
        return most;
    }
}
