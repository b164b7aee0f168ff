package linnet.step.builtin;

import static linnet.step.builtin.Tidied.RATE;
import static linnet.step.builtin.Tidied.found;
import static linnet.step.builtin.Tidied.mark;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
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
import linnet.demo.Truth;
import linnet.dsp.Samples;
import linnet.dsp.loudness.Loudness;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.render.Resolved;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Phrases levelled. Limits, common practice: within 1 LU of the section or at the limit, contrast of sections within 0.5 LU, no slope
 * above 6 dB in 20 ms, and no breath rises. Loudness is read by the meter of the standard.
 */
class RideTest {
    private static final Performance LEAD = Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), RATE);
    private static final List<Mark> MARKS = Tidied.marks(LEAD);
    /** What another day, another distance does to the lines, in dB. */
    private static final double[] UNEVEN = {3, -4, 2, -1, -3, 2.5, -2, 3.5};
    private static final double[] X = uneven();

    private static double[] uneven() {
        double[] x = LEAD.samples().clone();
        List<Truth.Line> lines = LEAD.truth().lines();
        for (int k = 0; k < lines.size(); k++) {
            int from = k == 0 ? 0 : (int) (RATE * (lines.get(k - 1).end() + 0.1)),
                    to = k + 1 == lines.size() ? x.length : (int) (RATE * (lines.get(k).end() + 0.1));
            for (int i = from; i < to; i++) x[i] *= Math.pow(10, UNEVEN[k] / 20);
        }
        return x;
    }

    private static Rig.Result through(String row, double[] x, List<Mark> marks) {
        return Rig.usual().exact().render(row, new Samples(RATE, x), marks);
    }

    private static List<Mark> of(Mark.Kind kind, List<Mark> marks) {
        return marks.stream().filter(m -> m.kind() == kind).toList();
    }

    private static double lufs(double[] x, double rate, List<Mark> phrases) {
        Loudness meter = new Loudness(rate, 1);
        for (Mark m : phrases) {
            double[] part = Arrays.copyOfRange(x, (int) m.from(), (int) m.to());
            meter.add(new double[][] {part}, part.length);
        }
        return meter.integrated();
    }

    private static double[] each(double[] x, double rate, List<Mark> phrases) {
        return phrases.stream().mapToDouble(p -> lufs(x, rate, List.of(p))).toArray();
    }

    /** In dB, by what came out; where next to nothing came in, as it was before. */
    private static double[] gain(double[] x, double[] y) {
        double[] gain = new double[x.length];
        for (int i = 0; i < x.length; i++) {
            boolean heard = Math.abs(x[i]) > 1e-7;
            gain[i] = heard ? 20 * Math.log10(y[i] / x[i]) : i == 0 ? 0 : gain[i - 1];
        }
        return gain;
    }

    private static void assertNoEdge(double[] gain, double rate) {
        int n = (int) Math.round(0.02 * rate);
        for (int i = n; i < gain.length; i++) {
            assertTrue(Math.abs(gain[i] - gain[i - n]) < 6.001, "at " + i / rate + " s the gain moves by " + (gain[i] - gain[i - n]) + " dB in 20 ms");
        }
    }

    private static void assertNoBreathRises(double[] gain, List<Mark> breaths) {
        for (Mark b : breaths) {
            for (int i = (int) b.from(); i < b.to(); i++) assertTrue(gain[i] < 1e-4, "the breath rises by " + gain[i] + " dB at sample " + i);
        }
    }

    @Test
    void phrasesComeToTheirSectionAndTheChorusStaysOverTheVerse() {
        List<Mark> phrases = of(Mark.Kind.PHRASE, MARKS);
        List<Mark> verse = phrases.subList(0, 4), chorus = phrases.subList(4, 8);
        double[] y = through("- ride: { amount: 100 %, most: 12 dB }", X, MARKS).mono();
        double before = lufs(X, RATE, chorus) - lufs(X, RATE, verse), after = lufs(y, RATE, chorus) - lufs(y, RATE, verse);
        assertTrue(before > 5, "there is a contrast to be kept");
        assertEquals(before, after, 0.5);
        for (List<Mark> section : List.of(verse, chorus)) {
            double whole = lufs(y, RATE, section);
            for (double phrase : each(y, RATE, section)) assertEquals(whole, phrase, 1);
        }
    }

    /** What sections are asked to come together by they do, each even in itself; breaths stay down, and no edge is heard. */
    @Test
    void sectionsComeTogetherByTheirShare() {
        List<Mark> phrases = of(Mark.Kind.PHRASE, MARKS);
        List<Mark> verse = phrases.subList(0, 4), chorus = phrases.subList(4, 8);
        double[] y = through("- ride: { amount: 100 %, most: 12 dB, sections: 60 % }", X, MARKS).mono();
        assertEquals(0.4 * (lufs(X, RATE, chorus) - lufs(X, RATE, verse)), lufs(y, RATE, chorus) - lufs(y, RATE, verse), 0.5);
        for (List<Mark> section : List.of(verse, chorus)) {
            double whole = lufs(y, RATE, section);
            for (double phrase : each(y, RATE, section)) assertEquals(whole, phrase, 1);
        }
        double[] gain = gain(X, y);
        assertNoEdge(gain, RATE);
        assertNoBreathRises(gain, of(Mark.Kind.BREATH, MARKS));
        String found = found(through("- ride: { sections: 60 % }", X, MARKS));
        assertTrue(found.matches("(?s).*of which sections in dB, given=, value=\\d+\\.\\d s \\+\\d+\\.\\d, \\d+\\.\\d s -\\d+\\.\\d.*"), found);
    }

    /** Lines of 3.5 s in every 4 s, the first ones 20 dB under the others, and room that is heard with them. */
    private static double[] whisperedOpening(int soft, int loud) {
        Random random = new Random(7);
        double[] x = new double[4 * RATE * (soft + loud)];
        for (int i = 0; i < x.length; i++) {
            double t = i / (double) RATE;
            x[i] = 2e-4 * random.nextGaussian();
            if (t % 4 > 0.25 && t % 4 < 3.75) for (int k = 1; k < 8; k++) x[i] += (t < 4 * soft ? 0.02 : 0.2) / k * Math.sin(2 * Math.PI * 200 * k * t);
        }
        return x;
    }

    private static List<Mark> everyFourSeconds(int lines) {
        List<Mark> marks = new ArrayList<>();
        for (int k = 0; k < lines; k++) marks.add(mark(Mark.Kind.PHRASE, RATE, 4 * k + 0.25, 4 * k + 3.75));
        return marks;
    }

    /** A whispered opening would come up by 19 dB with all of its room. What is left of the difference stays; the limit that holds it is told, once. */
    @Test
    void aSectionRisesByNoMoreThanItsLimit() {
        double[] x = whisperedOpening(4, 8);
        List<Mark> marks = everyFourSeconds(12);
        Rig.Result usual = through("- ride: { sections: 100 % }", x, marks);
        assertEquals(10, gain(x, usual.mono())[2 * RATE], 0.01);
        assertTrue(found(usual).contains("of which sections in dB, given=, value=0.3 s +10.0 (limit), 16.3 s -0.2"), found(usual));
        List<Resolved> odd = usual.rendered().resolved().stream().filter(Resolved::odd).toList();
        assertEquals(1, odd.size(), found(usual));
        String told = odd.get(0).words();
        assertTrue(told.matches("ride: sections-most holds the section at 0\\.3 s, which would rise by 1\\d\\.\\d dB with all that is heard of the room; "
                + "where that may be, write 'sections-most: 1\\d dB'"), told);
        double[] less = gain(x, through("- ride: { sections: 100 %, sections-most: 6 dB }", x, marks).mono());
        assertEquals(6, less[2 * RATE], 0.01);
        Rig.Result all = through("- ride: { sections: 100 %, sections-most: 24 dB }", x, marks);
        assertEquals(0, lufs(all.mono(), RATE, marks.subList(0, 4)) - lufs(all.mono(), RATE, marks.subList(4, 12)), 0.5);
        assertFalse(found(all).contains("(limit)"), found(all));
        assertTrue(all.rendered().resolved().stream().noneMatch(Resolved::odd), found(all));
    }

    /** Two lines, or less than 12 s, are no section, and what is asked for between sections comes to nothing: told, where it is asked for. */
    @Test
    void aTakeTooShortForSectionsIsTold() {
        double[] x = whisperedOpening(2, 3);
        List<Mark> marks = everyFourSeconds(5);
        Rig.Result result = through("- ride: { sections: 50 % }", x, marks);
        List<Resolved> odd = result.rendered().resolved().stream().filter(Resolved::odd).toList();
        assertEquals(1, odd.size(), found(result));
        assertEquals("ride: sections does nothing here: a section has three lines and 12 s or more, and there are not two of them in 5 lines of 19.5 s; "
                + "raise softer lines with a 'trim' before it whose level moves, as in { 0 s: 6 dB, 8 s: 6 dB, 9 s: 0 dB }", odd.get(0).words());
        for (String row : List.of("- ride", "- ride: { sections: 0 % }")) {
            assertTrue(through(row, x, marks).rendered().resolved().stream().noneMatch(Resolved::odd), row);
        }
        Rig.Result even = through("- ride: { sections: 50 % }", whisperedOpening(0, 8), everyFourSeconds(8));
        assertTrue(even.rendered().resolved().stream().noneMatch(Resolved::odd), "as long as two sections, and even: " + found(even));
    }

    @Test
    void theUsualRideGoesPartOfTheWay() {
        List<Mark> verse = of(Mark.Kind.PHRASE, MARKS).subList(0, 4);
        double[] before = each(X, RATE, verse), after = each(through("- ride", X, MARKS).mono(), RATE, verse);
        for (int i = 0; i < 4; i++) {
            for (int k = 0; k < i; k++) assertEquals(0.4 * (before[i] - before[k]), after[i] - after[k], 0.3);
        }
    }

    @Test
    void theLimitHolds() {
        double[] y = through("- ride: { amount: 100 %, most: 2 dB }", X, MARKS).mono();
        double[] gain = gain(X, y);
        double most = 0;
        for (double g : gain) most = Math.max(most, Math.abs(g));
        assertEquals(2, most, 0.001);
        assertTrue(found(through("- ride: { amount: 100 %, most: 2 dB }", X, MARKS)).contains("at the limit"));
    }

    @ParameterizedTest
    @ValueSource(strings = {"- ride", "- ride: { amount: 100 %, most: 12 dB, ramp: 20 ms }", "- ride: { amount: 100 %, most: 12 dB, ramp: 80 ms }"})
    void noEdgeIsHeardAndNoBreathRises(String row) {
        double[] gain = gain(X, through(row, X, MARKS).mono());
        assertNoEdge(gain, RATE);
        assertNoBreathRises(gain, of(Mark.Kind.BREATH, MARKS));
        // A phrase has one gain; a ramp has no place in it where the pause has room.
        for (Mark p : of(Mark.Kind.PHRASE, MARKS)) assertEquals(gain[(int) p.from() + 10], gain[(int) p.to() - 10], 1e-6);
    }

    /** Breaths that fill the pauses from word to word: the ramps have no room but the phrases, and take no more than they must. */
    @Test
    void breathsThatTouchThePhrasesDoNotRiseEither() {
        List<Mark> phrases = of(Mark.Kind.PHRASE, MARKS), marks = new ArrayList<>(phrases);
        for (int i = 0; i < phrases.size(); i++) {
            marks.add(new Mark(Mark.Kind.BREATH, i == 0 ? RATE : phrases.get(i - 1).to(), phrases.get(i).from(), 1, false));
        }
        double[] gain = gain(X, through("- ride: { amount: 100 %, most: 12 dB }", X, marks).mono());
        assertNoEdge(gain, RATE);
        assertNoBreathRises(gain, of(Mark.Kind.BREATH, marks));
        for (Mark p : phrases) assertEquals(gain[(int) p.from() + RATE / 20], gain[(int) p.to() - RATE / 20], 1e-6);
    }

    /** A quick breath in the middle of a line, which the marks have as one. */
    @Test
    void aBreathWithinALineDoesNotRise() {
        List<Mark> marks = new ArrayList<>(MARKS);
        Mark line = of(Mark.Kind.PHRASE, MARKS).get(1);
        Mark quick = new Mark(Mark.Kind.BREATH, line.from() + RATE, line.from() + RATE + RATE / 5, 1, false);
        double[] x = X.clone();
        Random random = new Random(3);
        for (int i = (int) quick.from() - 2000; i < quick.to() + 2000; i++) x[i] = 1e-3 * random.nextGaussian();
        marks.add(quick);
        double[] gain = gain(x, through("- ride", x, marks).mono());
        assertTrue(gain[(int) line.from() + 4000] > 1, "the soft line is lifted");
        assertNoBreathRises(gain, of(Mark.Kind.BREATH, marks));
        assertNoEdge(gain, RATE);
    }

    /** What the marks tell of a consonant before its phrase is moved with it. */
    @Test
    void aConsonantGoesWithItsWord() {
        Mark second = of(Mark.Kind.PHRASE, MARKS).get(1);
        List<Mark> marks = new ArrayList<>(MARKS);
        marks.removeIf(m -> m.kind() == Mark.Kind.PHRASE && m.from() == second.from());
        long vowel = second.from() + RATE / 10;
        marks.add(new Mark(Mark.Kind.PHRASE, vowel, second.to(), 1, false));
        marks.add(new Mark(Mark.Kind.STOP, second.from(), vowel - 100, 1, false));
        double[] gain = gain(X, through("- ride", X, marks).mono());
        assertEquals(gain[(int) vowel + 1000], gain[(int) second.from() + 1], 1e-6);
        assertTrue(Math.abs(gain[(int) vowel + 1000]) > 1);
    }

    @Test
    void whatIsKeptIsNotTouched() {
        List<Mark> marks = new ArrayList<>(MARKS);
        Mark phrase = of(Mark.Kind.PHRASE, MARKS).get(1), breath = of(Mark.Kind.BREATH, MARKS).get(5);
        marks.add(new Mark(Mark.Kind.KEEP, phrase.from() + 1000, phrase.from() + 2000, 1, false));
        marks.replaceAll(m -> m == breath ? new Mark(m.kind(), m.from(), m.to(), 1, true) : m);
        Rig.Result result = through("- ride", X, marks);
        for (Mark m : List.of(phrase, breath)) {
            assertArrayEquals(Arrays.copyOfRange(X, (int) m.from(), (int) m.to()), Arrays.copyOfRange(result.mono(), (int) m.from(), (int) m.to()), 0);
        }
        assertTrue(found(result).contains("1 kept"), found(result));
    }

    @Test
    void whatWasDoneIsTold() {
        Rig.Result result = through("- ride", X, MARKS);
        String found = found(result);
        assertTrue(found.contains("8 in 2 sections, moved by -"), found);
        double[] gain = gain(X, result.mono());
        Mark third = of(Mark.Kind.PHRASE, MARKS).get(2);
        String row = String.format(java.util.Locale.ROOT, "%.1f s %+.1f", third.from() / (double) RATE, gain[(int) third.from() + RATE]);
        assertTrue(found.contains(row), row + " in " + found);
    }

    @Test
    void bothChannelsAreMovedAlike() {
        double[] r = X.clone();
        for (int i = 0; i < r.length; i++) r[i] *= 0.25;
        double[][] y = Rig.usual().exact().render("- ride", new Samples(RATE, X, r), MARKS).x();
        for (int i = 0; i < r.length; i++) assertEquals(0.25 * y[0][i], y[1][i], 1e-15);
    }

    /**
     * Two lines with 80 ms between them, as the ear writes them where a consonant fills the pause, and with nothing at all, as by hand; the second is 12 dB
     * softer.
     */
    @ParameterizedTest
    @ValueSource(doubles = {0.08, 0})
    void phrasesOfTheListAreOneEachHoweverShortThePause(double pause) {
        double[] x = new double[10 * RATE];
        for (int i = RATE / 2; i < x.length - RATE / 2; i++) {
            for (int k = 1; k < 8; k++) x[i] += (i < 5 * RATE ? 0.2 : 0.05) / k * Math.sin(2 * Math.PI * 200 * k * i / RATE);
        }
        List<Mark> phrases = List.of(mark(Mark.Kind.PHRASE, RATE, 0.5, 5 - pause / 2), mark(Mark.Kind.PHRASE, RATE, 5 + pause / 2, 9.5));
        Rig.Result result = through("- ride: { amount: 100 %, most: 12 dB }", x, phrases);
        assertTrue(found(result).contains("2 in 1 section"), found(result));
        double[] after = each(result.mono(), RATE, phrases);
        assertEquals(after[0], after[1], 1);
        assertNoEdge(gain(x, result.mono()), RATE);
    }

    /** A line that rises, whose mouth closes for 0.3 s before each p, as two takes of a real one do: it goes up as one, and goes on rising. */
    @Test
    void syllablesOfALineGoTogether() {
        double[][] line = {{0.5, 0.85}, {1.15, 1.45}, {1.75, 2.6}, {6, 9.5}};
        double[] level = {0.03, 0.06, 0.09, 0.2}, x = new double[10 * RATE];
        List<Mark> phrases = new ArrayList<>();
        for (int p = 0; p < line.length; p++) {
            for (int i = (int) (line[p][0] * RATE); i < line[p][1] * RATE; i++) {
                for (int k = 1; k < 8; k++) x[i] += level[p] / k * Math.sin(2 * Math.PI * 200 * k * i / RATE);
            }
            phrases.add(mark(Mark.Kind.PHRASE, RATE, line[p][0], line[p][1]));
        }
        Rig.Result result = through("- ride: { amount: 100 %, most: 12 dB }", x, phrases);
        assertTrue(found(result).contains("2 in 1 section"), found(result));
        double[] gain = gain(x, result.mono());
        for (int p = 1; p < 3; p++) assertEquals(gain[(int) (0.7 * RATE)], gain[(int) ((line[p][0] + 0.15) * RATE)], 1e-9, "syllable " + (p + 1));
        assertTrue(gain[(int) (0.7 * RATE)] > 1, "raised by " + gain[(int) (0.7 * RATE)] + " dB");
    }

    /** Two soft lines after a loud one: where the one runs into the other, or nearly, both are raised, and so is what lies between. */
    @ParameterizedTest
    @ValueSource(doubles = {0.08, 0})
    void nothingSinksBetweenTwoLinesThatAreRaised(double pause) {
        double[] x = new double[15 * RATE];
        for (int i = RATE / 2; i < x.length - RATE / 2; i++) {
            for (int k = 1; k < 8; k++) x[i] += (i < 5 * RATE ? 0.2 : 0.1) / k * Math.sin(2 * Math.PI * 200 * k * i / RATE);
        }
        List<Mark> phrases = List.of(mark(Mark.Kind.PHRASE, RATE, 0.5, 4.5), mark(Mark.Kind.PHRASE, RATE, 5, 10 - pause / 2),
                mark(Mark.Kind.PHRASE, RATE, 10 + pause / 2, 14.5));
        double[] gain = gain(x, through("- ride: { amount: 100 %, most: 12 dB }", x, phrases).mono());
        assertTrue(gain[7 * RATE] > 1 && gain[12 * RATE] > 1, gain[7 * RATE] + " and " + gain[12 * RATE] + " dB");
        for (int i = 9 * RATE; i < 11 * RATE; i++) assertTrue(gain[i] > Math.min(gain[7 * RATE], gain[12 * RATE]) - 0.01, "at " + i + ": " + gain[i] + " dB");
    }

    /** The same phrase twice, the second time 12 dB softer, of a man who takes no breath between. */
    @Test
    void aVoiceThatSingsOnWithoutABreathIsEvened() throws IOException {
        Voices.assumePresent();
        Samples take = Tidied.voice("male_sing_hot_vocadito10");
        double[] x = take.data()[0].clone();
        for (int i = (int) (4.6 * take.rate()); i < x.length; i++) x[i] *= Math.pow(10, -12 / 20.0);
        // A gain can be read wherever there is a sample.
        for (int i = 0; i < x.length; i++) if (x[i] == 0) x[i] = 1e-6;
        Samples uneven = new Samples(take.rate(), x);
        List<Mark> marks = new Ear(uneven).marks().all(), phrases = of(Mark.Kind.PHRASE, marks);
        assertEquals(2, phrases.size());
        double[] y = Rig.usual().exact().render("- ride: { amount: 100 %, most: 12 dB }", uneven, marks).mono();
        double[] after = each(y, take.rate(), phrases);
        assertEquals(after[0], after[1], 1);
        assertNoEdge(gain(x, y), take.rate());
        assertNoBreathRises(gain(x, y), Tidied.clearBreaths(marks));
    }

    @Test
    void anEvenTakePassesToTheBit() {
        Mark one = mark(Mark.Kind.PHRASE, RATE, 2, 5);
        assertArrayEquals(X, through("- ride", X, List.of(one)).mono(), 0);
    }

    @Test
    void takesWithoutASingerPassAndTheReasonIsTold() {
        double[] noise = new Random(1).doubles(3 * RATE, -0.01, 0.01).toArray();
        Rig.Result result = Rig.usual().exact().render("- ride", new Samples(RATE, noise));
        assertArrayEquals(noise, result.mono(), 0);
        assertTrue(found(result).contains("none: nobody sings"), found(result));
    }

    @ParameterizedTest
    @ValueSource(strings = {"male_sing_vocadito01", "female_sing_nit004_take1", "female_sing_nit004_take2", "male_sing_pjs063", "male_sing_hot_vocadito10",
            "female_sing_aah_sms"})
    void realVoicesGetEvener(String name) throws IOException {
        Voices.assumePresent();
        Samples take = Tidied.voice(name);
        double[] x = take.data()[0];
        List<Mark> marks = new Ear(take).marks().all();
        double[] y = Rig.usual().exact().render("- ride", take, marks).mono(), gain = gain(x, y);
        assertNoEdge(gain, take.rate());
        assertNoBreathRises(gain, Tidied.clearBreaths(marks));
        List<Mark> phrases = of(Mark.Kind.PHRASE, marks).stream().filter(p -> p.to() - p.from() > 0.5 * take.rate()).toList();
        assertTrue(spread(each(y, take.rate(), phrases)) <= spread(each(x, take.rate(), phrases)) + 0.01);
    }

    private static double spread(double[] x) {
        double mean = Arrays.stream(x).average().orElseThrow();
        return Math.sqrt(Arrays.stream(x).map(v -> (v - mean) * (v - mean)).average().orElseThrow());
    }
}
