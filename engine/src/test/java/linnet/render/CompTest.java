package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Cell;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.hear.Joint;
import linnet.hear.JointFinder;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Told;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Comps: where the takes are joined, and that nobody hears it. */
class CompTest {
    private static final double RATE = 48_000;
    /** At the middle, at constant power. */
    private static final double CENTRE = Math.sqrt(0.5);

    @TempDir
    Path folder;

    private static Samples noise(int seed, double seconds, double level) {
        return new Samples(RATE, new SplittableRandom(seed).doubles((int) (seconds * RATE), -level, level).toArray());
    }

    private static int at(double seconds) {
        return (int) Math.round(seconds * RATE);
    }

    private static Told marks(Mark... marks) {
        return new Told(Optional.of(new Marks(List.of(marks))));
    }

    private static Mark mark(Mark.Kind kind, double from, double to) {
        return new Mark(kind, at(from), at(to), 1, false);
    }

    private static double db(double[] x, double from, double to) {
        double sum = 0;
        for (int i = at(from); i < at(to); i++) sum += x[i] * x[i];
        return 10 * Math.log10(sum / (at(to) - at(from)));
    }

    /** Before and after a join each take is there to the bit of the store, and nothing before the first range. */
    @Test
    void eachRangeIsOfItsTake() throws Exception {
        Samples one = noise(1, 4, 0.3), two = noise(2, 4, 0.3);
        double[] x = new SongRig(folder).render("""
                parts: { lead: { comp: [ { take: a.wav, from: bar 2 }, { take: b.wav, from: chorus, exact: yes }, { take: a.wav, from: chorus beat 3, to: chorus bar 2, exact: yes } ] } }
                prints: [ lead ]
                """, 1, List.of(marks(), marks()), one, two).get("lead")[0];
        for (int i = 0; i < at(4); i++) {
            if (i < at(0.95) || i > at(3.01)) assertEquals(0, x[i], "at " + i);
            else if (i > at(1.05) && i < at(1.98) || i > at(2.52) && i < at(2.99)) assertEquals(CENTRE * one.data()[0][i], x[i], 1e-7, "at " + i);
            else if (i > at(2.02) && i < at(2.48)) assertEquals(CENTRE * two.data()[0][i], x[i], 1e-7, "at " + i);
        }
    }

    /** The same take on both sides: as if there were no join. */
    @Test
    void theSameMaterialOnBothSidesIsTheMaterial() throws Exception {
        Performance sung = Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), RATE);
        double[] take = java.util.Arrays.copyOf(sung.samples(), at(4));
        StringBuilder ranges = new StringBuilder("{ take: a.wav, from: 0 s }");
        for (int k = 1; k < 10; k++) ranges.append(", { take: a.wav, from: ").append(k * 0.37).append(k % 2 == 0 ? " s }" : " s, exact: yes }");
        double[] x = new SongRig(folder).render("parts: { lead: { comp: [ " + ranges + " ] } }\nprints: [ lead ]\n", 1, new Samples(RATE, take)).get("lead")[0];
        for (int i = at(0.6); i < take.length; i++) assertEquals(CENTRE * take[i], x[i], 1e-7, "at " + i);
    }

    /**
     * A take of one channel beside one that has the same in both: nothing steps at the join, which is told so, in the part and before its chain, in whatever
     * order.
     */
    @Test
    void oneChannelBesideTwoIsAsLoud() throws Exception {
        Samples one = noise(15, 4, 0.3), both = new Samples(RATE, one.data()[0], one.data()[0]);
        for (Samples[] takes : List.of(new Samples[] {one, both}, new Samples[] {both, one})) {
            SongRig rig = new SongRig(folder);
            Map<String, double[][]> prints = rig.render("parts: { lead: { comp: [ { take: a.wav, from: 0 s }, { take: b.wav, from: 2 s } ] } }\n"
                    + "prints: [ lead, lead dry ]\n", 1, List.of(marks(), marks()), takes);
            assertEquals(0, rig.joins.get(0).joint().level(), 1e-6);
            for (double[][] x : prints.values()) {
                for (double[] side : x) for (int i = 0; i < at(4); i++) assertEquals(one.data()[0][i], side[i], 1e-7, "at " + i);
            }
        }
    }

    /** Strangers at equal level: no swell and no dip in the middle of the fade. */
    @Test
    void theLevelOfStrangersStaysEven() throws Exception {
        StringBuilder ranges = new StringBuilder("{ take: a.wav, from: 0 s }");
        for (int k = 1; k < 39; k++) {
            ranges.append(", { take: ").append(k % 2 == 0 ? "a" : "b").append(".wav, from: ").append(k * 0.1).append(" s, exact: yes, fade: 40 ms }");
        }
        double[] x = new SongRig(folder).render("parts: { lead: { comp: [ " + ranges + " ] } }\nprints: [ lead ]\n", 1, List.of(marks(), marks()),
                noise(3, 4, 0.3), noise(4, 4, 0.3)).get("lead")[0];
        double middle = 0;
        for (int k = 1; k < 39; k++) middle += Math.pow(10, db(x, k * 0.1 - 0.006, k * 0.1 + 0.006) / 10);
        assertEquals(db(x, 0.1, 3.8), 10 * Math.log10(middle / 38), 0.3);
    }

    /** The nearest place that is safe in both takes, by their marks. */
    @Test
    void aJoinMovesToWhereItIsNotHeard() throws Exception {
        Samples one = noise(5, 4, 0.1), two = noise(6, 4, 0.1);
        String song = "parts: { lead: { comp: [ { take: a.wav, from: 0 s }, { take: b.wav, from: chorus%s } ] } }\nprints: [ lead ]\n";
        Told pause = marks(mark(Mark.Kind.PHRASE, 0.5, 1.85), mark(Mark.Kind.PHRASE, 1.95, 3)),
                later = marks(mark(Mark.Kind.PHRASE, 0.5, 1.8), mark(Mark.Kind.PHRASE, 1.94, 3));
        Joint joint = joint(song.formatted(""), pause, later, one, two);
        assertEquals(Joint.Lies.SILENCE, joint.lies());
        assertEquals(at(2), joint.asked());
        assertTrue(joint.at() - joint.fade() / 2 >= at(1.85) && joint.at() + joint.fade() / 2 <= at(1.94), () -> joint.toString());
        assertEquals(at(2), joint(song.formatted(", exact: yes"), pause, later, one, two).at());
        // A breath is nearer than the pause.
        Told breath = marks(mark(Mark.Kind.PHRASE, 0.5, 1.7), mark(Mark.Kind.BREATH, 1.78, 2.2), mark(Mark.Kind.PHRASE, 2.25, 3));
        assertEquals(Joint.Lies.SILENCE,
                joint(song.formatted(""), breath, marks(mark(Mark.Kind.PHRASE, 0.5, 1.7), mark(Mark.Kind.PHRASE, 2.25, 3)), one, two).lies());
        // In the middle of a phrase an s is the place, in both takes.
        Told hiss = marks(mark(Mark.Kind.PHRASE, 0.5, 3), mark(Mark.Kind.SIBILANT, 2.2, 2.3));
        Joint consonant = joint(song.formatted(""), hiss, hiss, one, two);
        assertEquals(Joint.Lies.CONSONANT, consonant.lies());
        assertTrue(consonant.at() - consonant.fade() / 2 >= at(2.2) && consonant.at() + consonant.fade() / 2 <= at(2.3) && consonant.fade() <= at(0.015));
        Joint vowel = joint(song.formatted(""), marks(mark(Mark.Kind.PHRASE, 0.5, 3)), hiss, one, two);
        assertEquals(Joint.Lies.VOWEL, vowel.lies());
        assertTrue(Math.abs(vowel.at() - at(2)) <= at(0.061));
    }

    /**
     * An s that the other take does not have, or where it closes for a t, is cut in two; an s for an s is not, and where both are at hand that is the place.
     */
    @Test
    void aConsonantCutInTwoIsToldAndAvoided() throws Exception {
        Samples one = noise(5, 4, 0.1), two = noise(6, 4, 0.1);
        String song = "parts: { lead: { comp: [ { take: a.wav, from: 0 s }, { take: b.wav, from: 2.25 s%s } ] } }\nprints: [ lead ]\n",
                kept = song.formatted(", exact: yes");
        Mark sung = mark(Mark.Kind.PHRASE, 0.5, 3);
        Told s = marks(sung, mark(Mark.Kind.SIBILANT, 2.2, 2.3)), t = marks(sung, mark(Mark.Kind.STOP, 2.2, 2.4)),
                none = marks(mark(Mark.Kind.PHRASE, 0.5, 2.1), mark(Mark.Kind.PHRASE, 2.4, 3));
        assertFalse(joint(kept, s, s, one, two).cut());
        assertFalse(joint(song.formatted(""), none, none, one, two).cut());
        for (Told other : List.of(t, none)) assertTrue(joint(kept, s, other, one, two).cut() && joint(kept, other, s, one, two).cut());
        Mark later = mark(Mark.Kind.SIBILANT, 2.38, 2.45);
        Told both = marks(sung, mark(Mark.Kind.SIBILANT, 2.2, 2.3), later), same = marks(sung, mark(Mark.Kind.STOP, 2.2, 2.36), later);
        Joint joint = joint(song.formatted(""), both, same, one, one);
        assertTrue(!joint.cut() && joint.at() > later.from() && joint.at() < later.to(), joint::toString);
    }

    /** One breath is left, not two and not none. */
    @Test
    void breathsAreNeitherDoubledNorLost() throws Exception {
        String song = "parts: { lead: { comp: [ { take: a.wav, from: 0 s }, { take: b.wav, from: 2 s } ] } }\nprints: [ lead ]\n";
        Told early = marks(mark(Mark.Kind.PHRASE, 0.5, 1.6), mark(Mark.Kind.BREATH, 1.65, 1.97), mark(Mark.Kind.PHRASE, 2.4, 3));
        Told late = marks(mark(Mark.Kind.PHRASE, 0.5, 1.6), mark(Mark.Kind.BREATH, 2.03, 2.35), mark(Mark.Kind.PHRASE, 2.4, 3));
        assertEquals(Joint.Breaths.KEPT, joint(song, early, late, noise(7, 4, 0.1), noise(8, 4, 0.1)).breaths());
        assertEquals(Joint.Breaths.KEPT, joint(song, late, early, noise(7, 4, 0.1), noise(8, 4, 0.1)).breaths());
    }

    /** Behind the end of a take is silence, and before the first: what comes out of it brings its breath, and no step is told against nothing. */
    @Test
    void outOfSilenceATakeComesWithItsBreath() throws Exception {
        Told over = marks(mark(Mark.Kind.PHRASE, 0.1, 1)), breath = marks(mark(Mark.Kind.BREATH, 1.52, 1.96), mark(Mark.Kind.PHRASE, 2, 3.5));
        double[] room = noise(16, 4, 0.001).data()[0], ended = noise(17, 1.2, 0.1).data()[0];
        for (int i = at(1.52); i < at(1.96); i++) room[i] *= 10;
        for (int i = at(2); i < at(3.5); i++) room[i] *= 200;
        Samples comes = new Samples(RATE, room);
        String comp = "parts: { lead: { comp: [ { take: a.wav, from: 0 s }, { take: b.wav, from: %s } ] } }\nprints: [ lead ]\n",
                alone = "parts: { lead: { comp: [ { take: a.wav, from: %s } ] } }\nprints: [ lead ]\n";
        for (String where : List.of("1.94 s", "2 s", "2.06 s")) {
            for (double length : new double[] {1.2, 4}) {
                beforeTheBreath(joint(comp.formatted(where), over, breath, new Samples(RATE, java.util.Arrays.copyOf(ended, at(length))), comes),
                        where + " after " + length);
            }
            beforeTheBreath(joint(alone.formatted(where), breath, breath, comes, comes), where);
        }
        // Kept where the text has it, most of the breath is lost.
        Joint exact = joint(comp.formatted("1.94 s, exact: yes"), over, breath, new Samples(RATE, ended), comes);
        assertEquals(Joint.Breaths.LOST, exact.breaths());
        assertTrue(!exact.known() && exact.level() == 0 && exact.tone() == 0, exact::toString);
        // It goes back no further than to what sounds there.
        Joint sung = joint(comp.formatted("2.06 s"), marks(mark(Mark.Kind.PHRASE, 0.1, 1.7)), breath, noise(18, 1.7, 0.1), comes);
        assertTrue(sung.at() - sung.fade() / 2 >= at(1.7), sung::toString);
    }

    /** A pause of a converter's offset, and nothing else: between two that stand still any step is wide, and the best place is found all the same. */
    @Test
    void takesThatStandStillAreJoined() throws Exception {
        for (double offset : new double[] {-3.0 / (1 << 23), 0.1}) {
            double[] still = new double[at(4)];
            java.util.Arrays.fill(still, offset);
            Told pause = marks(mark(Mark.Kind.PHRASE, 0.5, 1.5), mark(Mark.Kind.PHRASE, 2.5, 3.5));
            Joint joint = joint("parts: { lead: { comp: [ { take: a.wav, from: 0 s }, { take: b.wav, from: 2 s } ] } }\nprints: [ lead ]\n", pause, pause,
                    new Samples(RATE, still), new Samples(RATE, still.clone()));
            assertEquals(Joint.Lies.SILENCE, joint.lies());
            assertEquals(at(2), joint.at(), at(0.01));
        }
    }

    private static void beforeTheBreath(Joint joint, String where) {
        assertTrue(joint.at() - joint.fade() / 2 >= at(1.2) && joint.at() + joint.fade() / 2 <= at(1.52), () -> where + ": " + joint);
        assertEquals(Joint.Lies.SILENCE, joint.lies(), where);
        assertEquals(Joint.Breaths.KEPT, joint.breaths(), where);
        assertTrue(!joint.known() && joint.level() == 0 && joint.tone() == 0, () -> where + ": " + joint);
    }

    private Joint joint(String song, Told one, Told other, Sound... takes) throws Exception {
        SongRig rig = new SongRig(folder);
        Path store = folder.resolve("store 1");
        rig.render(song, 1, List.of(one, other), takes);
        return rig.joins.get(rig.joins.size() - 1).joint();
    }

    /** Buzzes of one pitch, half a period apart: they are joined period on period, and nothing swells or dips. */
    @Test
    void inAVowelThePeriodsMeet() throws Exception {
        double[] a = new double[at(4)], b = new double[at(4)];
        for (int i = 0; i < a.length; i++) for (int k = 1; k < 12; k++) {
            a[i] += 0.1 / k * Math.sin(2 * Math.PI * 200 * k * i / RATE);
            b[i] += 0.1 / k * Math.sin(2 * Math.PI * 200 * k * (i + 110) / RATE);
        }
        Told held = marks(mark(Mark.Kind.PHRASE, 0, 4));
        SongRig rig = new SongRig(folder);
        double[] x = rig.render("parts: { lead: { comp: [ { take: a.wav, from: 0 s }, { take: b.wav, from: 2 s } ] } }\nprints: [ lead ]\n", 1,
                List.of(held, held), new Samples(RATE, a), new Samples(RATE, b)).get("lead")[0];
        Joint joint = rig.joins.get(0).joint();
        assertEquals(Joint.Lies.VOWEL, joint.lies());
        assertEquals(110, joint.shift());
        assertEquals(1, joint.correlation(), 1e-6);
        // From the first sample on: what begins with the song begins as its take does.
        for (int i = 0; i < at(3); i++) assertEquals(CENTRE * a[i], x[i], 1e-6);
    }

    /**
     * In the closure of a stop that nobody marked is silence, however the rumble of the room swings there: nothing is shifted, and no step is told. In a vowel
     * all is as before.
     */
    @Test
    void aClosureInsideAPhraseIsSilence() throws Exception {
        double[] a = new double[at(4)], b = new double[at(4)];
        for (int i = 0; i < a.length; i++) {
            boolean closed = i > at(1.9) && i < at(2.15);
            for (int k = 1; k < 12 && !closed; k++) {
                a[i] += 0.1 / k * Math.sin(2 * Math.PI * 200 * k * i / RATE);
                b[i] += 0.1 / k * Math.sin(2 * Math.PI * 200 * k * (i + 110) / RATE);
            }
            a[i] += 5e-4 * Math.sin(2 * Math.PI * 17 * i / RATE);
            b[i] += 2e-4 * Math.sin(2 * Math.PI * 23 * i / RATE);
        }
        Told held = marks(mark(Mark.Kind.PHRASE, 0, 4));
        String song = "parts: { lead: { comp: [ { take: a.wav, from: 0 s }, { take: b.wav, from: %s } ] } }\nprints: [ lead ]\n";
        for (String where : List.of("2 s", "2.05 s, exact: yes", "1.88 s")) {
            Joint joint = joint(song.formatted(where), held, held, new Samples(RATE, a), new Samples(RATE, b));
            assertEquals(Joint.Lies.SILENCE, joint.lies(), where);
            assertTrue(joint.at() - joint.fade() / 2 > at(1.9) && joint.at() + joint.fade() / 2 < at(2.15), joint::toString);
            assertEquals(0, joint.shift(), where);
            assertTrue(Math.abs(joint.level()) < 0.1 && joint.uneven() < 0.1, joint::toString);
        }
        assertEquals(Joint.Lies.VOWEL, joint(song.formatted("3 s"), held, held, new Samples(RATE, a), new Samples(RATE, b)).lies());
        // What is sung since the one breath and before the other parts them.
        Told sung = marks(mark(Mark.Kind.BREATH, 0.6, 0.9), mark(Mark.Kind.PHRASE, 1, 3), mark(Mark.Kind.VOWEL, 1, 1), mark(Mark.Kind.VOWEL, 2.15, 2.15),
                mark(Mark.Kind.BREATH, 3.1, 3.3));
        assertEquals(Joint.Breaths.KEPT, joint(song.formatted("2 s"), sung, sung, new Samples(RATE, a), new Samples(RATE, b)).breaths());
        // The other marks it: it is the same stop.
        Told stop = marks(mark(Mark.Kind.PHRASE, 0, 4), mark(Mark.Kind.STOP, 1.9, 2.17));
        assertFalse(joint(song.formatted("2 s, exact: yes"), held, stop, new Samples(RATE, a), new Samples(RATE, b)).cut());
        // In the other somebody hisses: that is no place to go over.
        Told hiss = marks(mark(Mark.Kind.PHRASE, 0, 4), mark(Mark.Kind.SIBILANT, 1.9, 2.15));
        assertEquals(Joint.Lies.VOWEL, joint(song.formatted("2 s, exact: yes"), held, hiss, new Samples(RATE, a), noise(19, 4, 0.1)).lies());
    }

    /** In both takes the lips are closed for a p. */
    @Test
    void aClosureOfTwoRealTakesIsSilence() throws Exception {
        Voices.assumePresent();
        try (WavFile one = WavFile.open(Voices.file("female_sing_nit004_take1.wav")); WavFile two = WavFile.open(Voices.file("female_sing_nit004_take2.wav"))) {
            Joint joint = new JointFinder(RATE, 1)
                    .find(new JointFinder.Side(one, 0, new Ear(one).marks()), new JointFinder.Side(two, at(0.68), new Ear(two).marks().moved(at(0.68))),
                            at(4.6), 0, at(0.06), 0);
            assertEquals(Joint.Lies.SILENCE, joint.lies());
            assertEquals(0, joint.shift());
            assertTrue(joint.at() - joint.fade() / 2 > at(4.56) && joint.at() + joint.fade() / 2 < at(4.785), joint::toString);
            assertTrue(Math.abs(joint.level()) <= 1.5 && joint.uneven() <= 1.5, joint::toString);
        }
    }

    /** Two performances of one line joined every third of a second: the trade's limits hold at every join, or the step is told. */
    @Test
    void joinsOfTwoPerformancesKeepTheLimits() {
        Samples one = new Samples(RATE, java.util.Arrays.copyOf(Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), RATE).samples(), at(24)));
        Samples two = new Samples(RATE,
                java.util.Arrays.copyOf(Performance.sing(SevenLanterns.lead(), Singer.high().seed(5), Room.bedroom(), RATE).samples(), at(24)));
        keepsLimits(one, 0, two, 0, 85);
    }

    /** Two takes of one singer, the second by 0.68 s late. */
    @Test
    void joinsOfRealTakesKeepTheLimits() throws Exception {
        Voices.assumePresent();
        try (WavFile one = WavFile.open(Voices.file("female_sing_nit004_take1.wav")); WavFile two = WavFile.open(Voices.file("female_sing_nit004_take2.wav"))) {
            keepsLimits(one, 0, two, at(0.68), 25);
        }
    }

    private static void keepsLimits(Sound one, long oneAt, Sound two, long twoAt, int leastSafe) {
        Marks first = new Ear(one).marks().moved(oneAt), second = new Ear(two).marks().moved(twoAt);
        JointFinder finder = new JointFinder(RATE, 1);
        JointFinder.Side a = new JointFinder.Side(one, oneAt, first), b = new JointFinder.Side(two, twoAt, second);
        int safe = 0, all = 0, steps = 0;
        List<String> broken = new ArrayList<>();
        for (double asked = 1; asked < one.frames() / RATE - 1; asked += 0.33) {
            Joint j = finder.find(a, b, at(asked), 0, at(0.5), 0);
            all++;
            if (j.lies() != Joint.Lies.VOWEL) safe++;
            int around = at(0.05) + j.fade() / 2, n = 2 * around;
            Joined joined = new Joined(RATE, 1, List.of(new Joined.Piece(one, oneAt), new Joined.Piece(two, twoAt + j.shift())), List.of(j),
                    List.of(Splicer.curve(linnet.plan.Work.Course.of(0))));
            double[] x = read(joined, j.at() - around, n), l = read(one, j.at() - around - oneAt, n), r = read(two, j.at() - around - twoAt - j.shift(), n);
            double jump = widest(x, around - j.fade() / 2, around + j.fade() / 2), sources = Math.max(widest(l, 1, n), widest(r, 1, n));
            if (jump > sources) {
                broken.add("a jump of " + jump + " over " + sources + " ends " + one.frames() / RATE + " " + two.frames() / RATE + " at " + asked + " " + j);
            }
            double top = top(x, l, r, around, j.fade());
            if (top > 3 && j.lies() != Joint.Lies.CONSONANT) broken.add("a click of " + top + " dB at " + asked + " " + j);
            double uneven = closed(one, l, j.at() - oneAt, j.fade()) && closed(two, r, j.at() - twoAt - j.shift(), j.fade()) ? 0
                    : uneven(x, l, r, around, j.fade());
            if (uneven > 1.5 && j.lies() != Joint.Lies.VOWEL) steps++;
            if (uneven > 1.5 && j.uneven() <= 1.5) broken.add("a step of " + uneven + " dB that is not told at " + asked + " " + j);
            assertTrue(Math.abs(j.at() - j.asked()) <= at(0.5));
        }
        assertEquals(List.of(), broken);
        assertTrue(steps <= 0.2 * safe, steps + " of " + safe + " safe joins step in level");
        assertTrue(safe >= leastSafe * all / 100.0, safe + " of " + all + " joins are safe");
    }

    /**
     * Whether a take lies 40 dB under the loudest 50 ms of the three seconds around it wherever a fade could step: behind closed lips nobody hears how silent
     * it is.
     */
    private static boolean closed(Sound take, double[] beside, long at, int fade) {
        int three = at(3), frame = at(0.01);
        double[] sung = read(take, at - three / 2, three);
        double loudest = 0, here = 0;
        for (int i = 0; i + 5 * frame <= three; i += frame) loudest = Math.max(loudest, power(sung, i, 5 * frame));
        for (int i = beside.length / 2 - fade / 2 - frame; i <= beside.length / 2 + fade / 2; i += frame / 2) here = Math.max(here, power(beside, i, frame));
        return here < 1e-4 * loudest;
    }

    /** By how many dB the level steps more from one 10 ms to the next, around the fade, than it does in either take. */
    private static double uneven(double[] x, double[] l, double[] r, int middle, int fade) {
        int frame = at(0.01);
        double most = 0;
        for (int i = middle - fade / 2 - frame; i <= middle + fade / 2 - frame; i += frame / 2) {
            most = Math.max(most, step(x, i, frame) - Math.max(step(l, i, frame), step(r, i, frame)));
        }
        return most;
    }

    private static double step(double[] x, int from, int frame) {
        return Math.abs(10 * Math.log10(power(x, from + frame, frame) / power(x, from, frame)));
    }

    /** By how much the loudest 5 ms over 8 kHz within the fade stand over the loudest of the sources there. */
    private static double top(double[] x, double[] l, double[] r, int middle, int fade) {
        double own = 0, sources = 0;
        double[] hx = high(x), hl = high(l), hr = high(r);
        int frame = at(0.005);
        for (int i = middle - fade / 2 - frame; i < middle + fade / 2; i += frame / 2) {
            own = Math.max(own, power(hx, i, frame));
            sources = Math.max(sources, Math.max(power(hl, i, frame), power(hr, i, frame)));
        }
        return 10 * Math.log10(own / sources);
    }

    private static double power(double[] x, int from, int n) {
        double sum = 1e-9 * n;
        for (int i = from; i < from + n; i++) sum += x[i] * x[i];
        return sum;
    }

    private static double[] high(double[] x) {
        double[] y = new double[x.length];
        // A difference of the fourth order: 8 kHz and more pass, a voice does not.
        for (int i = 4; i < x.length; i++) y[i] = x[i] - 4 * x[i - 1] + 6 * x[i - 2] - 4 * x[i - 3] + x[i - 4];
        return y;
    }

    private static double widest(double[] x, int from, int to) {
        double most = 0;
        for (int i = Math.max(1, from); i < to; i++) most = Math.max(most, Math.abs(x[i] - x[i - 1]));
        return most;
    }

    private static double[] read(Sound sound, long from, int n) {
        double[][] x = new double[sound.channels()][n];
        new linnet.dsp.Excerpt(sound, from, n).read(0, x, n);
        return x[0];
    }

    /** Whatever cell it is cut into, and on however many threads: the same bits. */
    @Test
    void bitsDoNotDependOnTheCut() {
        Samples one = noise(9, 2, 0.3), two = noise(10, 2, 0.3);
        Joint joint = new Joint(at(1), at(1), 961, Joint.Lies.SILENCE, 0, 0.2, 0, 0, 0, Joint.Breaths.KEPT, false, true);
        Joined joined = new Joined(RATE, 1, List.of(new Joined.Piece(one, -31), new Joined.Piece(two, 0)), List.of(joint),
                List.of(Splicer.curve(linnet.plan.Work.Course.of(-1))));
        double[][] whole = new double[1][(int) joined.frames()], cut = new double[1][(int) joined.frames()], piece = new double[1][Cell.LENGTH];
        joined.read(0, whole, whole[0].length);
        for (int i = 0; i < cut[0].length; i += 77) {
            int n = Math.min(77, cut[0].length - i);
            joined.read(i, piece, n);
            System.arraycopy(piece[0], 0, cut[0], i, n);
        }
        assertArrayEquals(whole, cut);
    }

    /** A take that was recorded 12 dB softer is brought up before it is joined: nothing steps, and no chain hears a difference. */
    @Test
    void aRangeIsLevelledBeforeItIsJoined() throws Exception {
        Samples one = noise(16, 4, 0.3), soft = new Samples(RATE, java.util.Arrays.stream(one.data()[0]).map(x -> x * Math.pow(10, -12 / 20.0)).toArray());
        String song = "parts: { lead: { comp: [ { take: a.wav, from: 0 s }, { take: b.wav, from: 2 s%s } ]%s } }\nprints: [ lead ]\n";
        SongRig rig = new SongRig(folder);
        double[] plain = rig.render(song.formatted("", ""), 1, List.of(marks(), marks()), one, soft).get("lead")[0];
        assertEquals(-12, rig.joins.get(0).joint().level(), 0.1);
        double[] even = rig.render(song.formatted(", into: 12 dB", ""), 1, List.of(marks(), marks()), one, soft).get("lead")[0];
        assertEquals(0, rig.joins.get(0).joint().level(), 1e-3);
        for (int i = 0; i < at(4); i++) assertEquals(CENTRE * one.data()[0][i], even[i], 1e-6, "at " + i);
        // Without it, and with none of it, the same is taken from what was kept.
        assertArrayEquals(plain, rig.render(song.formatted(", into: 0 dB", ""), 1, List.of(marks(), marks()), one, soft).get("lead")[0]);
        assertEquals(List.of("lead"), rig.found);
        // What the edits move goes along with its level.
        double[] moved = rig.render(song.formatted(", into: 12 dB", ", nudge: 100 ms later, edits: [ { cut: 3 s to 3.2 s, close: yes, exact: yes } ]"), 1,
                List.of(marks(), marks()), one, soft).get("lead")[0];
        for (int i = at(2.6); i < at(2.9); i++) assertEquals(CENTRE * one.data()[0][i - at(0.1)], moved[i], 1e-6, "at " + i);
        for (int i = at(3.1); i < at(3.8); i++) assertEquals(CENTRE * one.data()[0][i + at(0.1)], moved[i], 1e-6, "at " + i);
    }

    /** What is changed in the comp of one part makes that part anew, and no other. */
    @Test
    void aChangeInARangeTouchesItsPartOnly() throws Exception {
        String song = "parts: { lead: { comp: [ { take: a.wav, from: 0 s }, { take: b.wav, from: %s } ] }, low: { comp: [ { take: b.wav, from: 0 s }, { take: "
                + "a.wav, from: chorus } ] } }\nprints: [ lead, low ]\n";
        SongRig rig = new SongRig(folder);
        Samples one = noise(11, 4, 0.1), two = noise(12, 4, 0.1);
        Map<String, double[][]> before = rig.render(song.formatted("2 s"), 1, one, two);
        Map<String, double[][]> after = rig.render(song.formatted("2.5 s"), 1, one, two);
        assertEquals(List.of("low"), rig.found);
        assertArrayEquals(before.get("low"), after.get("low"));
        rig.render(song.formatted("bar 3 beat 3"), 1, one, two);
        assertEquals(List.of("lead", "low"), rig.found);
    }

    /** What is told of the takes is told of the comp, from where to where each is used: a step that lowers breaths lowers those. */
    @Test
    void marksGoWithTheRanges() throws Exception {
        Told first = marks(mark(Mark.Kind.BREATH, 0.5, 0.9), mark(Mark.Kind.BREATH, 2.5, 2.9)),
                second = marks(mark(Mark.Kind.BREATH, 1.1, 1.5), mark(Mark.Kind.BREATH, 3.1, 3.5));
        String song = "parts: { lead: { comp: [ { take: a.wav, from: 0 s }, { take: b.wav, from: chorus, exact: yes } ]%s } }\nprints: [ lead ]\n";
        Samples one = noise(13, 4, 0.05), two = noise(14, 4, 0.05);
        double[] plain = new SongRig(folder).render(song.formatted(""), 1, List.of(first, second), one, two).get("lead")[0];
        double[] lowered = new SongRig(folder).render(song.formatted(", chain: [ breaths: { lower: 12 dB } ]"), 1, List.of(first, second), one, two)
                .get("lead")[0];
        assertEquals(-12, db(lowered, 0.6, 0.8) - db(plain, 0.6, 0.8), 0.5);
        assertEquals(-12, db(lowered, 3.2, 3.4) - db(plain, 3.2, 3.4), 0.5);
        assertEquals(0, db(lowered, 1.1, 1.5) - db(plain, 1.1, 1.5), 1e-6);
        assertEquals(0, db(lowered, 2.5, 2.9) - db(plain, 2.5, 2.9), 1e-6);
    }
}
