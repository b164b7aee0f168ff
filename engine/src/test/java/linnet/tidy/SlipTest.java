package linnet.tidy;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.IntUnaryOperator;
import linnet.Voices;
import linnet.demo.Performance;
import linnet.demo.Score;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.dsp.Stretches;
import linnet.hear.Ear;
import linnet.tidy.Decision.What;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Parts that lie early or late as a whole, by what is known. */
class SlipTest {
    private static final double RATE = LooseDouble.RATE;
    private static final LooseDouble PAIR = LooseDouble.of(Singer.high().seed(11), 5);
    private static final Lead LEAD = new Lead(new Ear(new Samples(RATE, PAIR.lead().samples())));
    /** Four lines are enough. */
    private static final double LINES = 21;

    private static List<Decision> decisions(Samples part, Lead lead, double reach) {
        Aims aims = new Aims(OptionalDouble.of(0.012), reach, 0.1, false, OptionalDouble.empty(), false, new Aims.Level.Left());
        return new Tidied(new Ear(part), lead, aims, new Stretches(new long[0], new long[0])).decisions();
    }

    private static Optional<Decision> slip(List<Decision> decisions) {
        List<Decision> all = decisions.stream().filter(d -> d.what() == What.TAKE).toList();
        assertTrue(all.size() < 2);
        return all.stream().findFirst();
    }

    private static long reached(List<Decision> decisions) {
        return decisions.stream().filter(d -> d.what() == What.TIMING && d.off().isPresent()).count();
    }

    /** Some seconds of a sound, so much later. */
    private static Samples later(double[] x, double rate, double seconds, double later) {
        int by = (int) Math.round(later * rate);
        double[] y = new double[(int) (seconds * rate) + by];
        for (int i = Math.max(0, by); i < Math.min(y.length, x.length + by); i++) y[i] = x[i - by];
        return new Samples(rate, y);
    }

    /** By how much the middle of the first lines is later than the lead's. */
    private static double loose(LooseDouble pair) {
        double[] off = pair.onsets().stream().filter(o -> o[0] < LINES).mapToDouble(o -> o[0] - o[1]).sorted().toArray();
        return off[off.length / 2];
    }

    private static void isFound(LooseDouble pair, double later) {
        double[] x = pair.part().samples();
        List<Decision> before = decisions(later(x, RATE, LINES, later), LEAD, 0.5);
        Decision slip = slip(before).orElseThrow();
        assertEquals(-1000 * (later + loose(pair)), slip.by(), 20, slip.why());
        assertEquals(0, Math.IEEEremainder(slip.by(), 10), 0.03, "a nudge is told in steps of 10 ms");
        assertTrue(!slip.done()
                && slip.why().startsWith(String.format("the take lies %.2f s %s; moved as a whole, 4 of 4 phrases come within reach",
                        Math.abs(slip.by()) / 1000, later > 0 ? "late" : "early")), slip.why());
        assertEquals(0, reached(before));
        // What it says is so: its lines are reached then, and nothing is left to say.
        List<Decision> after = decisions(later(x, RATE, LINES, later + slip.by() / 1000), LEAD, 0.5);
        assertEquals(4, reached(after), after.toString());
        assertTrue(slip(after).isEmpty());
    }

    @ParameterizedTest
    @ValueSource(doubles = {0.7, -1.3, 3, -0.6, 9.5})
    void aDoubleThatLiesElsewhereIsFound(double later) {
        isFound(PAIR, later);
    }

    @ParameterizedTest
    @ValueSource(doubles = {0.7, -1.3, 3})
    void soIsAThirdAboveByAnother(double later) {
        isFound(LooseDouble.of(Singer.low().seed(3), 5, 4), later);
    }

    @ParameterizedTest
    @ValueSource(doubles = {0, 0.3, -0.3})
    void whatLiesWithinReachIsNot(double later) {
        List<Decision> decisions = decisions(later(PAIR.part().samples(), RATE, LINES, later), LEAD, 0.5);
        assertEquals(4, reached(decisions));
        assertTrue(slip(decisions).isEmpty());
    }

    /** A wider reach gets there by itself. */
    @Test
    void whetherItIsTooFarIsAMatterOfTheReach() {
        Samples part = later(PAIR.part().samples(), RATE, LINES, 0.7);
        assertTrue(slip(decisions(part, LEAD, 0.5)).isPresent());
        List<Decision> far = decisions(part, LEAD, 1);
        assertTrue(slip(far).isEmpty());
        assertEquals(4, reached(far));
    }

    /** The melody and the rhythm of the lead with the words of other places of the song, in every line that is told. */
    private static double[] otherWords(int by, IntUnaryOperator isOther) {
        Score s = SevenLanterns.lead();
        List<Score.Note> all = s.phrases().stream().flatMap(p -> p.notes().stream()).toList();
        List<Score.Phrase> phrases = new ArrayList<>();
        int k = by;
        for (Score.Phrase p : s.phrases()) {
            List<Score.Note> notes = new ArrayList<>();
            for (Score.Note n : p.notes()) {
                Score.Note o = isOther.applyAsInt(phrases.size()) == 0 ? n : all.get(k % all.size());
                k++;
                notes.add(new Score.Note(n.midi(), n.beats(), o.onset(), o.vowel(), o.glide(), o.coda(), n.cents(), n.scoopCents(), n.held()));
            }
            phrases.add(new Score.Phrase(p.beat(), p.section(), p.effort(), p.words(), notes));
        }
        return Performance.sing(new Score(s.title(), s.beatsPerMinute(), s.beatsPerBar(), s.key(), s.bars(), phrases), Singer.high().seed(4), RATE).samples();
    }

    @ParameterizedTest
    @CsvSource({"22, 0", "22, 0.7", "39, 0", "39, 0.7", "39, -3", "56, 0", "56, 0.7"})
    void otherWordsAreFoundNowhere(int by, double later) {
        double[] x = otherWords(by, line -> 1);
        assertTrue(slip(decisions(later(x, RATE, x.length / RATE, later), LEAD, 0.5)).isEmpty());
    }

    /** Every other line has other words: those of the lead tell where it lies, and where it lies right nothing is told. */
    @Test
    void halfOfTheLinesAreEnough() {
        double[] x = otherWords(22, line -> line % 2);
        Decision slip = slip(decisions(later(x, RATE, x.length / RATE, 2), LEAD, 0.5)).orElseThrow();
        assertEquals(-2000, slip.by(), 20);
        assertTrue(slip.why().contains("4 of 8 phrases"), slip.why());
        assertTrue(slip(decisions(later(x, RATE, x.length / RATE, 0), LEAD, 0.5)).isEmpty());
    }

    /** Within reach the lines with the lead's words are brought back and the others are not: nothing would be told of that, were it not for this. */
    @ParameterizedTest
    @ValueSource(doubles = {0.3, -0.25})
    void linesThatAreLateAlikeTellOfTheOthers(double later) {
        double[] x = otherWords(22, line -> line % 2);
        List<Decision> decisions = decisions(later(x, RATE, x.length / RATE, later), LEAD, 0.5);
        Decision slip = slip(decisions).orElseThrow();
        assertEquals(-1000 * later, slip.by(), 20);
        assertEquals(String.format("the take lies %.2f s %s, as 4 of 8 phrases do alike; what is left alone stays so unless it is moved as a whole",
                Math.abs(slip.by()) / 1000, later > 0 ? "late" : "early"), slip.why());
        assertEquals(4, reached(decisions), "they are moved as they were");
        double nudge = slip.by() / 1000;
        assertTrue(slip(decisions(later(x, RATE, x.length / RATE, later + nudge), LEAD, 0.5)).isEmpty(), "once it is written nothing is told");
    }

    /** As loose as singers are: a line with other words among some that are late by less is no reason to tell anything. */
    @Test
    void looseLinesTellOfNothing() {
        double[] x = otherWords(22, line -> line % 2);
        assertTrue(slip(decisions(later(x, RATE, x.length / RATE, 0.07), LEAD, 0.5)).isEmpty());
    }

    /** A file as long as a song with one chorus in it. */
    @Test
    void soIsALittleInALongSilence() {
        double[] x = Arrays.copyOf(Performance.sing(SevenLanterns.lead(), Singer.high().seed(11), RATE).samples(), (int) (240 * RATE));
        Arrays.fill(x, 0, (int) (30.5 * RATE), 0);
        Decision slip = slip(decisions(later(x, RATE, 240, 1.2), LEAD, 0.5)).orElseThrow();
        assertEquals(-1200, slip.by(), 20);
    }

    /** Four lines that are all the same, of which a part sings three: it may be any three. */
    @Test
    void whatMayBeInTwoPlacesIsToldToBeInNone() {
        Score s = SevenLanterns.lead();
        Score.Phrase line = s.phrases().get(5);
        double beats = 6;
        List<Score.Phrase> four = new ArrayList<>();
        for (int k = 0; k < 4; k++) four.add(new Score.Phrase(6 + k * beats, line.section(), line.effort(), line.words(), line.notes()));
        Samples lead = sung(s, four, Singer.high()), three = sung(s, four.subList(0, 3), Singer.high().seed(6)), all = sung(s, four, Singer.high().seed(6));
        Lead heard = new Lead(new Ear(lead));
        assertTrue(slip(decisions(later(all.data()[0], RATE, 20, 0.8), heard, 0.5)).isPresent(), "all four can only be those");
        assertTrue(slip(decisions(later(three.data()[0], RATE, 20, 0.8), heard, 0.5)).isEmpty());
    }

    private static Samples sung(Score s, List<Score.Phrase> phrases, Singer singer) {
        return new Samples(RATE, Performance.sing(new Score(s.title(), s.beatsPerMinute(), s.beatsPerBar(), s.key(), 9, phrases), singer, RATE).samples());
    }

    /** People labelled the same singer's second verse 0.68 s earlier; four of its six phrases begin with the same words. */
    @Test
    void twoTakesOfASong() throws Exception {
        Voices.assumePresent();
        Samples lead = VoiceRows.read("female_sing_nit004_take1.wav", 0, 15.05), part = VoiceRows.read("female_sing_nit004_take2.wav", 0, 16.1);
        for (double later : new double[] {0, -0.3, 2, 3.68, 5}) {
            List<Decision> before = decisions(later(part.data()[0], RATE, 16.1, later), new Lead(new Ear(lead)), 0.5);
            Decision slip = slip(before).orElseThrow();
            assertEquals(1000 * (0.68 - later), slip.by(), 20);
            assertEquals(0, reached(before), "what seems to be found elsewhere is left alone: " + before);
            assertTrue(slip.why().endsWith("4 of 6 phrases come within reach"), slip.why());
            List<Decision> after = decisions(later(part.data()[0], RATE, 16.1, later + slip.by() / 1000), new Lead(new Ear(lead)), 0.5);
            assertEquals(4, reached(after), after.toString());
            assertTrue(slip(after).isEmpty());
        }
    }

    /** Lines of one song against those of others and of itself, which are no doubles. */
    @Test
    void strangersAreFoundNowhere() throws Exception {
        Voices.assumePresent();
        Samples nit = VoiceRows.read("female_sing_nit004_take1.wav", 0, 15.05), pjs = VoiceRows.read("male_sing_pjs063.wav", 0, 14.7);
        Samples folk = VoiceRows.read("male_sing_vocadito01.wav", 0, 18), more = VoiceRows.read("male_sing_vocadito01.wav", 18.3, 33.2);
        for (Samples[] pair : new Samples[][] {{nit, pjs}, {pjs, nit}, {folk, more}, {more, folk}}) {
            assertTrue(slip(decisions(pair[1], new Lead(new Ear(pair[0])), 0.5)).isEmpty());
        }
    }
}
