package linnet.dsp.dynamics;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Phrases by number. Within 1 LU of the target or at the limit, and contrast of sections within 0.5 LU: the trade's limits. */
class LevellingTest {
    /** Phrases of 3 s with pauses of 1 s. */
    private static Levelling level(double share, double most, double... loudness) {
        return level(share, most, new boolean[loudness.length], loudness);
    }

    private static Levelling level(double share, double most, boolean[] held, double... loudness) {
        return level(share, most, 0, held, loudness);
    }

    private static Levelling level(double share, double most, double ofSections, boolean[] held, double... loudness) {
        return level(share, most, ofSections, 24, held, loudness);
    }

    private static Levelling level(double share, double most, double ofSections, double highest, boolean[] held, double... loudness) {
        int n = loudness.length;
        double[] from = new double[n], to = new double[n], shares = new double[n];
        for (int i = 0; i < n; i++) {
            from[i] = 4 * i;
            to[i] = 4 * i + 3;
        }
        Arrays.fill(shares, share);
        return new Levelling(new Levelling.PhraseLevels(from, to, loudness, held), shares, most, ofSections, highest);
    }

    private static double mean(Levelling l, int from, int to, double... loudness) {
        double power = 0;
        for (int i = from; i < to; i++) power += Math.pow(10, (loudness[i] + (l == null ? 0 : l.move(i))) / 10) / (to - from);
        return 10 * Math.log10(power);
    }

    @Test
    void evenPhrasesAreNotMoved() {
        Levelling l = level(1, 12, -24, -24, -24, -24);
        for (int i = 0; i < 4; i++) assertEquals(0, l.move(i), 0);
    }

    @Test
    void aSoftPhraseGoesItsShareAndIsNoSection() {
        double[] x = {-24, -24, -24, -30, -24, -24, -24};
        Levelling l = level(0.6, 12, x);
        assertEquals(1, l.sections());
        assertEquals(3.6, l.move(3) - l.move(2), 0.02);
        assertEquals(mean(null, 0, 7, x), mean(l, 0, 7, x), 0.01);
    }

    @Test
    void twoSoftLinesInARowAreLiftedToo() {
        double[] x = {-24, -24, -24, -29, -29, -24, -24, -24};
        Levelling l = level(1, 12, x);
        assertEquals(1, l.sections());
        assertEquals(5, l.move(3) - l.move(0), 0.05);
    }

    @Test
    void noPhraseGoesFurtherThanItMay() {
        Levelling l = level(1, 4, -24, -24, -24, -34, -24, -24, -18);
        assertEquals(4, l.move(3), 0);
        assertTrue(l.limited(3));
        assertFalse(l.limited(0));
        for (int i = 0; i < 7; i++) assertTrue(Math.abs(l.move(i)) <= 4);
    }

    @Test
    void aChorusStaysOverItsVerse() {
        double[] x = {-28, -30, -27, -29, -22, -20, -23, -21, -28, -29, -31, -28};
        Levelling l = level(1, 12, x);
        assertEquals(3, l.sections());
        double before = mean(null, 4, 8, x) - mean(null, 0, 4, x), after = mean(l, 4, 8, x) - mean(l, 0, 4, x);
        assertEquals(before, after, 0.02);
        for (int i = 0; i < 12; i++) assertEquals(l.target(i), x[i] + l.move(i), 0.01);
    }

    /** Powers to the power of what is left: 40 % of 10 LU are left of 60 %, the whole is as loud as it was, and a phrase still goes its own way. */
    @Test
    void sectionsGoTheirShareToTheLoudnessOfTheWhole() {
        double[] x = {-34, -33, -35, -34, -24, -23, -25, -24, -34, -33, -35, -34};
        Levelling l = level(0.5, 4, 0.6, new boolean[12], x), apart = level(0.5, 4, x);
        assertEquals(3, l.sections());
        assertEquals(0.4 * (mean(null, 4, 8, x) - mean(null, 0, 4, x)), mean(l, 4, 8, x) - mean(l, 0, 4, x), 0.02);
        assertEquals(mean(null, 0, 12, x), mean(l, 0, 12, x), 0.02);
        for (int i = 1; i < 4; i++) assertEquals(apart.move(i) - apart.move(0), l.move(i) - l.move(0), 0.02);
    }

    /** Nor is it louder or softer as a whole; what comes to the limit only as another is held there rises no further either. */
    @Test
    void aSectionRisesByNoMoreThanTheLimitOfSections() {
        double[] x = {-60, -60, -60, -60, -35.5, -35.5, -35.5, -35.5, -20, -20, -20, -20};
        Levelling free = level(0, 4, 0.8, 40, new boolean[12], x);
        assertTrue(free.asked(0) > 25 && free.asked(1) > 10 && free.asked(1) < 10.4, free.asked(0) + " and " + free.asked(1));
        for (double highest : new double[] {0, 6, 10.4, 12}) {
            Levelling l = level(0, 4, 0.8, highest, new boolean[12], x);
            assertEquals(3, l.sections());
            for (int i = 0; i < 12; i++) assertTrue(l.move(i) <= highest, highest + " dB: " + l.move(i));
            assertEquals(highest, l.move(0), 0);
            assertTrue(l.held(0) && !l.held(2));
            assertEquals(free.asked(0), l.asked(0), 0);
            assertEquals(mean(null, 0, 12, x), mean(l, 0, 12, x), 0.01, "all of it");
            if (l.move(4) < highest) assertEquals(0.2 * 15.5, x[8] + l.move(8) - x[4] - l.move(4), 0.02, "those that are not held are asked for the same");
        }
    }

    /** What sounds longer weighs more: of a section that is sung three times as long the whole is nearer to it. */
    @Test
    void sectionsWeighByHowLongTheyAreSung() {
        double[] x = {-34, -34, -34, -34, -24, -24, -24, -24}, from = new double[8], to = new double[8], share = new double[8];
        for (int i = 0; i < 8; i++) {
            from[i] = 8 * i;
            to[i] = from[i] + (i < 4 ? 6 : 2);
            share[i] = 1;
        }
        Levelling l = new Levelling(new Levelling.PhraseLevels(from, to, x, new boolean[8]), share, 4, 1, 24);
        assertEquals(2, l.sections());
        // (3 · 10^-3.4 + 10^-2.4) / 4, in dB.
        double whole = 10 * Math.log10((3 * Math.pow(10, -3.4) + Math.pow(10, -2.4)) / 4);
        for (int i = 0; i < 8; i++) {
            assertEquals(whole, x[i] + l.move(i), 0.02, "phrase " + i);
            assertEquals(whole, l.target(i), 0.02, "phrase " + i);
        }
    }

    /** The limit is for a phrase in its section: how far the section goes is said by its share alone. */
    @Test
    void theLimitOfAPhraseDoesNotHoldItsSection() {
        double[] x = {-34, -34, -34, -34, -24, -24, -24, -24};
        Levelling l = level(1, 1, 1, new boolean[8], x);
        assertEquals(mean(l, 0, 4, x), mean(l, 4, 8, x), 0.02);
        assertFalse(l.limited(0));
    }

    @Test
    void aSectionGoesAroundWhatIsHeld() {
        boolean[] held = new boolean[8];
        held[1] = true;
        Levelling l = level(1, 4, 1, held, -34, -34, -34, -34, -24, -24, -24, -24);
        assertEquals(0, l.move(1), 0);
        assertTrue(l.move(0) > 5);
        double[] x = {-34, -34, -34, -34, -24, -24, -24, -24};
        assertEquals(mean(null, 0, 8, x), mean(l, 0, 8, x), 0.02);
        assertEquals(mean(l, 0, 1, x), mean(l, 4, 8, x), 0.02);
    }

    /** What nobody is moved towards moves nobody. */
    @Test
    void aSectionThatIsHeldAsAWholeIsNoMeasure() {
        Levelling l = level(1, 4, 1, new boolean[] {false, false, false, false, true, true, true, true}, -34, -34, -34, -34, -24, -24, -24, -24);
        for (int i = 0; i < 8; i++) assertEquals(0, l.move(i), 0);
        assertEquals(0, l.brought(0), 0);
    }

    /** Over 90 s from -36 to -20: what is far away is not the measure. */
    @Test
    void aLongBuildUpStaysOne() {
        double[] x = new double[24];
        for (int i = 0; i < x.length; i++) x[i] = -36 + 16.0 * i / 23 + (i % 2 == 0 ? 1 : -1);
        Levelling l = level(0.6, 12, x);
        assertTrue(mean(l, 20, 24, x) - mean(l, 0, 4, x) > 0.9 * (mean(null, 20, 24, x) - mean(null, 0, 4, x)));
        for (int i = 4; i < 20; i++) assertTrue(Math.abs(x[i] + l.move(i) - (-36 + 16.0 * i / 23)) < 1.2);
    }

    @Test
    void whatIsHeldIsHeardButNotMoved() {
        boolean[] held = new boolean[6];
        held[2] = true;
        Levelling l = level(1, 12, held, -24, -24, -18, -24, -27, -24);
        assertEquals(0, l.move(2), 0);
        assertTrue(l.move(4) > 2);
        assertEquals(0, level(0, 12, -24, -18, -30).move(1), 0);
    }

    @Test
    void onePhraseAloneIsAsItWas() {
        assertEquals(0, level(1, 12, -31).move(0), 0);
        assertEquals(0, level(1, 12).sections());
    }

    /**
     * Made songs of six sections of four to six phrases, verse and chorus in turn, whose phrases differ by chance: nine of ten keep their
     * contrast within 0.5 LU, all within 1 LU, and each section is evener.
     */
    @ParameterizedTest
    @CsvSource({"0.7, 0", "0.7, 1.5", "0.7, 3", "0.7, 6", "1.5, 0", "1.5, 3", "1.5, 4", "1.5, 6"})
    void contrastOfSectionsIsKept(double spread, double contrast) {
        Random random = new Random(1);
        List<Double> errors = new ArrayList<>();
        double strayed = 0, strays = 0;
        for (int song = 0; song < 200; song++) {
            List<double[]> phrases = new ArrayList<>();
            double t = 0;
            for (int s = 0; s < 6; s++) {
                for (int i = 4 + random.nextInt(3); i > 0; i--) {
                    double length = 2 + 2.5 * random.nextDouble();
                    phrases.add(new double[] {t, t + length, -24 + s % 2 * contrast + spread * random.nextGaussian(), s % 2});
                    t += length + 0.5 + random.nextDouble();
                }
            }
            int n = phrases.size();
            double[] share = new double[n];
            Arrays.fill(share, 0.6);
            Levelling l = new Levelling(new Levelling.PhraseLevels(column(phrases, 0), column(phrases, 1), column(phrases, 2), new boolean[n]), share, 4, 0, 0);
            double[] before = new double[2], after = new double[2];
            for (int i = 0; i < n; i++) {
                double[] p = phrases.get(i);
                before[(int) p[3]] += (p[1] - p[0]) * Math.pow(10, p[2] / 10);
                after[(int) p[3]] += (p[1] - p[0]) * Math.pow(10, (p[2] + l.move(i)) / 10);
                double meant = -24 + p[3] * contrast;
                strayed += (p[2] - meant) * (p[2] - meant);
                strays += (p[2] + l.move(i) - meant) * (p[2] + l.move(i) - meant);
            }
            errors.add(Math.abs(10 * Math.log10(after[1] / after[0] * before[0] / before[1])));
        }
        Collections.sort(errors);
        assertTrue(errors.get(179) < 0.5, "contrast is off by " + errors.get(179) + " LU");
        assertTrue(errors.get(199) < 1, "contrast is off by " + errors.get(199) + " LU");
        assertTrue(strays < 0.7 * strayed, "phrases stray " + Math.sqrt(strays / strayed) + " of what they did");
    }

    private static double[] column(List<double[]> rows, int c) {
        return rows.stream().mapToDouble(r -> r[c]).toArray();
    }

    /** A made song: phrases of uneven length with uneven pauses, some sections apart in level. */
    private static List<double[]> song(Random random, int n) {
        List<double[]> phrases = new ArrayList<>();
        double t = 0;
        for (int i = 0; i < n; i++) {
            double length = 1 + 6 * random.nextDouble();
            phrases.add(new double[] {t, t + length, -24 + (i * 3 / n % 2) * 4 + random.nextGaussian()});
            t += length + 0.3 + 2 * random.nextDouble();
        }
        return phrases;
    }

    /** The median of the phrases of its own section, weighted by length and by nearness: in full up to 15 s, less and less up to 25 s. */
    @Test
    void theTargetIsTheMedianOfThePhrasesAround() {
        Random random = new Random(7);
        for (int k = 0; k < 40; k++) {
            List<double[]> p = song(random, 16);
            Levelling l = new Levelling(new Levelling.PhraseLevels(column(p, 0), column(p, 1), column(p, 2), new boolean[16]), new double[16], 12, 0, 0);
            double[] expected = new double[16];
            for (int i = 0; i < 16; i++) {
                int[] order = java.util.stream.IntStream.range(0, 16).boxed().sorted((a, b) -> Double.compare(p.get(a)[2], p.get(b)[2])).mapToInt(x -> x)
                        .toArray();
                double[] weight = new double[16];
                for (int j = 0; j < 16; j++) {
                    double apart = Math.abs(p.get(i)[0] + p.get(i)[1] - p.get(j)[0] - p.get(j)[1]) / 2,
                            near = apart <= 15 ? 1 : apart >= 25 ? 0 : (25 - apart) / 10;
                    if (l.section(j) == l.section(i)) weight[j] = (p.get(j)[1] - p.get(j)[0]) * near;
                }
                double below = 0, half = Arrays.stream(weight).sum() / 2;
                for (int j = 0; below < half; j++) {
                    below += weight[order[j]];
                    expected[i] = p.get(order[j])[2];
                }
            }
            // All targets of a section are shifted together.
            for (int i = 1; i < 16; i++) {
                if (l.section(i) == l.section(i - 1)) {
                    assertEquals(expected[i] - expected[i - 1], l.target(i) - l.target(i - 1), 1e-9, "song " + k + ", phrase " + i);
                }
            }
        }
    }

    /** Against every way to cut: 3 phrases and 12 s at least, and the price of a change as it is defined. */
    @Test
    void sectionsAreTheBestCutThereIs() {
        Random random = new Random(3);
        int cut = 0;
        for (int k = 0; k < 60; k++) {
            int n = 4 + random.nextInt(9);
            List<double[]> p = song(random, n);
            int[] found = Sections.of(column(p, 0), column(p, 1), column(p, 2));
            double least = Double.POSITIVE_INFINITY;
            for (int borders = 0; borders < 1 << n - 1; borders++) {
                int[] section = new int[n];
                for (int i = 1; i < n; i++) section[i] = section[i - 1] + (borders >> i - 1 & 1);
                least = Math.min(least, cost(p, section));
            }
            assertEquals(least, cost(p, found), 1e-9, "song " + k);
            if (found[n - 1] > 0) cut++;
        }
        assertTrue(cut > 10 && cut < 60, cut + " songs have sections");
    }

    /** In LU times seconds; infinite where a section is too short. */
    private static double cost(List<double[]> p, int[] section) {
        int n = p.size();
        double[] steps = new double[n - 1];
        double seconds = 0, cost = 0;
        for (int i = 1; i < n; i++) steps[i - 1] = Math.abs(p.get(i)[2] - p.get(i - 1)[2]);
        for (double[] phrase : p) seconds += (phrase[1] - phrase[0]) / n;
        Arrays.sort(steps);
        double price = 0.6 * seconds * Math.max(0.5, steps[(n - 1) / 2]);
        for (int from = 0, to; from < n; from = to) {
            for (to = from; to < n && section[to] == section[from]; to++) {}
            if (to - from < n && (to - from < 3 || p.get(to - 1)[1] - p.get(from)[0] < 12)) return Double.POSITIVE_INFINITY;
            List<double[]> own = new ArrayList<>(p.subList(from, to));
            own.sort((a, b) -> Double.compare(a[2], b[2]));
            double half = own.stream().mapToDouble(x -> x[1] - x[0]).sum() / 2, below = 0, median = 0;
            for (double[] phrase : own) {
                if (below < half) median = phrase[2];
                below += phrase[1] - phrase[0];
            }
            for (double[] phrase : own) cost += (phrase[1] - phrase[0]) * Math.abs(phrase[2] - median);
            cost += price;
        }
        return cost;
    }
}
