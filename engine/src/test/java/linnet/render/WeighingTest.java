package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import linnet.dsp.Samples;
import linnet.dsp.loudness.Loudness;
import linnet.dsp.loudness.TruePeak;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Told;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Levels that are found by ear, measured again in the prints: loudness after ITU-R BS.1770. */
class WeighingTest {
    private static final double RATE = SongRig.RATE;

    @TempDir
    Path folder;

    private static double lufs(double[][] x, double from, double to) {
        Loudness meter = new Loudness(RATE, x.length);
        double[][] part = Arrays.stream(x).map(c -> Arrays.copyOfRange(c, (int) (from * RATE), (int) Math.min(c.length, to * RATE))).toArray(double[][]::new);
        meter.add(part, part[0].length);
        return meter.integrated();
    }

    /** Noise that sounds in some seconds only. */
    private static Samples sounding(int seed, double level, double... spans) {
        Samples noise = SongRig.noise(seed, 4, level);
        for (int i = 0; i < noise.frames(); i++) {
            boolean on = false;
            for (int k = 0; k < spans.length; k += 2) on |= i >= spans[k] * RATE && i < spans[k + 1] * RATE;
            if (!on) noise.data()[0][i] = 0;
        }
        return noise;
    }

    /** The return lies as far under the dry voice as is wished, be it linear or not, and whatever else is sent there. */
    @Test
    void aReturnLiesAsFarUnderTheVoiceAsIsWished() throws Exception {
        SongRig rig = new SongRig(folder);
        for (String chain : List.of("reverb: { decay: 1.2 s }", "delay: { time: 120 ms }", "compressor: { threshold: -24 dB, ratio: 2:1 }, reverb",
                "saturate: { drive: 12 dB }, reverb")) {
            String song = """
                    parts: { one: { take: a.wav, level: -4 dB, pan: 30 %% left, sends: { room: %s } }, two: { take: b.wav, sends: { other: -6 dB } } }
                    returns: { room: { chain: [ %s ], level: -3 dB }, other: { chain: [ trim ] } }
                    prints: [ one, room ]
                    """;
            Samples one = sounding(1, 0.2, 0.3, 1.5, 2, 3.4), two = SongRig.noise(2, 4, 0.1);
            Map<String, double[][]> prints = rig.render(song.formatted("10 LU under", chain), 1, one, two);
            assertEquals(-10, lufs(prints.get("room"), 0, 99) - lufs(prints.get("one"), 0, 99), 0.1, chain);
            String found = rig.levels.get(0).toString();
            assertTrue(found.startsWith("Found[kind=SEND, what=one to room, number=") && found.endsWith(" dB, why=10 LU under one]"), found);
            prints = rig.render(song.formatted("{ level: 4 LU under, before: level }", chain), 1, one, two);
            assertEquals(-4, lufs(prints.get("room"), 0, 99) - lufs(prints.get("one"), 0, 99), 0.1, chain);
        }
    }

    /** A balance counts where both sound, goes by the base and not by moves, and sends follow. */
    @Test
    void aBalanceIsMeasuredWhereBothSound() throws Exception {
        SongRig rig = new SongRig(folder);
        String song = """
                parts: { lead: { take: a.wav, sends: { room: -9 dB } }, left: { take: b.wav }, right: { take: c.wav } }
                instrumental: { take: d.wav, level: -2 dB }
                groups: { doubles: { parts: [ left, right ], spread: 90 % } }
                returns: { room: { chain: [ trim%s ] } }
                balance: { doubles: 9 LU under lead, lead: 1.5 LU over instrumental }
                prints: [ lead, instrumental, doubles, room ]
                """.replace("90 %", "90 %%");
        Samples lead = sounding(3, 0.05, 1, 3), left = sounding(4, 0.2, 2, 4), right = sounding(5, 0.25, 2, 4), bed = SongRig.noise(6, 4, 0.1);
        // Loud where nobody sings: that is no matter.
        for (int i = 0; i < RATE; i++) bed.data()[0][i] *= 4;
        Map<String, double[][]> x = rig.render(song.formatted(""), 1, lead, left, right, bed);
        assertEquals(1.5, lufs(x.get("lead"), 1, 3) - lufs(x.get("instrumental"), 1, 3), 0.1);
        assertEquals(-9, lufs(x.get("doubles"), 2, 3) - lufs(x.get("lead"), 2, 3), 0.1);
        assertEquals(-9, lufs(x.get("room"), 1, 3) - lufs(x.get("lead"), 1, 3), 0.05);
        List<?> before = rig.levels;
        assertTrue(rig.levels.get(0).why().equals("1.5 LU over instrumental, where both sound: 2 s") && rig.levels.get(1).why()
                .startsWith("9 LU under lead, where both sound: 1 s"), rig.levels.toString());
        Map<String, double[][]> moved = rig.render(song.formatted(": { level: 5 dB }") + "moves: { chorus: { lead: +3 dB } }\n", 1, lead, left, right, bed);
        assertEquals(before, rig.levels, "what is not measured has no part in it");
        assertEquals(3, lufs(moved.get("lead"), 2.1, 3) - lufs(x.get("lead"), 2.1, 3), 0.02);
    }

    /** What is balanced stays where it was panned: at constant power 50 % left are tan² 67.5°, or 7.66 dB, between the sides. */
    @Test
    void whatIsBalancedStaysAtItsPlace() throws Exception {
        SongRig rig = new SongRig(folder);
        Map<String, double[][]> x = rig.render("""
                parts: { one: { take: a.wav, pan: 50 % left }, two: { take: b.wav }, three: { take: c.wav } }
                groups: { both: { parts: [ three ], pan: 50 % right } }
                balance: { one: 6 LU under two, both: 9 LU under two }
                prints: [ one, both ]
                """, 1, SongRig.noise(16, 4, 0.1), SongRig.noise(17, 4, 0.1), SongRig.noise(18, 4, 0.1));
        double sides = 20 * Math.log10(Math.tan(Math.toRadians(67.5)));
        assertEquals(sides, SongRig.db(x.get("one")[0], 0.5, 3.5) - SongRig.db(x.get("one")[1], 0.5, 3.5), 0.01);
        assertTrue(SongRig.db(x.get("both")[1], 0.5, 3.5) - SongRig.db(x.get("both")[0], 0.5, 3.5) > 3, "the group is on the right");
    }

    /** A long stretch 20 LU softer than the line, such as a hum or what spills in from the headphones, is under the relative gate of 10 LU of the standard. */
    @Test
    void aSoftStretchDoesNotMoveABalance() throws Exception {
        SongRig rig = new SongRig(folder);
        String song = "parts: { lead: { take: a.wav } }\ninstrumental: { take: b.wav }\nbalance: { lead: 2 LU over instrumental }\n"
                + "prints: [ lead, instrumental ]\n";
        Samples sung = sounding(19, 0.1, 0.5, 1.5), hummed = SongRig.noise(19, 4, 0.1), bed = SongRig.noise(20, 4, 0.1);
        for (int i = 0; i < hummed.frames(); i++) if (i < 0.5 * RATE || i >= 1.5 * RATE) hummed.data()[0][i] *= 0.1;
        rig.render(song, 1, sung, bed);
        String alone = rig.levels.get(0).value();
        Map<String, double[][]> x = rig.render(song, 1, hummed, bed);
        assertEquals(alone, rig.levels.get(0).value());
        assertEquals(2, lufs(x.get("lead"), 0.5, 1.5) - lufs(x.get("instrumental"), 0.5, 1.5), 0.1);
    }

    /** A move to a value ends there, whatever the level is found to be: to the same bits as where it is written. */
    @Test
    void aMoveToAValueGoesFromWhatIsFound() throws Exception {
        SongRig rig = new SongRig(folder);
        String song = "parts: { one: { take: a.wav, LEVELsends: { room: SEND } }, two: { take: b.wav } }\n"
                + "returns: { room: { chain: [ reverb: { decay: 0.4 s } ] } }\n",
                moves = "moves: { chorus: { one: to -3 dB, one to room: to -5 dB } }\nprints: [ one, room ]\n";
        Samples one = SongRig.noise(14, 4, 0.1), two = SongRig.noise(15, 4, 0.02);
        Map<String, double[][]> x = rig.render(song.replace("LEVEL", "").replace("SEND", "9 LU under") + "balance: { one: 2 LU over two }\n" + moves, 1,
                one, two);
        String level = rig.levels.get(0).value(), send = rig.levels.get(1).value();
        Map<String, double[][]> written = rig.render(song.replace("LEVEL", "level: " + level + ", ").replace("SEND", send) + moves, 1, one, two);
        for (String p : List.of("one", "room")) assertArrayEquals(x.get(p), written.get(p), p);
        double[] sung = one.data()[0], heard = x.get("one")[0];
        int at = (int) (3.2 * RATE);
        // The centre at constant power.
        assertEquals(-3 - 10 * Math.log10(2), 20 * Math.log10(Math.abs(heard[at] / sung[at])), 0.001);
    }

    /**
     * Settings that move are none of what is measured either; a level found is the one that is told, so that it can be written in its place, and a hair in what
     * it is measured on changes nothing.
     */
    @Test
    void whatIsToldIsWhatIsUsed() throws Exception {
        SongRig rig = new SongRig(folder);
        String song = "parts: { one: { take: a.wav, chain: [ trim: { level: %s dB } ]%s }, two: { take: b.wav } }\n"
                + "returns: { room: { chain: [ reverb: { decay: 0.4 s } ] } }\n";
        Samples one = SongRig.noise(14, 4, 0.1), two = SongRig.noise(15, 4, 0.2);
        Map<String, double[][]> x = rig.render(song.formatted("0", ", sends: { room: 9 LU under }")
                + "balance: { one: 2 LU over two }\nprints: [ one, room ]\n", 1, one, two);
        List<?> before = rig.levels;
        String level = rig.levels.get(0).value(), send = rig.levels.get(1).value();
        Map<String, double[][]> written = rig.render(song.formatted("0", ", level: " + level + ", sends: { room: " + send + " }") + "prints: [ one, room ]\n",
                1, one, two);
        for (String p : List.of("one", "room")) assertArrayEquals(x.get(p), written.get(p), p);
        rig.render(song.formatted("0", ", sends: { room: 9 LU under }")
                + "balance: { one: 2 LU over two }\nmoves: { chorus: { one trim level: +6 dB, room reverb mix: to 20 % } }\nprints: [ one, room ]\n", 1,
                one, two);
        assertEquals(before, rig.levels);
    }

    /** While the lead sounds the return is lower by what is wished, all through its syllables, and comes back after it; nothing else changes. */
    @Test
    void aReturnGivesWayToTheDryLead() throws Exception {
        SongRig rig = new SongRig(folder);
        String song = """
                parts: { lead: { take: a.wav, sends: { room: -20 dB } }, pad: { take: b.wav, sends: { room: { level: 0 dB, before: level } }, level: -20 dB } }
                returns: { room: { chain: [ trim ]%s } }
                mix: { chain: [ limit: { ceiling: -3 dBTP } ] }
                prints: [ mix, lead, pad, room ]
                """;
        Samples lead = sounding(7, 0.2, 1, 1.2, 1.3, 1.5, 1.62, 1.9), pad = new Samples(RATE, new double[4 * (int) RATE]);
        Arrays.fill(pad.data()[0], 0.1);
        Map<String, double[][]> open = rig.render(song.formatted(""), 1, lead, pad);
        Map<String, double[][]> ducked = rig.render(song.formatted(", duck: { from: lead, by: 6 dB, attack: 10 ms, release: 250 ms }"), 1, lead, pad);
        assertEquals(List.of("lead", "pad", "room"), rig.found, "its own work is the same");
        assertArrayEquals(open.get("lead"), ducked.get("lead"));
        assertEquals("[Found[kind=DUCK, what=room, number=-6.0, value=-6 dB, why=while lead sounds: 1 s]]", rig.levels.toString());
        double[] a = open.get("room")[0], b = ducked.get("room")[0];
        double last = 0;
        for (int i = 0; i < 4 * RATE; i++) {
            if (Math.abs(a[i]) < 1e-3) continue;
            double t = i / RATE, db = 20 * Math.log10(b[i] / a[i]);
            if (t < 0.99) assertEquals(0, db, 1e-6, "at " + t);
            if (t > 1.04 && t < 1.88) assertEquals(-6, db, 0.5, "at " + t);
            if (t > 3.4) assertEquals(0, db, 0.05, "at " + t);
            // 6 dB in 10 ms begin with 0.6 dB a millisecond.
            if (i > 0 && Math.abs(a[i - 1]) >= 1e-3) assertEquals(last, db, 0.015, "a step at " + t);
            last = db;
        }
        assertEquals(-6 * Math.exp(-1), 20 * Math.log10(b[(int) (2.15 * RATE)] / a[(int) (2.15 * RATE)]), 0.3);
        assertTrue(SongRig.residue(ducked, "mix", List.of("lead", "pad", "room")) < -120);
    }

    /** A breath between two lines, loud as it may be, keeps nothing down. */
    @Test
    void aBreathIsNoLine() throws Exception {
        SongRig rig = new SongRig(folder);
        Samples lead = sounding(14, 0.2, 0.5, 1.5, 2.2, 2.6, 3, 3.8), pad = new Samples(RATE, new double[4 * (int) RATE]);
        Arrays.fill(pad.data()[0], 0.1);
        Told breath = told(mark(Mark.Kind.BREATH, 2.19, 2.61));
        String song = "parts: { lead: { take: a.wav }, pad: { take: b.wav, sends: { room: 0 dB } } }\n"
                + "returns: { room: { chain: [ trim ], duck: { from: lead, by: 6 dB, release: 60 ms } } }\nprints: [ room ]\n";
        for (boolean marked : new boolean[] {false, true}) {
            double[] room = rig.render(song, 1, marked ? List.of(breath) : List.of(new Told(Optional.of(new Marks(List.of())))), lead, pad).get("room")[0];
            assertEquals(marked ? 0 : -6, SongRig.db(room, 2.35, 2.55) - SongRig.db(room, 0.1, 0.4), 0.2);
            assertEquals(-6, SongRig.db(room, 3.2, 3.6) - SongRig.db(room, 0.1, 0.4), 0.2);
        }
    }

    /**
     * Of two voices in a group the first breathes alone at 2.2 s, inside its own line, and where the other sings at 3.2 s: there it is no gap. Both lists tell
     * of lines.
     */
    @Test
    void aBreathOfAGroupIsNoLineWhereNobodySings() throws Exception {
        SongRig rig = new SongRig(folder);
        Samples one = sounding(14, 0.2, 0.5, 1.5, 2.2, 2.6, 3.2, 3.5), two = sounding(15, 0.2, 0.6, 1.5, 3, 3.8),
                pad = new Samples(RATE, new double[4 * (int) RATE]);
        Arrays.fill(pad.data()[0], 0.1);
        List<Told> told = List.of(told(mark(Mark.Kind.PHRASE, 0.5, 2.7), mark(Mark.Kind.BREATH, 2.19, 2.61), mark(Mark.Kind.BREATH, 3.19, 3.51)),
                told(mark(Mark.Kind.PHRASE, 0.6, 1.5), mark(Mark.Kind.PHRASE, 3, 3.8)));
        String song = """
                parts: { one: { take: a.wav }, two: { take: b.wav }, pad: { take: c.wav, sends: { room: 0 dB } } }
                groups: { both: { parts: [ one, two ] } }
                returns: { room: { chain: [ trim ], duck: { from: both, by: 6 dB, release: 60 ms } } }
                prints: [ room ]
                """;
        double[] room = rig.render(song, 1, told, one, two, pad).get("room")[0];
        double open = SongRig.db(room, 0.1, 0.4);
        assertEquals(-6, SongRig.db(room, 0.8, 1.4) - open, 0.2);
        assertEquals(0, SongRig.db(room, 2.25, 2.55) - open, 0.2);
        assertEquals(-6, SongRig.db(room, 3.2, 3.6) - open, 0.2);
        assertEquals("[Found[kind=DUCK, what=room, number=-6.0, value=-6 dB, why=while both sounds: 2 s]]", rig.levels.toString());
    }

    /** A brush or a shaker may sound like a breath, and is none. */
    @Test
    void whatIsPlayedDoesNotBreathe() throws Exception {
        SongRig rig = new SongRig(folder);
        Samples lead = sounding(14, 0.2, 0.5, 3.8), band = sounding(15, 0.2, 0.6, 1.5, 2.2, 2.6), pad = new Samples(RATE, new double[4 * (int) RATE]);
        Arrays.fill(pad.data()[0], 0.1);
        String song = """
                parts: { lead: { take: a.wav }, pad: { take: b.wav, sends: { room: 0 dB } } }
                instrumental: { take: c.wav }
                returns: { room: { chain: [ trim ], duck: { from: instrumental, by: 6 dB, release: 60 ms } } }
                prints: [ room ]
                """;
        double[] room = rig.render(song, 1, List.of(told(), told(), told(mark(Mark.Kind.PHRASE, 0.6, 1.5), mark(Mark.Kind.BREATH, 2.19, 2.61))), lead, pad,
                band).get("room")[0];
        assertEquals(-6, SongRig.db(room, 2.3, 2.55) - SongRig.db(room, 0.1, 0.4), 0.2);
    }

    private static Told told(Mark... marks) {
        return new Told(Optional.of(new Marks(List.of(marks))));
    }

    private static Mark mark(Mark.Kind kind, double from, double to) {
        return new Mark(kind, (long) (from * RATE), (long) (to * RATE), 1, false);
    }

    /** Levels are found before anything gives way: whoever reads them is told so. */
    @Test
    void aLevelOfWhatGivesWayIsToldAsSuch() throws Exception {
        SongRig rig = new SongRig(folder);
        Samples lead = sounding(7, 0.2, 1, 1.9, 2.5, 3.5), band = SongRig.noise(3, 4, 0.1);
        rig.render("""
                parts: { lead: { take: a.wav, sends: { room: 15 LU under } } }
                instrumental: { take: b.wav, duck: { from: lead, by: 2 dB } }
                returns: { room: { chain: [ reverb: { decay: 0.4 s } ], duck: { from: lead, by: 4 dB } } }
                balance: { instrumental: 3 LU under lead }
                prints: [ room ]
                """, 1, lead, band);
        String levels = rig.levels.toString();
        assertTrue(levels.contains("15 LU under lead, before it gives way to lead by 4 dB]"), levels);
        assertTrue(levels.contains(" s, before it gives way to lead by 2 dB]"), levels);
    }

    /** The mix comes as loud as is wished under its ceiling; what costs too much is said. */
    @Test
    void theMixComesAsLoudAsIsWished() throws Exception {
        SongRig rig = new SongRig(folder);
        String song = "parts: { one: { take: a.wav } }\nmix: { loudness: %s LUFS, ceiling: -1 dBTP, chain: [ eq: [ { high-pass: 60 Hz } ] ] }\n"
                + "prints: [ mix, one ]\n";
        Samples take = SongRig.noise(8, 4, 0.1);
        for (int i = 0; i < take.frames(); i += 4000) take.data()[0][i] *= 6;
        for (double wished : new double[] {-30, -16, -12}) {
            Map<String, double[][]> x = rig.render(song.formatted(wished), 1, take);
            assertEquals(wished, lufs(x.get("mix"), 0, 99), 0.2);
            TruePeak peak = new TruePeak(2);
            peak.add(x.get("mix"), x.get("mix")[0].length);
            assertTrue(peak.dbtp() <= -1, wished + ": " + peak.dbtp());
            assertTrue(SongRig.residue(x, "mix", List.of("one")) < -120);
        }
        assertTrue(rig.levels.get(0).why().startsWith("-12 LUFS, of which limiting takes "), rig.levels.toString());
        ProblemsException said = assertThrows(ProblemsException.class, () -> rig.render(song.formatted("-5"), 1, take));
        assertTrue(said.getMessage().contains("under -1 dBTP: wish for less, or even out what is loud before it"), said.getMessage());
    }

    /**
     * The chain of the mix hears all of it, and the mix is as loud as is wished: what changes late in the song changes nothing before it, to the bit, and what
     * is told can be written instead.
     */
    @Test
    void whatComesLateLeavesWhatComesBeforeAsItWas() throws Exception {
        SongRig rig = new SongRig(folder);
        String song = "parts: { one: { take: a.wav }, two: { take: b.wav } }\nmix: { ceiling: -1 dBTP, %s }\nmoves: { chorus: { two: %s } }\n"
                + "prints: [ mix, one ]\n";
        Samples one = SongRig.noise(8, 4, 0.1), two = SongRig.noise(9, 4, 0.01);
        String wished = "loudness: -16 LUFS, chain: [ compressor: { aim: 3 dB, detector: rms } ]";
        Map<String, double[][]> before = rig.render(song.formatted(wished, "-6 dB"), 1, one, two),
                after = rig.render(song.formatted(wished, "-9 dB"), 1, one, two);
        int early = (int) (1.9 * SongRig.RATE);
        for (String print : List.of("mix", "one")) {
            assertArrayEquals(Arrays.copyOf(before.get(print)[0], early), Arrays.copyOf(after.get(print)[0], early), print);
        }
        assertTrue(SongRig.residue(Map.of("before", before.get("mix"), "after", after.get("mix")), "after", List.of("before")) > -60, "nothing was changed");
        String gain = rig.levels.get(0).value();
        Map<String, double[][]> written = rig.render(song.formatted("chain: [ compressor: { aim: 3 dB, detector: rms }, trim: { level: " + gain
                + " }, limit: { ceiling: -1 dBTP } ]", "-9 dB").replace("ceiling: -1 dBTP, chain", "chain"), 1, one, two);
        assertArrayEquals(after.get("one"), written.get("one"));
    }

    /** With the sounds gone from the store the measurements are still there, and the levels are the same; a change of what they depend on is measured. */
    @Test
    void whatWasMeasuredIsRemembered() throws Exception {
        SongRig rig = new SongRig(folder);
        String song = "parts: { one: { take: a.wav, sends: { room: 10 LU under } }, two: { take: b.wav } }\n"
                + "returns: { room: { chain: [ reverb%s ], duck: { from: two, by: 3 dB } } }\nbalance: { one: 2 LU over two }\nprints: [ mix ]\n";
        Samples one = SongRig.noise(12, 4, 0.1), two = SongRig.noise(13, 4, 0.2);
        Map<String, double[][]> first = rig.render(song.formatted(""), 1, one, two);
        List<?> levels = rig.levels;
        try (var files = java.nio.file.Files.list(folder.resolve("store 1"))) {
            for (Path f : files.toList()) if (f.toString().endsWith(".sound")) java.nio.file.Files.delete(f);
        }
        assertArrayEquals(first.get("mix"), rig.render(song.formatted(""), 1, one, two).get("mix"));
        assertEquals(levels, rig.levels);
        assertEquals(List.of(), rig.found, "nothing had to be rendered to measure it");
        rig.render(song.formatted(": { high-pass: 2 kHz }"), 1, one, two);
        assertTrue(!levels.equals(rig.levels), "another room is measured anew");
    }

    @Test
    void whatCannotBeMeasuredIsTold() {
        SongRig rig = new SongRig(folder);
        Samples early = sounding(9, 0.1, 0, 1), late = sounding(10, 0.1, 2, 3), silent = sounding(11, 0);
        String song = "parts: { one: { take: a.wav%s }, two: { take: b.wav } }\nreturns: { room: { chain: [ trim ] } }\n%sprints: [ mix ]\n";
        assertEquals("7:12: 'one' and 'two' never sound together: give 'one' a level",
                message(() -> rig.render(song.formatted("", "balance: { one: 1 LU over two }\n").replace("parts", "\nparts"), 1, early, late)));
        assertEquals("4:39: what 'one' makes sound in 'room' is too soft to be measured; give the send a level in dB",
                message(() -> rig.render(song.formatted(", sends: { room: 9 LU under }", ""), 1, silent, late)));
    }

    private interface Doing {
        void run() throws Exception;
    }

    private String message(Doing what) {
        String said = assertThrows(ProblemsException.class, what::run).getMessage().lines().findFirst().orElseThrow();
        return said.replaceFirst(".*song.yaml:", "");
    }
}
