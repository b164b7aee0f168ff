package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import linnet.demo.Performance;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.hear.Told;
import linnet.list.Take;
import linnet.plan.SongPlan;
import linnet.plan.SongPlanner;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.store.Store;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Songs of short noises, whose sums can be worked out by hand. */
class SongRendererTest {
    private static final double RATE = 48_000;

    @TempDir
    Path folder;

    private SongRenderer.Take.Intact intact = () -> {};

    /** Works that the last render took from the store. */
    private List<String> found;

    /** A bar lasts a second: 240 bpm in four. */
    private static final String HEAD = """
            song: noises
            tempo: 240 bpm
            sections: { verse: 1, chorus: 3, end: 5 }
            """;

    private Map<String, double[][]> render(String text, int jobs, Sound... takes) throws ProblemsException, IOException {
        return render(text, HEAD, jobs, takes);
    }

    private Map<String, double[][]> render(String text, String head, int jobs, Sound... takes) throws ProblemsException, IOException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, head + text);
        Song song = SongReader.read(file, Builtins.catalogue());
        SongPlan plan = SongPlanner.plan(song, RATE, List.of(takes).stream().map(Sound::channels).toList());
        Map<String, double[][]> prints = new LinkedHashMap<>();
        List<SongRenderer.Take> heard = new ArrayList<>();
        for (Sound t : takes) heard.add(new SongRenderer.Take(t, Told.nothing(), Take.of("", t).sound(), intact));
        SongRenderer renderer = new SongRenderer(plan, heard, "test", new Store(folder.resolve("store " + jobs), 1 << 30), new Sums(), jobs);
        renderer.render((print, frames) -> {
            double[][] whole = new double[print.channels()][(int) frames];
            prints.put(print.name(), whole);
            int[] at = {0};
            return List.of((x, n) -> {
                for (int c = 0; c < whole.length; c++) System.arraycopy(x[c], 0, whole[c], at[0], n);
                at[0] += n;
            });
        });
        found = renderer.found();
        return prints;
    }

    private static Samples noise(int seed, double seconds, double level) {
        double[] x = new double[(int) (seconds * RATE)];
        SplittableRandom random = new SplittableRandom(seed);
        for (int i = 0; i < x.length; i++) x[i] = level * (2 * random.nextDouble() - 1);
        return new Samples(RATE, x);
    }

    private static double db(double[] x, double from, double to) {
        double sum = 0;
        for (int i = (int) (from * RATE); i < (int) (to * RATE); i++) sum += x[i] * x[i];
        return 10 * Math.log10(sum / ((to - from) * RATE));
    }

    /** What goes into the mix adds up to it, and each print has the length of all. */
    @Test
    void printsAddUpToTheMix() throws Exception {
        Map<String, double[][]> prints = render("""
                parts:
                  one: { take: a.wav, pan: 30 % left, sends: { room: -9 dB } }
                  two: { take: b.wav, at: chorus, level: -3 dB }
                  three: { take: c.wav, at: 250 ms, polarity: flipped, into: 2 dB }
                groups: { both: { parts: [ two, three ], level: -2 dB, pan: 50 % right, sends: { room: -12 dB } } }
                returns: { room: { chain: [ reverb: { decay: 0.6 s, mix: 100 % } ], level: -1 dB } }
                moves: { chorus: { one: -6 dB, room: +3 dB } }
                prints: [ mix, vocals, one, both, room ]
                """, 2, noise(1, 3, 0.3), noise(2, 1.5, 0.3), noise(3, 2, 0.3));
        double[][] mix = prints.get("mix");
        for (int c = 0; c < 2; c++) {
            for (int i = 0; i < mix[c].length; i++) {
                // The mix was kept as 32-bit floats: half a step of those is -150 dB.
                assertEquals(mix[c][i], prints.get("one")[c][i] + prints.get("both")[c][i] + prints.get("room")[c][i], 6e-8);
                assertEquals(mix[c][i], prints.get("vocals")[c][i], 6e-8);
            }
        }
    }

    @Test
    void aPartComesWhereItIsPutAtItsLevelAndPlace() throws Exception {
        Samples take = noise(4, 1, 0.5);
        double[][] x = render("""
                parts: { one: { take: a.wav, at: bar 2 beat 3, level: -6 dB, pan: 60 % left } }
                prints: [ one ]
                """, 1, take).get("one");
        int start = (int) (1.5 * RATE);
        double gain = Math.pow(10, -6 / 20.0), t = (1 - 0.6) * Math.PI / 4;
        for (int i = 0; i < x[0].length; i++) {
            double own = i >= start && i < start + take.frames() ? take.data()[0][i - start] : 0;
            assertEquals(gain * Math.cos(t) * own, x[0][i], 1e-8);
            assertEquals(gain * Math.sin(t) * own, x[1][i], 1e-8);
        }
    }

    /** A move holds in its stretch and nowhere else, and its ramp is straight in dB: no step at the border. */
    @Test
    void aMoveHoldsInItsStretchAndRampsIntoIt() throws Exception {
        Samples take = noise(5, 4, 0.5);
        String parts = "parts: { one: { take: a.wav } }\nprints: [ one ]\n";
        double[] still = render(parts, 1, take).get("one")[0];
        double[] moved = render("moves: { chorus: { ramp: 2 beats, one: +4 dB } }\n" + parts, 1, take).get("one")[0];
        assertEquals(0, db(moved, 0, 1.4) - db(still, 0, 1.4), 0.01);
        assertEquals(4, db(moved, 2, 3.9) - db(still, 2, 3.9), 0.01);
        for (int i = 0; i < 2 * RATE; i++) {
            double expected = Math.max(0, 4 * (i / RATE - 1.5) / 0.5);
            if (still[i] != 0) assertEquals(Math.pow(10, expected / 20), moved[i] / still[i], 1e-6);
        }
    }

    /** Where one stretch ends as the next begins, the level goes straight from one to the other, and stays where it is between two alike. */
    @Test
    void movesThatTouchDoNotAddUpAtTheBorder() throws Exception {
        Samples take = noise(14, 4, 0.5);
        String parts = "parts: { one: { take: a.wav } }\nprints: [ one ]\n";
        double[] still = render(parts, 1, take).get("one")[0];
        double[] alike = render("moves: { verse: { ramp: 1 beat, one: +4 dB }, chorus: { ramp: 2 beats, one: +4 dB } }\n" + parts, 1, take).get("one")[0];
        double[] other = render("moves: { verse: { ramp: 1 beat, one: +4 dB }, chorus: { ramp: 2 beats, one: -2 dB } }\n" + parts, 1, take).get("one")[0];
        double[] longer = render("moves: { bar 2 to bar 3: { one: +4 dB }, chorus: { ramp: 6 beats, one: +4 dB } }\n" + parts, 1, take).get("one")[0];
        for (int i = 0; i < 4 * RATE; i++) {
            if (still[i] == 0) continue;
            assertEquals(Math.pow(10, 4 / 20.0), alike[i] / still[i], 1e-6, "at " + i);
            double expected = 4 - 6 * Math.max(0, Math.min(1, (i / RATE - 1.5) / 0.5));
            assertEquals(Math.pow(10, expected / 20), other[i] / still[i], 1e-6, "at " + i);
            if (i >= RATE) assertEquals(Math.pow(10, 4 / 20.0), longer[i] / still[i], 1e-6, "at " + i);
        }
    }

    /** A word is thrown as loud as the part is there. */
    @Test
    void aThrowGoesWithTheMovesOfItsPart() throws Exception {
        String song = """
                parts: { one: { take: a.wav } }
                returns: { far: { chain: [ trim ] } }
                throws: [ { part: one, word: chorus, length: 2 beats, to: far } ]
                %s
                prints: [ far ]
                """;
        Samples take = noise(15, 4, 0.5);
        double still = db(render(song.formatted(""), 1, take).get("far")[0], 2.1, 2.4);
        double moved = db(render(song.formatted("moves: { chorus: { one: -3 dB } }"), 1, take).get("far")[0], 2.1, 2.4);
        assertEquals(-3, moved - still, 0.01);
    }

    /** However loud the part and the throw are, nothing but the word is fed. */
    @Test
    void aLoudThrowIsSilentBesideTheWord() throws Exception {
        double[] far = render("""
                parts: { one: { take: a.wav, level: 10 dB } }
                returns: { far: { chain: [ trim ], level: 6 dB } }
                throws: [ { part: one, word: chorus, length: 1 beat, to: far, level: 12 dB } ]
                moves: { verse: { one: +6 dB } }
                prints: [ far ]
                """, 1, noise(16, 4, 0.5)).get("far")[0];
        for (int i = 0; i < far.length; i++) if (i < 1.99 * RATE || i > 2.5 * RATE) assertEquals(0, far[i], "at " + i);
        assertTrue(db(far, 2.02, 2.2) > 0);
    }

    @Test
    void aSendIsTakenBeforeOrAfterTheLevel() throws Exception {
        String song = """
                parts: { one: { take: a.wav, level: -20 dB, sends: { dry: %s } } }
                returns: { dry: { chain: [ trim ] } }
                prints: [ dry ]
                """;
        Samples take = noise(6, 2, 0.5);
        double after = db(render(song.formatted("-3 dB"), 1, take).get("dry")[0], 0, 2);
        double before = db(render(song.formatted("{ level: -3 dB, before: level }"), 1, take).get("dry")[0], 0, 2);
        assertEquals(20, before - after, 0.01);
    }

    @Test
    void bitsDoNotDependOnTheNumberOfJobs() throws Exception {
        String text = """
                parts:
                  one: { take: a.wav, chain: [ compressor: { aim: 3 dB } ], sends: { room: -9 dB } }
                  two: { take: b.wav, chain: [ eq: [ { high-pass: 200 Hz } ] ], pan: 40 % right, sends: { room: -9 dB } }
                returns: { room: { chain: [ reverb: { mix: 100 % } ] } }
                mix: { chain: [ limit ] }
                prints: [ mix, one ]
                """;
        Samples[] takes = {sung(7), sung(8)};
        Map<String, double[][]> once = render(text, 1, takes), twice = render(text, 3, takes);
        assertArrayEquals(once.get("mix"), twice.get("mix"));
        assertArrayEquals(once.get("one"), twice.get("one"));
        assertTrue(db(once.get("mix")[0], 0, 2) > -60);
    }

    /** A throw lives in its return alone: the part is the same to the bit, and before and after the word nothing is fed. */
    @Test
    void aThrowSendsAWordAndLeavesThePartAlone() throws Exception {
        String song = """
                parts: { one: { take: a.wav, level: -2 dB, sends: { quiet: -20 dB } } }
                returns: { far: { chain: [ trim ] }, quiet: { chain: [ trim ] } }
                %s
                prints: [ one, far ]
                """;
        Samples take = noise(9, 4, 0.5);
        double[][] without = render(song.formatted(""), 1, take).get("one");
        Map<String, double[][]> with = render(song.formatted("throws: [ { part: one, word: verse bar 2 beat 2, length: 1 beat, to: far, level: -6 dB, in: 20 "
                + "ms, out: 100 ms } ]"), 1, take);
        assertArrayEquals(without, with.get("one"));
        double[] far = with.get("far")[0];
        for (int i = 0; i < far.length; i++) if (i < 1.25 * RATE || i > 1.6 * RATE + 1) assertEquals(0, far[i], "at " + i);
        assertEquals(db(without[0], 1.3, 1.5) - 6 + 2 - 2, db(far, 1.3, 1.5), 0.01);
        double before = 0;
        for (int i = (int) (1.25 * RATE); i < 1.6 * RATE; i++) {
            double gain = far[i] / take.data()[0][i];
            assertEquals(before, gain, 0.004, "a step at " + i);
            before = gain;
        }
    }

    @Test
    void aStoppedThrowGivesWayUntilTheNext() throws Exception {
        double[] far = render("""
                parts: { one: { take: a.wav } }
                returns: { far: { chain: [ reverb: { decay: 3 s, mix: 100 % } ] } }
                throws:
                  - { part: one, word: bar 1, length: 1 beat, to: far, stop: 2 beats }
                  - { part: one, word: bar 3, length: 1 beat, to: far }
                prints: [ far ]
                """, 1, noise(10, 4, 0.5)).get("far")[0];
        assertTrue(db(far, 0.3, 0.6) > -50);
        for (int i = (int) (1.1 * RATE); i < 1.9 * RATE; i++) assertEquals(0, far[i]);
        assertTrue(db(far, 2.2, 2.6) > -50);
    }

    /** What gives way is what the return makes of the word: what is sent there stays, to the bit, and so does another word that is not over. */
    @Test
    void aStopEndsItsOwnWordAlone() throws Exception {
        String song = """
                parts: { one: { take: a.wav, sends: { far: -12 dB } } }
                returns: { far: { chain: [ reverb: { decay: 3 s } ] } }
                throws: [ %s ]
                prints: [ far ]
                """, stopped = "{ part: one, word: bar 1, length: 1 beat, to: far, stop: 2 beats }", other = "{ part: one, word: bar 1 beat 2, length: 1 beat, to: far }";
        Samples take = noise(10, 4, 0.5);
        double[] sent = render(song.formatted(""), 1, take).get("far")[0], far = render(song.formatted(stopped), 1, take).get("far")[0];
        int over = (int) (1.1 * RATE);
        assertTrue(db(far, 0.3, 0.6) > db(sent, 0.3, 0.6) + 6);
        assertArrayEquals(Arrays.copyOfRange(sent, over, sent.length), Arrays.copyOfRange(far, over, sent.length));
        double[] ringing = render(song.formatted(other), 1, take).get("far")[0], both = render(song.formatted(stopped + ", " + other), 1, take).get("far")[0];
        assertArrayEquals(Arrays.copyOfRange(ringing, over, sent.length), Arrays.copyOfRange(both, over, sent.length));
    }

    /** A room that was shut still rings: what is left of a word in it must not come back with the next. */
    @Test
    void aStoppedWordDoesNotComeBackWithTheNext() throws Exception {
        String song = """
                parts: { one: { take: a.wav } }
                returns: { far: { chain: [ reverb: { decay: 3 s } ] } }
                throws: [ %s { part: one, word: bar 3, length: 1 beat, to: far, stop: 4 beats } ]
                prints: [ far, throws ]
                """, first = "{ part: one, word: bar 1, length: 1 beat, to: far, stop: 2 beats },";
        Samples take = noise(10, 4, 0.5);
        Map<String, double[][]> alone = render(song.formatted(""), 1, take), both = render(song.formatted(first), 1, take);
        int over = (int) (1.1 * RATE);
        for (String print : List.of("far", "throws")) {
            double[] x = alone.get(print)[0], y = both.get(print)[0];
            assertTrue(db(y, 0.3, 0.6) > -50);
            assertArrayEquals(Arrays.copyOfRange(x, over, x.length), Arrays.copyOfRange(y, over, x.length), print);
        }
    }

    /** An echo of an eighth would keep the first tempo of a song that has two; so it is refused. */
    @Test
    void noteValuesWantOneTempo() {
        Samples take = noise(15, 1, 0.3);
        String song = "parts: { one: { take: a.wav, chain: [ delay: { time: 1/8 } ] } }\nprints: [ one ]\n";
        assertDoesNotThrow(() -> render(song, 1, take));
        ProblemsException said = assertThrows(ProblemsException.class,
                () -> render(song, HEAD.replace("240 bpm", "{ bar 1: 240 bpm, bar 3: 200 bpm }"), 1, take));
        assertTrue(said.getMessage().contains("1/8 needs a tempo"), said.getMessage());
    }

    /** What is dry comes from the part: a room in a return is whole without being told so. */
    @Test
    void aReturnIsWet() throws Exception {
        String song = "parts: { one: { take: a.wav, sends: { room: 0 dB } } }\nreturns: { room: { chain: [ reverb%s ] } }\nprints: [ room ]\n";
        Samples take = noise(14, 1, 0.3);
        assertArrayEquals(render(song.formatted(": { mix: 100 % }"), 1, take).get("room"), render(song.formatted(""), 2, take).get("room"));
    }

    /** Where nothing can be kept, the prints are the same. */
    @Test
    void withoutAPlaceForTheStoreThePrintsAreTheSame() throws Exception {
        String song = "parts: { one: { take: a.wav, chain: [ eq: [ { high-pass: 200 Hz } ] ] } }\nprints: [ mix ]\n";
        Samples take = noise(13, 1, 0.3);
        double[][] kept = render(song, 1, take).get("mix");
        Files.writeString(folder.resolve("store 2"), "a file where the folder should be");
        assertArrayEquals(kept, render(song, 2, take).get("mix"));
        assertEquals(List.of(), found);
    }

    /** What a change touches is rendered, everything else is taken from the store, and the prints are those of a render from nothing. */
    @Test
    void aChangeRendersWhatItTouches() throws Exception {
        String song = """
                parts:
                  one: { take: a.wav, chain: [ eq: [ { high-pass: 200 Hz } ] ], sends: { room: -9 dB } }
                  two: { take: b.wav, chain: [ eq: [ { bell: 2 kHz, gain: %s dB } ] ] }
                returns: { room: { chain: [ reverb: { mix: 100 %% } ] } }
                prints: [ mix, room ]
                """;
        Samples[] takes = {noise(11, 1, 0.3), noise(12, 1, 0.3)};
        Map<String, double[][]> before = render(song.formatted("3"), 1, takes);
        assertEquals(List.of(), found);
        assertArrayEquals(before.get("mix"), render(song.formatted("3"), 1, takes).get("mix"));
        assertEquals(List.of("one", "two", "room"), found);
        Map<String, double[][]> after = render(song.formatted("4"), 1, takes);
        assertEquals(List.of("one", "room"), found);
        assertArrayEquals(before.get("room"), after.get("room"));
        assertArrayEquals(render(song.formatted("4"), 2, takes).get("mix"), after.get("mix"));
        assertEquals(List.of(), found);
    }

    /** A buzz with pauses, so that there is something to aim at. */
    private static Samples sung(int seed) {
        Samples noise = noise(seed, 3, 0.001);
        double[] x = noise.data()[0];
        for (int i = 0; i < x.length; i++) {
            double t = i / RATE;
            if (t % 1 < 0.7) for (int k = 1; k < 12; k++) x[i] += 0.2 / k * Math.sin(2 * Math.PI * (180 + 20 * seed) * k * t);
        }
        return noise;
    }

    /** What was kept of it as it was is not printed for it, be it edited or not. */
    @Test
    void aPolarityThatIsTurnedIsHeardInTheNextPrint() throws Exception {
        Samples take = noise(12, 2, 0.3);
        for (String edits : List.of("", ", edits: [ { mute: 0.5 s to 0.8 s } ]")) {
            double[][] plain = render("parts: { one: { take: a.wav" + edits + " } }\nprints: [ one ]\n", 1, take).get("one");
            double[][] turned = render("parts: { one: { take: a.wav, polarity: flipped" + edits + " } }\nprints: [ one ]\n", 1, take).get("one");
            assertTrue(db(plain[0], 0, 0.5) > -40);
            for (int c = 0; c < 2; c++) for (int i = 0; i < plain[c].length; i++) assertEquals(-plain[c][i], turned[c][i], 0);
        }
    }

    /** With the sounds gone and the facts there, everything is made again, and is the same to the bit. */
    @Test
    void factsThatAreRememberedMakeTheSameSong() throws Exception {
        Sound take = new Samples(RATE, Performance.sing(SevenLanterns.lead(), Singer.high(), RATE).samples());
        String text = """
                parts:
                  lead:
                    take: a.wav
                    at: bar 2
                    chain:
                      - gate: { threshold: 6 dB over noise }
                      - breaths
                      - compressor: { aim: 4 dB, makeup: match }
                      - multiband: { splits: [ 300 Hz ], bands: [ { aim: 2 dB }, {} ] }
                      - de-ess
                prints: [ lead ]
                """;
        double[][] first = render(text, 1, take).get("lead");
        try (Stream<Path> kept = Files.list(folder.resolve("store 1"))) {
            for (Path f : kept.toList()) if (f.toString().endsWith(".sound")) Files.delete(f);
        }
        double[][] second = render(text, 1, take).get("lead");
        assertEquals(List.of(), found);
        assertArrayEquals(first[0], second[0]);
        assertArrayEquals(first[0], render(text.replace("aim: 4 dB", "aim: 4.0 dB"), 2, take).get("lead")[0]);
        assertFalse(java.util.Arrays.equals(first[0], render(text.replace("aim: 4 dB", "aim: 5 dB"), 1, take).get("lead")[0]), "another aim is found anew");
    }

    /** What is kept under the signature of a take must not be of another. */
    @Test
    void aTakeThatIsChangedMeanwhileSpoilsNothing() throws Exception {
        String text = "parts: { one: { take: a.wav, level: -6 dB, chain: [ compressor: { aim: 3 dB } ] } }\nprints: [ one ]\n";
        intact = () -> {
            throw new IOException("it was changed");
        };
        assertThrows(IOException.class, () -> render(text, 1, noise(1, 1, 0.1)));
        try (Stream<Path> kept = Files.list(folder.resolve("store 1"))) {
            assertEquals(List.of(), kept.map(f -> f.getFileName().toString()).toList(), "nothing that was heard is kept either");
        }
        intact = () -> {};
        render(text, 1, noise(1, 1, 0.1));
        assertEquals(List.of(), found);
        render(text, 1, noise(1, 1, 0.1));
        assertEquals(List.of("one"), found);
    }

    /** The same for what the chain of a group makes of each of its parts, where all else was made before. */
    @Test
    void aTakeThatIsChangedWhileAGroupIsSharedOutSpoilsNothing() throws Exception {
        String text = """
                parts: { one: { take: a.wav, level: -6 dB }, two: { take: b.wav } }
                groups: { both: { parts: [ one, two ], chain: [ compressor: { aim: 3 dB } ] } }
                prints: [ mix ]
                """, shared = text.replace("[ mix ]", "[ mix, one, two ]");
        Samples[] takes = {noise(1, 1, 0.1), noise(2, 1, 0.1)};
        render(text, 1, takes);
        assertEquals(3, kept());
        intact = () -> {
            throw new IOException("it was changed");
        };
        assertThrows(IOException.class, () -> render(shared, 1, takes));
        assertEquals(3, kept());
        intact = () -> {};
        render(shared, 1, takes);
        assertEquals(List.of("one", "two", "both"), found);
        assertEquals(5, kept());
    }

    /** How many sounds are in the store. */
    private long kept() throws IOException {
        try (Stream<Path> all = Files.list(folder.resolve("store 1"))) {
            return all.filter(f -> f.toString().endsWith(".sound")).count();
        }
    }
}
