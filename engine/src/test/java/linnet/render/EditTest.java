package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import linnet.dsp.Samples;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Told;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What is muted, cut, faded, nudged or made of another part, against noises whose every sample is known. */
class EditTest {
    private static final double RATE = SongRig.RATE, CENTRE = Math.sqrt(0.5);

    @TempDir
    Path folder;

    private final Samples take = SongRig.noise(1, 5, 0.3);

    private double[] one(String part) throws Exception {
        return one(part, List.of());
    }

    private double[] one(String part, List<Told> told) throws Exception {
        return rendered = rig().render("parts: { one: { " + part + " } }\nprints: [ one ]\n", 1, told, take).get("one")[0];
    }

    private double[] rendered;
    private SongRig rig;

    private SongRig rig() {
        return rig = new SongRig(folder);
    }

    private static int at(double seconds) {
        return (int) Math.round(seconds * RATE);
    }

    /** The take, so many seconds later, to the last bit of the store. */
    private void isTake(double from, double to, double later) {
        for (int i = at(from); i < at(to); i++) assertEquals(CENTRE * take.data()[0][i - at(later)], rendered[i], 1e-7, "at " + i);
    }

    private void isSilent(double from, double to) {
        for (int i = at(from); i < at(to); i++) assertEquals(0, rendered[i], "at " + i);
    }

    /** The gain changes by little from sample to sample, as it does in a fade. */
    private void hasNoStep(double from, double to, double later) {
        double before = Double.NaN;
        for (int i = at(from); i < at(to); i++) {
            double x = CENTRE * take.data()[0][i - at(later)];
            if (Math.abs(x) < 0.02) continue;
            double gain = rendered[i] / x;
            if (!Double.isNaN(before)) assertEquals(before, gain, 0.03, "a step at " + i);
            before = gain;
        }
    }

    @Test
    void whatIsMutedIsSilentAndTheRestPasses() throws Exception {
        one("take: a.wav, edits: [ { mute: bar 2 to bar 2 beat 3 }, { mute: chorus, fade: 20 ms }, { cut: 4.5 s to 4.75 s } ]".replace("4.5 s to 4.75 s",
                "3.2 s to 3.4 s"));
        isTake(0, 1, 0);
        isSilent(1.0081, 1.4919);
        isTake(1.5, 2, 0);
        isSilent(2.0201, 3.1);
        hasNoStep(0.99, 1.51, 0);
        hasNoStep(1.99, 2.03, 0);
    }

    /** The song is over there: what rings on is muted, faded away or left as the last section is. */
    @Test
    void whatReachesTheEndOfTheSongHoldsForAllThatComesAfter() throws Exception {
        for (String to : List.of("chorus", "bar 3 to end", "2 s to 4 s")) {
            one("take: a.wav, edits: [ { mute: " + to + " } ]");
            isTake(0, 2, 0);
            isSilent(2.0081, 4.99);
            one("take: a.wav, edits: [ { fade out: " + to + " } ]");
            isTake(0, 2, 0);
            isSilent(4, 4.99);
            hasNoStep(2, 3.9, 0);
            one("take: a.wav, only: " + to);
            isSilent(0, 1.99);
            isTake(2, 4.99, 0);
        }
        Told marks = new Told(Optional.of(new Marks(List.of(mark(Mark.Kind.BREATH, 4.2, 4.5)))));
        one("take: a.wav, edits: [ { mute: breaths in chorus } ]", List.of(marks));
        isSilent(4.209, 4.491);
    }

    /** A fade that comes back, or goes, beyond what sounds would let through a few milliseconds of what it takes away. */
    @Test
    void nothingIsLetThroughAtTheEdgeOfWhatSounds() throws Exception {
        one("take: a.wav, edits: [ { mute: 0 s to 1 s } ]");
        isSilent(0, 0.99);
        one("take: a.wav, edits: [ { fade in: 0 s to 1 s } ]");
        assertTrue(SongRig.db(rendered, 0, 0.01) < SongRig.db(rendered, 1, 2) - 30);
        hasNoStep(0.02, 1.1, 0);
        one("take: a.wav, at: 1 s, edits: [ { fade in: 1 s to 2 s } ]");
        assertTrue(SongRig.db(rendered, 1, 1.01) < SongRig.db(rendered, 2, 3) - 30);
        one("take: a.wav, from: 1 s, to: 3 s, edits: [ { fade in: 1 s to 1.5 s }, { mute: 2.5 s to 3 s } ]");
        assertTrue(SongRig.db(rendered, 1, 1.01) < SongRig.db(rendered, 1.5, 2.5) - 24);
        isSilent(2.5081, 3.1);
        one("take: a.wav, from: 1 s, to: 3 s, edits: [ { mute: 1 s to 1.5 s }, { fade out: 2 s to 3 s } ]");
        isSilent(0.9, 1.49);
        assertTrue(SongRig.db(rendered, 2.98, 2.999) < SongRig.db(rendered, 1.5, 2) - 24);
    }

    @Test
    void aFadeStaysInItsStretch() throws Exception {
        one("take: a.wav, edits: [ { fade in: verse to verse bar 1 beat 3 }, { fade out: bar 3 to bar 4 } ]");
        isTake(0.5, 2, 0);
        isTake(3, 4.9, 0);
        hasNoStep(0.005, 0.51, 0);
        hasNoStep(1.9, 3.1, 0);
        assertEquals(0, rendered[at(0.005)], 1e-3);
        assertTrue(SongRig.db(rendered, 2.9, 2.99) < SongRig.db(rendered, 2.1, 2.2) - 20);
        assertEquals(-6, SongRig.db(rendered, 2.49, 2.505) - SongRig.db(rendered, 1, 2), 1.5);
    }

    /** A cut moves nothing, unless the gap is to be closed; then what follows, edits before it included, comes earlier. */
    @Test
    void aCutClosesTheGapIfItIsAsked() throws Exception {
        one("take: a.wav, edits: [ { mute: bar 4 to bar 4 beat 2 }, { cut: bar 2 to bar 3, close: yes, exact: yes } ]");
        isTake(0, 0.98, 0);
        isTake(1.02, 2, -1);
        isSilent(2.009, 2.24);
        isTake(2.26, 3.9, -1);
        assertEquals(1, rig.joins.size());
        assertEquals("bar 2 to bar 3", rig.joins.get(0).where());
        assertEquals(at(1), rig.joins.get(0).joint().at());
    }

    /** What is cut off at the beginning is joined to nothing: the rest comes in as the end of a file does. */
    @Test
    void theBeginningIsCutOff() throws Exception {
        one("take: a.wav, edits: [ { cut: bar 1 to bar 2, close: yes }, { cut: 0 s to 0.5 s, close: yes } ]");
        isTake(0.006, 3.4, -1.5);
        hasNoStep(0, 0.02, -1.5);
        assertEquals(0, rendered[0], 0.001);
        assertEquals(List.of(), rig.joins);
    }

    @Test
    void aPartIsNudged() throws Exception {
        one("take: a.wav, nudge: 20 ms later");
        isSilent(0, 0.02);
        isTake(0.02, 4.9, 0.02);
        one("take: a.wav, nudge: 1/32 earlier");
        isTake(0.005, 4.5, -1 / 32.0);
        assertTrue(Math.abs(rendered[0]) < 0.01);
        one("take: a.wav, at: chorus, nudge: 1 beat earlier");
        isSilent(0, 1.75);
        isTake(1.75, 4.5, 1.75);
    }

    /** Of the file only a span is used; it stays where it lies unless it is put elsewhere. */
    @Test
    void aSpanOfATakeIsUsed() throws Exception {
        one("take: a.wav, from: 1 s, to: 0:02.5");
        isSilent(0, 1);
        isTake(1.005, 2.495, 0);
        hasNoStep(1, 1.01, 0);
        hasNoStep(2.49, 2.5, 0);
        for (int i = at(2.5); i < rendered.length; i++) assertEquals(0, rendered[i]);
        one("take: a.wav, from: 1 s, at: chorus");
        isSilent(0, 2);
        isTake(2.005, 5, 1);
    }

    /**
     * A cut that reaches past the end of the take has nothing to close to: all before it stays, and fades. One that ends just before it is joined within what
     * is left.
     */
    @Test
    void aCutToTheEndLeavesWhatIsBeforeIt() throws Exception {
        Samples half = SongRig.noise(2, 3, 0.3);
        for (String cut : new String[] {"chorus", "2 s to 3 s", "2 s to 3.5 s", "2 s to 2.98 s"}) {
            double[] x = rig().render("parts: { one: { take: a.wav, edits: [ { cut: " + cut + ", close: yes } ] } }\nprints: [ one ]\n", 1, half).get("one")[0];
            for (int i = 0; i < at(1.99); i++) assertEquals(CENTRE * half.data()[0][i], x[i], 1e-7, cut + " at " + i);
            for (int i = at(2.01); i < x.length; i++) assertEquals(0, x[i], cut + " at " + i);
            double last = 0;
            for (int i = at(2); i < at(2.01); i++) if (x[i] != 0) last = Math.abs(x[i]);
            assertTrue(last < 0.01, cut + " ends with " + last);
        }
        double[] x = rig().render("parts: { one: { take: a.wav, edits: [ { cut: 1 s to 2.9 s, close: yes } ] } }\nprints: [ one ]\n", 1, half).get("one")[0];
        assertEquals(0, rig.joins.get(0).joint().at() - RATE, 0.075 * RATE);
        for (int i = at(1.11); i < x.length; i++) assertEquals(0, x[i], "at " + i);
    }

    /** Marks are silenced but for what is kept, inside their ends; the words beside them pass to the bit. */
    @Test
    void breathsOfAStretchAreMuted() throws Exception {
        Told marks = new Told(Optional.of(new Marks(List.of(mark(Mark.Kind.BREATH, 0.5, 0.8), mark(Mark.Kind.BREATH, 1.5, 1.8),
                new Mark(Mark.Kind.BREATH, at(1.9), at(1.95), 1, true), mark(Mark.Kind.SIBILANT, 1.2, 1.3), mark(Mark.Kind.BREATH, 2.5, 2.8)))));
        one("take: a.wav, edits: [ { mute: breaths in bar 2 to chorus } ]".replace("bar 2 to chorus", "bar 2 to bar 3"), List.of(marks));
        isTake(0, 1.5, 0);
        isSilent(1.509, 1.791);
        isTake(1.8, 4.9, 0);
        assertEquals(List.of(new SongFindings.Mute("one", "breaths in bar 2 to bar 3", 1)), rig.mutes);
        one("take: a.wav, nudge: 100 ms later, edits: [ { mute: [ breaths, sibilants ] } ]", List.of(marks));
        isSilent(0.61, 0.89);
        isSilent(1.31, 1.39);
        isTake(2, 2.1, 0.1);
        isSilent(2.61, 2.89);
        assertEquals(3, rig.mutes.get(0).marks());
    }

    private static Mark mark(Mark.Kind kind, double from, double to) {
        return new Mark(kind, at(from), at(to), 1, false);
    }

    /** What a part is made of comes as it leaves the other's chain; only some words, if so. A change of level there changes nothing here. */
    @Test
    void aPartIsMadeOfThePrintOfAnother() throws Exception {
        String song = """
                parts:
                  twice: { from: throw, chain: [ trim: { level: -6 dB } ] }
                  throw: { from: lead, only: [ verse beat 3 to verse bar 2, chorus ], polarity: flipped }
                  lead: { take: a.wav, chain: [ trim: { level: -3 dB } ], level: %s }
                prints: [ twice, throw, lead ]
                """;
        Map<String, double[][]> x = rig().render(song.formatted("2 dB"), 1, take);
        double[] thrown = x.get("throw")[0], twice = x.get("twice")[0];
        double gain = -CENTRE * Math.pow(10, -3 / 20.0);
        for (int i = 0; i < at(4.9); i++) {
            double t = i / RATE;
            if (t < 0.491 || t > 1.0081 && t < 1.9919) assertEquals(0, thrown[i], "at " + i);
            if (t >= 0.5 && t < 1 || t >= 2) assertEquals(gain * take.data()[0][i], thrown[i], 2e-7, "at " + i);
            assertEquals(thrown[i] * Math.pow(10, -6 / 20.0), twice[i], 2e-7);
        }
        rig.render(song.formatted("1 dB"), 1, take);
        assertEquals(List.of("lead", "throw", "twice"), rig.found.stream().sorted().toList());
    }

    /** The marks of what it is made of are its marks: steps do not move what is sung. */
    @Test
    void marksGoWithThePrint() throws Exception {
        Told marks = new Told(Optional.of(new Marks(List.of(mark(Mark.Kind.BREATH, 1.5, 1.8)))));
        double[] x = rig().render("parts: { lead: { take: a.wav }, copy: { from: lead, nudge: 200 ms later, edits: [ { mute: breaths } ] } }\n"
                + "prints: [ copy ]\n", 1, List.of(marks), take).get("copy")[0];
        for (int i = at(1.71); i < at(1.99); i++) assertEquals(0, x[i]);
        assertEquals(CENTRE * take.data()[0][at(1.2)], x[at(1.4)], 1e-7);
    }

    /** The three trims: what one sets, no other changes. */
    @Test
    void threeTrimsStandByThemselves() throws Exception {
        String song = "parts: { one: { take: a.wav, into: %s, level: %s, sends level: %s, sends: { after: -6 dB, before: { level: -6 dB, before: level "
                + "} } } }\n"
                + "returns: { after: { chain: [ trim ] }, before: { chain: [ trim ] } }\nprints: [ one, after, before ]\n";
        double[] base = levels(song.formatted("0 dB", "0 dB", "0 dB"));
        assertArrayEquals(new double[] {0, 0, 0}, less(levels(song.formatted("0 dB", "0 dB", "0 dB")), base), 0.001);
        assertArrayEquals(new double[] {4, 4, 4}, less(levels(song.formatted("4 dB", "0 dB", "0 dB")), base), 0.001);
        assertArrayEquals(new double[] {4, 4, 0}, less(levels(song.formatted("0 dB", "4 dB", "0 dB")), base), 0.001);
        assertArrayEquals(new double[] {0, 4, 4}, less(levels(song.formatted("0 dB", "0 dB", "4 dB")), base), 0.001);
    }

    /** What members send does not follow the level of their group. */
    @Test
    void sendsOfMembersStandByThemselves() throws Exception {
        String song = "parts: { one: { take: a.wav, sends: { room: -6 dB } } }\ngroups: { all: { parts: [ one ], level: %s, sends: { hall: -6 dB } } }\n"
                + "returns: { room: { chain: [ trim ] }, hall: { chain: [ trim ] } }\nprints: [ all, room, hall ]\n";
        double[][] level = new double[2][];
        for (int k = 0; k < 2; k++) {
            Map<String, double[][]> x = rig().render(song.formatted(k == 0 ? "0 dB" : "-4 dB"), 1, take);
            level[k] = new double[] {SongRig.db(x.get("all")[0], 0, 4), SongRig.db(x.get("room")[0], 0, 4), SongRig.db(x.get("hall")[0], 0, 4)};
        }
        assertArrayEquals(new double[] {-4, 0, -4}, less(level[1], level[0]), 0.001);
    }

    private double[] levels(String song) throws Exception {
        Map<String, double[][]> x = rig().render(song, 1, take);
        return new double[] {SongRig.db(x.get("one")[0], 0, 4), SongRig.db(x.get("after")[0], 0, 4), SongRig.db(x.get("before")[0], 0, 4)};
    }

    private static double[] less(double[] a, double[] b) {
        double[] d = new double[a.length];
        for (int i = 0; i < d.length; i++) d[i] = a[i] - b[i];
        return d;
    }
}
