package linnet.step.builtin;

import static linnet.step.builtin.Tidied.RATE;
import static linnet.step.builtin.Tidied.assertSameOutside;
import static linnet.step.builtin.Tidied.db;
import static linnet.step.builtin.Tidied.found;
import static linnet.step.builtin.Tidied.mark;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import linnet.Rig;
import linnet.Voices;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Butterworth;
import linnet.hear.Ear;
import linnet.hear.Mark;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Breaths lowered and removed. Limits: within 1 dB of the request, fades of 10 ms or more; common practice. */
class BreathsTest {
    private static final Performance LEAD = Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), RATE);
    private static final Samples TAKE = Tidied.take(LEAD);
    private static final double[] X = TAKE.data()[0];
    private static final List<Mark> MARKS = Tidied.marks(LEAD);

    private static final int FADE = RATE / 50;

    private static Rig.Result through(String row, Samples take, List<Mark> marks) {
        return Rig.usual().exact().render(row, take, marks);
    }

    private static List<Mark> breaths(List<Mark> marks) {
        return marks.stream().filter(m -> m.kind() == Mark.Kind.BREATH).toList();
    }

    /** With the fades that may lie in the room around them; never more. */
    private static List<long[]> spans(List<Mark> marks) {
        return breaths(marks).stream().map(m -> new long[] {m.from() - FADE, m.to() + FADE}).toList();
    }

    /** The level of the room where nobody has breathed yet. */
    private static double room(double[] x) {
        return db(x, RATE / 10, RATE);
    }

    @ParameterizedTest
    @ValueSource(doubles = {3, 6, 9, 12, 24})
    void aBreathIsLoweredByWhatIsAskedAndNothingElseIsTouched(double lower) {
        double[] y = through("- breaths: { lower: " + lower + " dB }", TAKE, MARKS).mono();
        for (Mark m : breaths(MARKS)) {
            long core = RATE / 50;
            assertEquals(lower, db(X, m.from() + core, m.to() - core) - db(y, m.from() + core, m.to() - core), 0.01);
            // Fades are straight in dB: after 5 of 20 ms a quarter of the way is gone.
            long from = firstChanged(X, y, m.from() - FADE);
            for (int i = 0; i < 240; i++) assertTrue(Math.abs(y[(int) from + i]) >= Math.abs(X[(int) from + i]) * Math.pow(10, -lower / 79));
        }
        assertSameOutside(X, y, spans(MARKS));
    }

    private static long firstChanged(double[] x, double[] y, long from) {
        while (x[(int) from] == y[(int) from]) from++;
        return from;
    }

    /** Words and what is between a word and a breath that follows at once: no fade lies there. */
    @Test
    void fadesLieInTheRoomBesideOrInTheBreath() {
        double[] y = through("- breaths: { fade: 30 ms }", TAKE, MARKS).mono();
        for (Mark m : breaths(MARKS)) {
            long from = firstChanged(X, y, m.from() - 3 * FADE);
            assertEquals(m.from() - 1440, from, 2, "bare room lies before the breaths of this take");
        }
        Mark breath = breaths(MARKS).get(2);
        // A word that ends at the breath leaves no room beside it.
        List<Mark> marks = List.of(breath, new Mark(Mark.Kind.STOP, breath.from() - 2000, breath.from(), 0.5, false));
        assertEquals(breath.from(), firstChanged(X, through("- breaths", TAKE, marks).mono(), breath.from() - 5000), 2);
    }

    @Test
    void whereABreathIsRemovedTheRoomIsHeard() {
        double[] y = through("- breaths: { remove: yes }", TAKE, MARKS).mono();
        assertSameOutside(X, y, spans(MARKS));
        double room = room(X);
        for (Mark m : breaths(MARKS)) {
            long core = RATE / 50;
            assertEquals(room, db(y, m.from() + core, m.to() - core), 1.5, "room beside what stands for the breath");
            // The rumble of this room is slow: 50 ms of it differ by more than 3 dB anyway.
            for (long at = m.from() + core; at + RATE / 20 < m.to() - core; at += RATE / 20) {
                assertEquals(room, db(y, at, at + RATE / 20), 7, "no hole and no bump");
            }
        }
    }

    @Test
    void theRoomInThePlaceOfABreathHasTheColourOfTheRoom() {
        double[] y = through("- breaths: { remove: yes }", TAKE, List.of(mark(Mark.Kind.BREATH, RATE, 40.4, 43.1))).mono();
        for (double hz : new double[] {50, 100, 200, 500, 1000, 2000, 4000, 8000, 15000}) {
            double[] a = octave(X, hz), b = octave(y, hz);
            assertNotEquals(a[42 * RATE], b[42 * RATE], "it is made anew");
            assertEquals(db(a, (long) (40.5 * RATE), 43 * RATE), db(b, (long) (40.5 * RATE), 43 * RATE), hz < 150 ? 2.5 : 1, "octave at " + hz);
        }
    }

    /** A loop would be like itself at its own length. White noise of this length is below 0.02 at all but one lag in thousands. */
    @Test
    void theRoomDoesNotLoop() {
        Random random = new Random(2);
        double[] x = new double[12 * RATE];
        for (int i = 0; i < x.length; i++) {
            x[i] = 1e-3 * random.nextGaussian();
            boolean breathes = i >= 4 * RATE && i < 8.5 * RATE;
            if (breathes) x[i] += 0.01 * random.nextGaussian();
            // Less than a second of room has to stand for four.
            else if (i > 0.8 * RATE) for (int k = 1; k < 9; k++) x[i] += 0.1 / k * Math.sin(2 * Math.PI * 220 * k * i / RATE + k);
        }
        double[] y = through("- breaths: { remove: yes }", new Samples(RATE, x), List.of(mark(Mark.Kind.BREATH, RATE, 4, 8.5))).mono();
        assertEquals(-60, db(y, (long) (4.1 * RATE), (long) (8.4 * RATE)), 0.5);
        double[] fill = Arrays.copyOfRange(y, (int) (4.1 * RATE), (int) (8.4 * RATE));
        double power = 0;
        for (double v : fill) power += v * v;
        for (int lag = RATE / 50; lag < RATE; lag++) {
            double sum = 0;
            for (int i = 0; i + lag < fill.length; i += 10) sum += fill[i] * fill[i + lag];
            assertTrue(Math.abs(10 * sum) < 0.15 * power, "like itself after " + lag + " samples: " + 10 * sum / power);
        }
    }

    @Test
    void whatIsKeptIsNotTouched() {
        List<Mark> marks = new ArrayList<>(MARKS);
        Mark second = breaths(MARKS).get(1), third = breaths(MARKS).get(2);
        marks.add(new Mark(Mark.Kind.KEEP, second.to() - 100, second.to() + 5000, 1, false));
        marks.replaceAll(m -> m == third ? new Mark(m.kind(), m.from(), m.to(), 1, true) : m);
        for (String row : List.of("- breaths", "- breaths: { remove: yes }")) {
            Rig.Result result = through(row, TAKE, marks);
            double[] y = result.mono();
            for (Mark m : List.of(second, third)) {
                assertArrayEquals(Arrays.copyOfRange(X, (int) m.from(), (int) m.to()), Arrays.copyOfRange(y, (int) m.from(), (int) m.to()), 0);
            }
            assertNotEquals(X[(int) (breaths(MARKS).get(0).from() + 4000)], y[(int) (breaths(MARKS).get(0).from() + 4000)]);
            assertTrue(found(result).contains("2 kept"), found(result));
        }
    }

    @Test
    void oneMarkLessChangesThatBreathOnly() {
        Mark gone = breaths(MARKS).get(3);
        List<Mark> fewer = MARKS.stream().filter(m -> m != gone).toList();
        for (String row : List.of("- breaths", "- breaths: { remove: yes }")) {
            double[] all = through(row, TAKE, MARKS).mono(), without = through(row, TAKE, fewer).mono();
            assertSameOutside(all, without, List.of(new long[] {gone.from() - FADE, gone.to() + FADE}));
            assertArrayEquals(Arrays.copyOfRange(X, (int) gone.from(), (int) gone.to()), Arrays.copyOfRange(without, (int) gone.from(), (int) gone.to()), 0);
        }
    }

    /** A mark drawn too wide eats no word: neither the vowel it reaches into nor a marked consonant. */
    @Test
    void aMarkThatReachesIntoAWordTreatsTheBreathAlone() {
        Mark breath = breaths(MARKS).get(1);
        var note = LEAD.truth().notes().stream().filter(n -> n.start() * RATE > breath.to()).findFirst().orElseThrow();
        Mark wide = new Mark(Mark.Kind.BREATH, breath.from(), Math.round((note.start() + 0.4) * RATE), 1, false);
        Mark stop = mark(Mark.Kind.STOP, RATE, note.start() - 0.1, note.start());
        for (String row : List.of("- breaths", "- breaths: { remove: yes }")) {
            double[] y = through(row, TAKE, List.of(wide, stop)).mono();
            assertSameOutside(X, y, List.of(new long[] {breath.from() - FADE, stop.from()}));
            y = through(row, TAKE, List.of(wide)).mono();
            // The tracker needs a few cycles to hear a pitch.
            assertSameOutside(X, y, List.of(new long[] {breath.from() - FADE, Math.round((note.start() + 0.04) * RATE)}));
        }
    }

    /** The breath before a word is sure, the consonant that begins in it less so: it is spared all the same, unless it is a mere guess. */
    @Test
    void atTheEdgeOfABreathALikelyConsonantIsSpared() {
        Mark breath = breaths(MARKS).get(1), likely = new Mark(Mark.Kind.STOP, breath.to() - 3000, breath.to() + 2000, 0.6, false);
        double[] y = through("- breaths", TAKE, List.of(breath, likely)).mono();
        assertSameOutside(X, y, List.of(new long[] {breath.from() - FADE, likely.from()}));
        Mark guess = new Mark(Mark.Kind.STOP, likely.from(), likely.to(), 0.3, false);
        assertNotEquals(X[(int) breath.to() - 2000], through("- breaths", TAKE, List.of(breath, guess)).mono()[(int) breath.to() - 2000]);
        Mark within = new Mark(Mark.Kind.SIBILANT, breath.from() + 4000, breath.from() + 6000, 0.6, false);
        assertNotEquals(X[(int) breath.from() + 5000], through("- breaths", TAKE, List.of(breath, within)).mono()[(int) breath.from() + 5000]);
    }

    @Test
    void aMarkTooShortForItsFadesIsLeftAlone() {
        List<Mark> marks = List.of(mark(Mark.Kind.STOP, RATE, 0.9, 1), mark(Mark.Kind.BREATH, RATE, 1, 1.025), mark(Mark.Kind.BREATH, RATE, 1.1, 1.16),
                mark(Mark.Kind.STOP, RATE, 1.16, 1.2));
        Rig.Result result = through("- breaths: { lower: 12 dB, fade: 50 ms }", TAKE, marks);
        assertSameOutside(X, result.mono(), List.of(new long[] {Math.round(1.1 * RATE), Math.round(1.16 * RATE)}));
        assertTrue(found(result).contains("1 too short"), found(result));
        // 60 ms have fades of 20.
        assertEquals(12, db(X, (long) (1.121 * RATE), (long) (1.139 * RATE)) - db(result.mono(), (long) (1.121 * RATE), (long) (1.139 * RATE)), 0.01);
    }

    /** The times of marks are times of the take: a step before that is 90 ms late moves nothing. */
    @ParameterizedTest
    @ValueSource(strings = {"- breaths: { remove: yes }", "- pops", "- ride", "- level"})
    void aStepBeforeThatLooksAheadMovesNothing(String row) {
        double[] alone = through(row, TAKE, MARKS).mono(),
                after = through("- gate: { threshold: -90 dB, floor: 0 dB, lookahead: 90 ms }\n" + row, TAKE, MARKS).mono();
        assertArrayEquals(alone, after, 1e-7);
    }

    @Test
    void theAmountMayMoveAlongTheTake() {
        double[] y = through("- breaths: { lower: { 10 s: 12 dB, 20 s: 3 dB } }", TAKE, MARKS).mono();
        Mark first = breaths(MARKS).get(0), last = breaths(MARKS).get(7);
        assertTrue(last.from() > 20 * RATE, "the last breath comes late");
        assertEquals(12, db(X, first.from() + 960, first.to() - 960) - db(y, first.from() + 960, first.to() - 960), 0.01);
        assertEquals(3, db(X, last.from() + 960, last.to() - 960) - db(y, last.from() + 960, last.to() - 960), 0.01);
    }

    /** Where the pauses were emptied, the room is silence, and no noise is invented. */
    @Test
    void betweenEmptiedPausesABreathIsRemovedToSilence() {
        double[] x = X.clone();
        long end = 0;
        for (Mark m : MARKS.stream().filter(m -> m.kind() != Mark.Kind.PLOSIVE).sorted((a, b) -> Long.compare(a.from(), b.from())).toList()) {
            for (long i = end; i < m.from(); i++) x[(int) i] = 0;
            end = Math.max(end, m.to());
        }
        double[] y = through("- breaths: { remove: yes }", new Samples(RATE, x), MARKS).mono();
        Mark m = breaths(MARKS).get(2);
        for (long i = m.from() + 960; i < m.to() - 960; i++) assertEquals(0, y[(int) i], 1e-9);
    }

    @Test
    void whereNobodyPausesBreathsAreLoweredAndItIsSaid() {
        double[] x = new double[4 * RATE];
        Random random = new Random(1);
        for (int i = 0; i < x.length; i++) {
            if (i > 2 * RATE && i < 2.12 * RATE) x[i] = 0.02 * random.nextGaussian();
            else for (int k = 1; k < 9; k++) x[i] += 0.1 / k * Math.sin(2 * Math.PI * 220 * k * i / RATE + k);
        }
        assertFalse(new Ear(new Samples(RATE, x)).room().value().stream().anyMatch(r -> !r.isEmpty()), "no room is heard in it");
        Rig.Result result = through("- breaths: { remove: yes }", new Samples(RATE, x), List.of(mark(Mark.Kind.BREATH, RATE, 2.01, 2.11)));
        assertEquals(9, db(x, (long) (2.04 * RATE), (long) (2.08 * RATE)) - db(result.mono(), (long) (2.04 * RATE), (long) (2.08 * RATE)), 0.01);
        assertTrue(found(result).contains("lowered instead"), found(result));
    }

    @Test
    void takesWithoutASingerPassAndTheReasonIsTold() {
        double[] noise = new Random(1).doubles(3 * RATE, -0.01, 0.01).toArray();
        for (String row : List.of("- breaths", "- breaths: { remove: yes }")) {
            Rig.Result result = Rig.usual().exact().render(row, new Samples(RATE, noise));
            assertArrayEquals(noise, result.mono(), 0);
            assertTrue(found(result).contains("none: nobody sings"), found(result));
        }
    }

    @Test
    void theRoomIsAsWideAsItWas() {
        Random random = new Random(3);
        double[] l = X.clone(), r = X.clone(), apart = X.clone();
        for (int i = 0; i < l.length; i++) {
            l[i] += 0.003 * random.nextGaussian();
            apart[i] += 0.003 * random.nextGaussian();
        }
        System.arraycopy(l, 0, r, 0, l.length);
        Mark m = breaths(MARKS).get(2);
        int from = (int) m.from() + 960, to = (int) m.to() - 960;
        double[][] same = through("- breaths: { remove: yes }", new Samples(RATE, l, r), MARKS).x();
        for (int i = from; i < to; i++) assertEquals(same[0][i], same[1][i], 1e-9, "a voice in the middle stays there");
        double[][] wide = through("- breaths: { remove: yes }", new Samples(RATE, l, apart), MARKS).x();
        double correlation = 0;
        for (int i = from; i < to; i++) correlation += wide[0][i] * wide[1][i];
        correlation /= (to - from) * Math.pow(10, (db(wide[0], from, to) + db(wide[1], from, to)) / 20);
        double before = 0;
        for (int i = 5000; i < 45000; i++) before += l[i] * apart[i];
        before /= 40000 * Math.pow(10, (db(l, 5000, 45000) + db(apart, 5000, 45000)) / 20);
        assertEquals(before, correlation, 0.2);
        assertFalse(Double.isNaN(correlation));
    }

    /** Breaths as found. What lies outside every mark keeps its bits; inside, the request is met, and removed is room. */
    @ParameterizedTest
    @ValueSource(strings = {"male_sing_vocadito01", "female_sing_nit004_take1", "female_sing_nit004_take2", "male_sing_pjs063"})
    void breathsOfRealVoices(String name) throws IOException {
        Voices.assumePresent();
        Samples take = Tidied.voice(name);
        double[] x = take.data()[0];
        Ear ear = new Ear(take);
        List<Mark> found = ear.marks().of(Mark.Kind.BREATH);
        assertFalse(found.isEmpty());
        double[] lowered = Rig.usual().exact().render("- breaths", take).mono(),
                removed = Rig.usual().exact().render("- breaths: { remove: yes }", take).mono();
        long fade = (long) (0.02 * take.rate());
        List<long[]> spans = found.stream().map(m -> new long[] {m.from() - fade, m.to() + fade}).toList();
        assertSameOutside(x, lowered, spans);
        assertSameOutside(x, removed, spans);
        double[] before = highPass(x, take.rate()), after = highPass(removed, take.rate());
        double[] rooms = ear.room().value().orElseThrow().stream().filter(r -> r.to() - r.from() > 0.1 * take.rate())
                .mapToDouble(r -> db(before, r.from(), r.to())).sorted().toArray();
        for (Mark m : Tidied.clearBreaths(ear.marks().all())) {
            assertEquals(9, db(x, m.from() + fade, m.to() - fade) - db(lowered, m.from() + fade, m.to() - fade), 0.01);
            assertEquals(rooms[rooms.length / 2], db(after, m.from() + 2 * fade, m.to() - 2 * fade), 3, "at " + m.from() / take.rate() + " s");
        }
    }

    /** From where to where these breaths last was read from spectrograms. Where the rest is gone, 90 ms of one that stay are heard naked. */
    @Test
    void nothingOfABreathIsLeftBehind() throws IOException {
        Voices.assumePresent();
        Samples take = Tidied.voice("male_sing_vocadito01");
        double rate = take.rate();
        double[] before = highPass(take.data()[0], rate), after = highPass(Rig.usual().exact().render("- breaths: { remove: yes }", take).mono(), rate);
        double[] rooms = new Ear(take).room().value().orElseThrow().stream().filter(r -> r.to() - r.from() > 0.1 * rate)
                .mapToDouble(r -> db(before, r.from(), r.to())).sorted().toArray();
        for (double[] breath : new double[][] {{0.1, 0.52}, {3.32, 3.7}, {6.34, 6.74}, {9.4, 9.82}, {12.37, 12.7}, {15.38, 15.8}, {21.43, 21.8}}) {
            for (double at = breath[0]; at + 0.03 < breath[1]; at += 0.01) {
                assertTrue(db(after, (long) (at * rate), (long) ((at + 0.03) * rate)) < rooms[rooms.length / 2] + 6,
                        "at " + at + " s: " + db(after, (long) (at * rate), (long) ((at + 0.03) * rate)));
            }
        }
    }

    /** No fade lies in a vowel or a marked consonant, however the breath was marked. */
    @ParameterizedTest
    @ValueSource(strings = {"male_sing_vocadito01", "female_sing_nit004_take1", "female_sing_nit004_take2", "male_sing_pjs063"})
    void wordsBesideBreathsOfRealVoicesKeepEveryBit(String name) throws IOException {
        Voices.assumePresent();
        Samples take = Tidied.voice(name);
        double[] x = take.data()[0], y = Rig.usual().exact().render("- breaths: { remove: yes }", take).mono();
        Ear ear = new Ear(take);
        int hop = ear.pitch().hop(), run = 0;
        for (int f = 0; f < ear.pitch().frames(); f++) {
            run = ear.pitch().voiced(f) ? run + 1 : 0;
            if (run >= 5) {
                assertArrayEquals(Arrays.copyOfRange(x, (f - 4) * hop, (f + 1) * hop), Arrays.copyOfRange(y, (f - 4) * hop, (f + 1) * hop), 0,
                        "vowel at " + f * 0.01 + " s");
            }
        }
        for (Mark m : ear.marks().of(Mark.Kind.SIBILANT)) if (m.confidence() == 1 || breaths(ear.marks().all()).stream()
                .noneMatch(b -> b.meets(m.from(), m.to()))) {
            assertArrayEquals(Arrays.copyOfRange(x, (int) m.from(), (int) m.to()), Arrays.copyOfRange(y, (int) m.from(), (int) m.to()), 0);
        }
    }

    private static double[] highPass(double[] x, double rate) {
        double[] y = x.clone();
        for (var b : Butterworth.highPass(rate, 100, 4)) filter(y, b);
        return y;
    }

    private static double[] octave(double[] x, double hz) {
        double[] y = x.clone();
        for (int k = 0; k < 2; k++) filter(y, Biquad.bandPass(RATE, hz, 1.4));
        return y;
    }

    private static void filter(double[] x, Biquad b) {
        double x1 = 0, x2 = 0, y1 = 0, y2 = 0;
        for (int i = 0; i < x.length; i++) {
            double y = b.b0() * x[i] + b.b1() * x1 + b.b2() * x2 - b.a1() * y1 - b.a2() * y2;
            x2 = x1;
            x1 = x[i];
            y2 = y1;
            y1 = y;
            x[i] = y;
        }
    }
}
