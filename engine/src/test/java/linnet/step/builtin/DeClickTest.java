package linnet.step.builtin;

import static linnet.step.builtin.Tidied.RATE;
import static linnet.step.builtin.Tidied.assertSameOutside;
import static linnet.step.builtin.Tidied.found;
import static linnet.step.builtin.Tidied.mark;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import linnet.Rig;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.demo.Truth;
import linnet.dsp.Samples;
import linnet.dsp.resample.Resampled;
import linnet.hear.Ear;
import linnet.hear.Mark;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Clicks of the demo's singer, whose places are known, and marks set by hand. */
class DeClickTest {
    private static final Performance LEAD = Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), RATE);
    private static final Samples TAKE = Tidied.take(LEAD);
    private static final double[] X = TAKE.data()[0];
    private static final List<Truth.Event> CLICKS = LEAD.truth().clicks();

    private static Rig.Result through(String row, Samples take, List<Mark> marks) {
        return Rig.usual().exact().render(row, take, marks);
    }

    private static List<Mark> marks(List<Truth.Event> clicks) {
        return clicks.stream().map(e -> mark(Mark.Kind.CLICK, RATE, e.start(), e.end())).toList();
    }

    /** The samples that differ in e, a border of 2 ms included. */
    private static int altered(double[] a, double[] b, Truth.Event e) {
        int altered = 0;
        for (int i = (int) ((e.start() - 0.002) * RATE); i < (int) ((e.end() + 0.002) * RATE); i++) if (a[i] != b[i]) altered++;
        return altered;
    }

    /** Those 15 to 40 ms before a line stand before its first consonant, which is stronger, and may be part of it: they are left. */
    @Test
    void theSingersOwnClicksAreFoundAndNothingElseIs() {
        List<Mark> found = new Ear(TAKE).marks().of(Mark.Kind.CLICK);
        for (Mark m : found) {
            assertTrue(CLICKS.stream().anyMatch(e -> m.meets((long) (e.start() * RATE) - 48, (long) (e.end() * RATE) + 48)), "no click at " + m.from());
        }
        double[] y = Rig.usual().exact().render("- declick", TAKE).mono();
        for (Truth.Event e : CLICKS) {
            boolean beforeALine = LEAD.truth().lines().stream().anyMatch(l -> l.start() > e.start() && l.start() - e.start() < 0.05);
            if (!beforeALine) assertTrue(altered(X, y, e) > 0, "click at " + e.start());
        }
        assertSameOutside(X, y, found.stream().map(m -> new long[] {m.from() - 240, m.to() + 480}).toList());
    }

    @Test
    void aMarkThatIsTakenOutIsLeftAndOneThatIsKeptToo() {
        List<Mark> marks = new ArrayList<>(marks(CLICKS.subList(1, CLICKS.size())));
        Mark kept = marks.remove(0);
        marks.add(new Mark(kept.kind(), kept.from(), kept.to(), 1, true));
        double[] y = through("- declick", TAKE, marks).mono();
        assertEquals(0, altered(X, y, CLICKS.get(0)));
        assertEquals(0, altered(X, y, CLICKS.get(1)));
        assertTrue(altered(X, y, CLICKS.get(2)) > 0);
    }

    @Test
    void aMarkWhereNothingStandsOutChangesNothing() {
        double quiet = CLICKS.get(0).start() - 0.3;
        Rig.Result result = through("- declick", TAKE, List.of(mark(Mark.Kind.CLICK, RATE, quiet, quiet + 0.002)));
        assertArrayEquals(X, result.mono());
        assertTrue(found(result).contains("1 marked, 0 mended"), found(result));
    }

    @Test
    void withoutMarksNothingIsTouched() {
        Rig.Result result = through("- declick", TAKE, List.of());
        assertArrayEquals(X, result.mono());
        assertTrue(found(result).contains("none"), found(result));
    }

    /** Noise in a pause that lasts 15 ms is a smack: it is lowered with fades, by what is asked, and not made up anew. */
    @ParameterizedTest
    @ValueSource(ints = {6, 12, 20})
    void aSmackIsLowered(int lower) {
        int at = (int) ((CLICKS.get(0).start() - 0.4) * RATE), length = 15 * RATE / 1000;
        double[] x = X.clone();
        java.util.Random random = new java.util.Random(4);
        for (int i = 0; i < length; i++) x[at + i] += 0.05 * random.nextGaussian();
        Rig.Result result = through("- declick: { smacks: " + lower + " dB }", new Samples(RATE, x),
                List.of(new Mark(Mark.Kind.CLICK, at, at + length, 1, false)));
        double[] y = result.mono();
        for (int i = at + 60; i < at + length - 60; i++) assertEquals(x[i] * Math.pow(10, -lower / 20.0), y[i], 1e-7);
        assertSameOutside(x, y, List.of(new long[] {at - 200, at + length + 200}));
        assertTrue(found(result).contains("1 lowered by " + lower + " dB"), found(result));
    }

    @Test
    void bothChannelsAreMendedAtTheSamePlaces() {
        double[] other = X.clone();
        for (int i = 0; i < other.length; i++) other[i] *= i % 2 == 0 ? 0.5 : 0.52;
        double[][] y = through("- declick", new Samples(RATE, X, other), marks(CLICKS)).x();
        int both = 0, one = 0;
        for (int i = 0; i < X.length; i++) {
            boolean left = y[0][i] != X[i], right = y[1][i] != other[i];
            if (left && right) both++;
            else if (left || right) one++;
        }
        assertTrue(both > 1000, both + " samples");
        // A sample may come out as it was by chance.
        assertTrue(one < both / 100, one + " in one channel only, " + both + " in both");
    }

    /** At 96 kHz the click is told apart at half the rate, and comes out as at 48; so it does at 96.001, of which half is no whole number. */
    @Test
    void ratesAgree() {
        Resampled resampled = new Resampled(TAKE, 96_000);
        double[][] fast = new double[1][(int) resampled.frames()];
        resampled.read(0, fast, fast[0].length);
        List<Mark> twice = marks(CLICKS).stream().map(m -> new Mark(m.kind(), 2 * m.from(), 2 * m.to(), 1, false)).toList();
        double[] y = through("- declick", TAKE, marks(CLICKS)).mono(), z = through("- declick", new Samples(96_000, fast), twice).mono(),
                odd = through("- declick", new Samples(96_001, fast), twice).mono();
        int compared = 0;
        for (Truth.Event e : CLICKS) {
            double at48 = taken(X, y, e, RATE), at96 = taken(fast[0], z, e, 96_000);
            if (at48 == 0 && at96 == 0) continue;
            assertEquals(0, 10 * Math.log10(at96 / at48), 1, "click at " + e.start());
            assertEquals(0, 10 * Math.log10(taken(fast[0], odd, e, 96_000) / at96), 0.5, "at an odd rate, click at " + e.start());
            compared++;
        }
        assertTrue(compared > CLICKS.size() / 2, compared + " clicks");
    }

    /** Mean power over a second of what was taken out. */
    private static double taken(double[] x, double[] y, Truth.Event e, int rate) {
        double sum = 0;
        for (int i = (int) ((e.start() - 0.003) * rate); i < (int) ((e.end() + 0.003) * rate); i++) sum += (x[i] - y[i]) * (x[i] - y[i]);
        return sum / rate;
    }

    @Test
    void theSameBitsEveryTime() {
        double[] once = Rig.usual().exact().render("- declick", TAKE).mono();
        assertTrue(Arrays.equals(once, Rig.usual().exact().block(97).render("- declick", TAKE).mono()));
    }
}
