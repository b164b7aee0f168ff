package linnet.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.stream.DoubleStream;
import linnet.dsp.GainCurve;
import linnet.song.Shift;
import org.junit.jupiter.api.Test;

/** Levels over the seconds of a song. */
class EnvelopeTest {
    private static final double GONE = GainCurve.SILENT;

    /** A raised cosine has half the amplitude half-way, and so on: common practice. */
    private static double raisedCosineDb(double share) {
        return 20 * Math.log10((1 - Math.cos(Math.PI * share)) / 2);
    }

    private static void assertFades(Envelope level, double silent, double loud) {
        assertEquals(GONE, level.db(silent));
        assertEquals(0, level.db(loud), 1e-12);
        for (int k = 1; k < 12; k++) assertEquals(raisedCosineDb(k / 12.0), level.db(silent + (loud - silent) * k / 12.0), 1e-6, "point " + k);
    }

    @Test
    void itIsAStraightLineBetweenPointsAndHeldBeyondThem() {
        Envelope moved = Envelope.of(List.of(new Shift.Corner(1, 0), new Shift.Corner(3, 4), new Shift.Corner(4, -2)));
        assertEquals(0, moved.db(-5));
        assertEquals(0, moved.db(1));
        assertEquals(1, moved.db(1.5));
        assertEquals(4, moved.db(3));
        assertEquals(-0.5, moved.db(3.75));
        assertEquals(-2, moved.db(4));
        assertEquals(-2, moved.db(9));
        assertEquals(-3, Envelope.steady(-3).db(7));
    }

    /** The fade of a song: its last twelfth is heard, too. */
    @Test
    void aLongFadeKeepsToItsLawDownToSilence() {
        Envelope out = Envelope.fade(16, 64, false, 0);
        for (double share = 0.001; raisedCosineDb(share) < -0.01; share += 0.001) {
            if (raisedCosineDb(share) >= -80) assertEquals(raisedCosineDb(share), out.db(64 - 48 * share), 0.5, "with " + share + " of it to go");
        }
        assertEquals(GONE, out.db(64));
    }

    @Test
    void aWindowIsSilentButForItsStretch() {
        Envelope word = Envelope.window(2, 0.01, 3, 0.08);
        assertEquals(GONE, word.db(0));
        assertFades(word, 2, 2.01);
        assertEquals(0, word.db(2.5), 1e-12);
        assertFades(word, 3.08, 3);
        assertEquals(GONE, word.db(9));
        // A stretch that is shorter than its fade in is all of it.
        Envelope brief = Envelope.window(2, 0.01, 2.004, 0.08);
        assertFades(brief, 2, 2.004);
        assertFades(brief, 2.084, 2.004);
    }

    @Test
    void aGapGivesWayAndIsBackBeforeTheNext() {
        Envelope gap = Envelope.gap(2, 0.3, 4);
        assertEquals(0, gap.db(1.9), 1e-12);
        assertFades(gap, 2.3, 2);
        assertEquals(GONE, gap.db(3.9));
        assertFades(gap, 3.995, 4);
        assertEquals(0, gap.db(5), 1e-12);
        assertEquals(GONE, Envelope.gap(2, 0.3, Double.POSITIVE_INFINITY).db(99));
        // With little time it is gone after half of it, and comes back after that.
        Envelope brief = Envelope.gap(2, 0.3, 2.008);
        assertFades(brief, 2.004, 2);
        assertEquals(GONE, brief.db(2.004));
        assertFades(brief, 2.004, 2.009);
    }

    @Test
    void fadesOfAMuteLieInsideIt() {
        Envelope mutes = Envelope.mutes(List.of(new double[] {1, 2, 0.008}, new double[] {3, 3.01, 0.5}));
        assertEquals(0, mutes.db(1), 1e-12);
        assertFades(mutes, 1.008, 1);
        assertEquals(GONE, mutes.db(1.5));
        assertFades(mutes, 1.992, 2);
        assertEquals(0, mutes.db(2.5), 1e-12);
        assertFades(mutes, 3.005, 3);
        assertEquals(0, mutes.db(4), 1e-12);
        assertEquals(0, Envelope.mutes(List.of()).db(0));
    }

    @Test
    void aMuteMayHaveNoBeginningAndNoEnd() {
        Envelope mutes = Envelope.mutes(List.of(new double[] {Double.NEGATIVE_INFINITY, 1, 0.01}, new double[] {3, Double.POSITIVE_INFINITY, 0.01}));
        assertEquals(GONE, mutes.db(0));
        assertEquals(GONE, mutes.db(0.5));
        assertFades(mutes, 0.99, 1);
        assertFades(mutes, 3.01, 3);
        assertEquals(GONE, mutes.db(99));
    }

    @Test
    void aFadeIsBackOrGoneAtItsOtherEnd() {
        Envelope in = Envelope.fade(1, 3, true, 0.005);
        assertEquals(0, in.db(0), 1e-12);
        assertFades(in, 1.005, 1);
        assertFades(in, 1.005, 3);
        assertEquals(0, in.db(9), 1e-12);
        Envelope out = Envelope.fade(1, 3, false, 0.005);
        assertEquals(0, out.db(0), 1e-12);
        assertFades(out, 2.995, 1);
        assertFades(out, 2.995, 3);
        assertEquals(0, out.db(9), 1e-12);
    }

    @Test
    void aSumHasEveryCornerAndWhatIsSilentStaysSo() {
        Envelope rising = Envelope.of(List.of(new Shift.Corner(1, 0), new Shift.Corner(2, 12))), mute = Envelope.mutes(List.of(new double[] {1.5, 1.75, 0}));
        Work.Course course = Envelope.sum(List.of(Envelope.steady(-6), rising), 1000);
        assertEquals(List.of(new Work.Point(0, -6), new Work.Point(1000, -6), new Work.Point(2000, 6)), course.points());
        Work.Course muted = Envelope.sum(List.of(Envelope.steady(90), rising, mute), 1000);
        for (Work.Point p : muted.points()) if (p.at() > 1500 && p.at() < 1750) assertEquals(GONE, p.value());
        assertTrue(muted.points().stream().anyMatch(p -> p.value() == GONE));
        assertEquals(List.of(new Work.Point(0, GONE)), Envelope.sum(List.of(Envelope.steady(GONE / 2 - 1), Envelope.steady(GONE / 2 - 1)), 1000).points());
    }

    @Test
    void aPlaceGoesNoFurtherThanToTheSides() {
        Envelope moved = Envelope.of(List.of(new Shift.Corner(1, 0), new Shift.Corner(2, 50), new Shift.Corner(3, -250)));
        assertEquals(List.of(new Work.Point(0, 80), new Work.Point(1000, 80), new Work.Point(2000, 100), new Work.Point(3000, -100)),
                Envelope.place(80, List.of(moved), 1000).points());
        assertEquals(Work.Course.of(-30), Envelope.place(-30, List.of(), 1000));
    }

    @Test
    void aCourseTurnedUpKeepsItsSilence() {
        Work.Course course = new Work.Course(List.of(new Work.Point(0, -6), new Work.Point(5, GONE), new Work.Point(9, GONE + 1)));
        assertEquals(List.of(new Work.Point(0, -4), new Work.Point(5, GONE), new Work.Point(9, GONE + 3)), course.plus(2).points());
        assertEquals(GONE, course.plus(-3).points().get(2).value());
        assertEquals(course, course.plus(0));
        assertTrue(Work.Course.of(3).isAlways(3));
        assertTrue(!course.isAlways(-6));
    }

    /** Against the plain sum of all of them at each corner; what 0 dB adds to its rounding errors is left out, a last bit now and then. */
    @Test
    void aSumIsThatOfAllLevels() {
        Random random = new Random(4);
        for (int song = 0; song < 50; song++) {
            List<Envelope> all = new ArrayList<>(List.of(Envelope.steady(random.nextInt(7) - 3)));
            for (int k = 0; k < 40; k++) {
                double from = random.nextInt(60) / 4.0, to = from + random.nextInt(20) / 8.0, by = 6 * random.nextGaussian();
                all.add(Envelope.of(List.of(new Shift.Corner(from, 0), new Shift.Corner(from + 0.1, by), new Shift.Corner(to + 0.3, by),
                        new Shift.Corner(random.nextInt(9) == 0 ? Double.POSITIVE_INFINITY : to + 0.4, 0))));
            }
            if (song % 2 == 0) all.add(Envelope.window(3, 0.1, 9, 0.2));
            if (song % 3 == 0) all.add(Envelope.mutes(List.of(new double[] {2, 2.5, 0.01})));
            for (Work.Point p : Envelope.sum(all, 1e6).points()) {
                // Corners lie on whole thousandths, or on those of fades, which a rounded second would miss.
                double t = p.at() / 1e6;
                if (all.stream().flatMap(e -> e.points().stream()).noneMatch(c -> c.seconds() == t)) continue;
                double[] each = all.stream().mapToDouble(e -> e.db(t)).toArray();
                boolean silent = DoubleStream.of(each).anyMatch(db -> db <= GONE);
                assertEquals(silent ? GONE : Math.max(GONE, DoubleStream.of(each).sum()), p.value(), 1e-12, "at " + t);
            }
        }
    }

    /** A song of as many sections, each with its move: one by one through all of them this takes minutes. */
    @Test
    void aMoveInEachOfManySectionsTakesNoLongerThanTheyAre() {
        int sections = 60_000;
        List<Shift> moves = new ArrayList<>();
        for (int k = 0; k < sections; k++) moves.add(new Shift(2 * k, 2 * k + 2, 0.05, 0.05, 1 + k % 2));
        assertTimeoutPreemptively(Duration.ofSeconds(30), () -> assertTrue(Envelope.sum(Envelope.moves(moves), 48_000).points().size() > sections));
    }
}
