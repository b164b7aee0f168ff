package linnet.tidy;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.OptionalDouble;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
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

/** A hook: one word eight times, so that by the word alone each of a double's may be any of the lead's. Where each belongs is known. */
class HookTest {
    private static final double RATE = LooseDouble.RATE, FIRST = 1, LENGTH = 0.36;
    private static final int HITS = 8;
    /** No more than a line may be off that is held by the one beside it. */
    private static final double NEAR_MS = 60;

    /** One word of the song at each of these seconds. */
    private static Samples sung(double[] at, Singer singer, int phrase, int note) {
        double[] length = new double[at.length];
        Arrays.fill(length, LENGTH);
        return sung(at, length, singer, phrase, note);
    }

    private static Samples sung(double[] at, double[] length, Singer singer, int phrase, int note) {
        Score song = SevenLanterns.lead();
        Score.Note n = song.phrases().get(phrase).notes().get(note);
        List<Score.Phrase> hits = new ArrayList<>();
        for (int k = 0; k < at.length; k++) {
            hits.add(new Score.Phrase(at[k], "chorus", 0.6, "hook",
                    List.of(new Score.Note(n.midi(), length[k], n.onset(), n.vowel(), n.glide(), n.coda(), 0, 0, false))));
        }
        return new Samples(RATE, Performance.sing(new Score(song.title(), 60, 4, song.key(), 3, hits), singer, RATE).samples());
    }

    private static double[] hits(double period) {
        double[] at = new double[HITS];
        for (int k = 0; k < HITS; k++) at[k] = FIRST + period * k;
        return at;
    }

    /** The same, so much later and a little uneven. */
    private static double[] loose(double[] lead, double late) {
        SplittableRandom random = new SplittableRandom(7);
        double[] at = new double[lead.length];
        for (int k = 0; k < at.length; k++) at[k] = lead[k] + late + random.nextDouble(-0.025, 0.025);
        return at;
    }

    private static List<Decision> timing(Samples part, Samples lead, double reach) {
        Aims aims = new Aims(OptionalDouble.of(0.012), reach, 0.1, false, OptionalDouble.empty(), false, new Aims.Level.Left());
        return new Tidied(new Ear(part), new Lead(new Ear(lead)), aims, new Stretches(new long[0], new long[0])).decisions().stream()
                .filter(d -> d.what() == What.TIMING).toList();
    }

    /** Whether it was moved, or found where it may stay. */
    private static boolean isFound(Decision d) {
        return d.off().isPresent();
    }

    private static void isNoWorse(Decision d) {
        d.off().ifPresent(o -> assertTrue(Math.round(Math.abs(o.after().late())) <= Math.max(12, Math.round(Math.abs(o.before().late()))), d.toString()));
    }

    /** "boats" and "back", by line and note of the song; the next hit of the lead is within reach of some of the double's in all rows but the last. */
    @ParameterizedTest
    @CsvSource({
        "0, 5, 0.75, 0.03, 1", "0, 5, 0.75, 0.1, 1", "0, 5, 0.75, 0.2, 1", "0, 5, 0.75, -0.1, 1", "0, 5, 0.7, 0.25, 0.5", "0, 5, 0.7, 0.3, 0.5",
                "0, 5, 1, 0.1, 1.2",
        "5, 2, 0.75, 0.03, 1", "5, 2, 0.75, 0.2, 1", "5, 2, 0.7, 0.25, 0.5", "5, 2, 0.7, 0.3, 0.5", "5, 2, 0.75, -0.1, 1", "5, 2, 1, 0.1, 1.2",
                "5, 2, 1, 0.03, 0.5"})
    void everyHitGoesToItsOwn(int phrase, int note, double period, double late, double reach) {
        double[] lead = hits(period), part = loose(lead, late);
        List<Decision> decisions = timing(sung(part, Singer.high().seed(11), phrase, note), sung(lead, Singer.high(), phrase, note), reach);
        assertEquals(HITS, decisions.size());
        for (int k = 0; k < HITS; k++) {
            Decision d = decisions.get(k);
            assertTrue(isFound(d), d.toString());
            assertEquals(1000 * (lead[k] - part[k]), d.by(), NEAR_MS, "hit " + k + ": " + d);
            isNoWorse(d);
        }
    }

    /** Some hits are sung by one of them alone: those of the double are left alone, the others go to their own. */
    @ParameterizedTest
    @CsvSource({"11111111, 00110011", "11111111, 10110111", "01111111, 11111111", "11101111, 11111111", "11111110, 11111111"})
    void whatOneOfThemSingsAloneMovesNoOther(String lead, String part) {
        double[] at = hits(0.75), later = loose(at, 0.03);
        List<Decision> decisions = timing(sung(only(part, later), Singer.high().seed(11), 5, 2), sung(only(lead, at), Singer.high(), 5, 2), 1);
        int next = 0;
        for (int k = 0; k < HITS; k++) {
            if (part.charAt(k) == '0') continue;
            Decision d = decisions.get(next++);
            assertEquals(lead.charAt(k) == '1', isFound(d), "hit " + k + ": " + d);
            assertEquals(lead.charAt(k) == '1' ? 1000 * (at[k] - later[k]) : 0, d.by(), NEAR_MS, "hit " + k + ": " + d);
        }
        assertEquals(decisions.size(), next);
    }

    /** Every other hit, late by a third of the way to the next; one of them is nearer to that, and still late as the others are. */
    @Test
    void aHitGoesTheWayItsNeighboursDo() {
        double[] at = hits(0.75), part = only("10101010", at);
        for (int k = 0; k < part.length; k++) part[k] += k == 1 ? 0.4 : 0.28;
        List<Decision> decisions = timing(sung(part, Singer.high().seed(11), 5, 2), sung(at, Singer.high(), 5, 2), 0.5);
        assertEquals(4, decisions.size());
        for (int k = 0; k < 4; k++) assertEquals(1000 * (at[2 * k] - part[k]), decisions.get(k).by(), NEAR_MS, "hit " + k + ": " + decisions.get(k));
    }

    private static double[] only(String sung, double[] at) {
        return IntStream.range(0, HITS).filter(k -> sung.charAt(k) == '1').mapToDouble(k -> at[k]).toArray();
    }

    /** One hit begins 0.2 s early and ends 0.2 s late. The next is in time and right behind it: driven together they would all be farther off. */
    @Test
    void aLineThatWouldBeFartherOffIsLeftAlone() {
        double[] lead = hits(0.9), part = lead.clone(), length = new double[HITS];
        Arrays.fill(length, LENGTH);
        part[3] -= 0.2;
        length[3] += 0.4;
        List<Decision> decisions = timing(sung(part, length, Singer.high().seed(11), 5, 2), sung(lead, Singer.high(), 5, 2), 0.5);
        assertEquals(HITS, decisions.size());
        decisions.forEach(HookTest::isNoWorse);
        assertTrue(!decisions.get(3).done() && decisions.get(3).by() == 0, decisions.toString());
        String told = decisions.get(3).told(at -> "there");
        assertTrue(told.matches("(19|20|21)\\d ms (early|late) at there, and left there: moved as far as the lines beside it let it, it would be off "
                + "by \\d+ ms"), told);
        assertEquals(decisions.get(3).off().get().before(), decisions.get(3).off().get().after());
        assertTrue(decisions.get(2).done() && decisions.get(5).done(), "others move: " + decisions);
    }
}
