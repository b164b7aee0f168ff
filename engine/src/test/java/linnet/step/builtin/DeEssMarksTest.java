package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import linnet.Rig;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.Cascade;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.hear.Told;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The de-esser beside a list of marks that a person corrected. By hand one lowers the marked sibilants, and no others: common practice. */
class DeEssMarksTest {
    private static final double RATE = 48_000;
    private static final Samples DEMO = new Samples(RATE, Arrays.copyOf(Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), RATE).samples(),
            (int) (16 * RATE)));
    private static final List<Mark> FOUND = new Ear(DEMO).marks().all();

    private static Samples voice(String name) throws IOException {
        Voices.assumePresent();
        try (WavFile file = WavFile.open(Voices.file(name + ".wav"))) {
            double[][] x = new double[file.channels()][(int) file.frames()];
            file.read(0, x, x[0].length);
            return new Samples(file.rate(), x);
        }
    }

    private static double[] through(String row, Samples take, List<Mark> marks) {
        return Rig.usual().exact().render(row, take, marks).mono();
    }

    private static List<Mark> without(List<Mark> all, Mark... some) {
        return all.stream().filter(m -> !List.of(some).contains(m)).toList();
    }

    private static List<Mark> with(List<Mark> all, Mark... more) {
        return Stream.concat(all.stream(), Stream.of(more)).toList();
    }

    private static Mark kept(Mark m) {
        return new Mark(m.kind(), m.from(), m.to(), m.confidence(), true);
    }

    private static Mark keep(double rate, double from, double to) {
        return new Mark(Mark.Kind.KEEP, (long) (from * rate), (long) (to * rate), 1, true);
    }

    /** By how many dB a stretch came out quieter; the s of the test voices lie wholly in the band. */
    private static double lowered(double[] x, double[] y, double from, double to) {
        return power(x, from, to) - power(y, from, to);
    }

    private static double power(double[] x, double from, double to) {
        return 10 * Math.log10(Arrays.stream(x, (int) from, (int) to).map(v -> v * v).sum());
    }

    private static double lowered(double[] x, double[] y, Mark m) {
        return lowered(x, y, m.from() + 0.2 * (m.to() - m.from()), m.to() - 0.2 * (m.to() - m.from()));
    }

    private static void same(double[] x, double[] y, double from, double to) {
        assertArrayEquals(Arrays.copyOfRange(x, (int) from, (int) to), Arrays.copyOfRange(y, (int) from, (int) to), 0);
    }

    /** What lies over vowels. */
    private static double[] high(double[] x) {
        double[] y = x.clone();
        new Cascade(Butterworth.highPass(RATE, 7000, 4)).process(y, y.length);
        return y;
    }

    /** The clearest of those that stand alone. */
    private static List<Mark> sibilants() {
        List<Mark> clear = new ArrayList<>();
        double[] x = DEMO.data()[0], y = Rig.usual().exact().render("- de-ess", DEMO).mono();
        for (Mark m : new Marks(FOUND).of(Mark.Kind.SIBILANT)) if (lowered(x, y, m) > 3.5) clear.add(m);
        assertTrue(clear.size() > 3, clear.toString());
        return clear;
    }

    @ParameterizedTest
    @ValueSource(strings = {"- de-ess", "- de-ess: { band: 7 kHz }", "- de-ess: { most: 15 dB, release: 300 ms }"})
    void whatIsKeptOrTakenOutOfTheListIsLeft(String row) {
        List<Mark> clear = sibilants();
        double[] x = DEMO.data()[0], all = through(row, DEMO, FOUND);
        Mark m = clear.get(1), other = clear.get(2);
        assertTrue(lowered(x, all, m) > 3);
        List<List<Mark>> lists = List.of(without(FOUND, m), with(without(FOUND, m), kept(m)),
                with(FOUND, keep(RATE, m.from() / RATE - 0.02, m.to() / RATE + 0.02)));
        for (List<Mark> list : lists) {
            double[] y = through(row, DEMO, list);
            same(x, y, m.from(), m.to());
            assertEquals(lowered(x, all, other), lowered(x, y, other), 1e-9);
        }
        // A stretch that is kept and has half of it has all of it, as with every step.
        same(x, through(row, DEMO, with(FOUND, keep(RATE, m.from() / RATE - 0.1, (m.from() + m.to()) / 2 / RATE))), m.from(), m.to());
    }

    /** The nit004 singer: 7.45 to 7.55 s and 8.37 to 8.45 s, `voices/README.md`. */
    @ParameterizedTest
    @ValueSource(strings = {"- de-ess", "- de-ess: { band: 7 kHz }"})
    void theSOfAVoiceIsLeftThatAPersonTookOut(String row) throws IOException {
        Samples take = voice("female_sing_nit004_take1");
        double rate = take.rate();
        double[] x = take.data()[0];
        List<Mark> found = new Ear(take).marks().all();
        Mark s = found.stream().filter(m -> m.kind() == Mark.Kind.SIBILANT && m.meets((long) (7.45 * rate), (long) (7.55 * rate))).findFirst().orElseThrow();
        for (List<Mark> list : List.of(without(found, s), with(without(found, s), kept(s)), with(found, keep(rate, 7.4, 7.6)))) {
            double[] y = through(row, take, list);
            same(x, y, 7.42 * rate, 7.57 * rate);
            assertEquals(5, lowered(x, y, 8.38 * rate, 8.44 * rate), 1.5);
        }
    }

    /** It would else be lowered less or not at all: it is soft, or a vowel sounds in it. */
    @Test
    void whatIsAddedToTheListIsLowered() {
        double[] x = DEMO.data()[0], before = through("- de-ess", DEMO, FOUND);
        Mark vowel = new Marks(FOUND).of(Mark.Kind.VOWEL).stream()
                .filter(v -> FOUND.stream().noneMatch(m -> m.kind() != Mark.Kind.PHRASE && m != v && m.meets(v.from() - 4800, v.from() + 14_400)))
                .findFirst().orElseThrow();
        Mark added = new Mark(Mark.Kind.SIBILANT, vowel.from() + 2400, vowel.from() + 7200, 1, false);
        same(x, before, added.from(), added.to());
        double[] y = through("- de-ess: { band: 7 kHz }", DEMO, with(FOUND, added));
        double[] hx = high(x), hy = high(y);
        assertEquals(5, lowered(hx, hy, added), 0.3);
        same(x, y, vowel.from() - 2400, added.from() - 0.01 * RATE);
        // The same as the ear would write it, with what it is sure of, is no word of a person.
        same(x, through("- de-ess", DEMO, with(FOUND, new Mark(Mark.Kind.SIBILANT, added.from(), added.to(), 0.6, false))), added.from(), added.to());
    }

    /** As it is found, a list changes nothing, whether somebody looked it over or not. */
    @ParameterizedTest
    @CsvSource({"female_sing_nit004_take1", "male_sing_pjs063", "male_sing_vocadito01", "male_speech_sibilant_pjs005"})
    void theListAsItIsFoundChangesNothing(String name) throws IOException {
        Samples take = voice(name);
        double[] bare = Rig.usual().exact().render("- de-ess", take).mono();
        Marks found = new Ear(take).marks();
        for (boolean corrected : new boolean[] {false, true}) {
            Ear ear = new Ear(take, new Told(Optional.of(found), true, corrected, Optional.empty()));
            double[] y = Rig.usual().exact().render(Rig.usual().chain("- de-ess"), ear).mono();
            for (Mark m : found.of(Mark.Kind.SIBILANT)) assertEquals(lowered(take.data()[0], bare, m), lowered(take.data()[0], y, m), 0.01, m.toString());
            // Breaths of the list are left alone, which is all the difference there may be.
            List<Mark> breaths = found.of(Mark.Kind.BREATH);
            for (int i = 0; i < bare.length; i++) {
                long at = i;
                if (bare[i] != y[i]) assertTrue(breaths.stream().anyMatch(b -> b.meets(at - 24_000, at + 4800)), "at " + i / take.rate());
            }
        }
    }

    @Test
    void itTellsWhatAPersonSaid() {
        List<Mark> clear = sibilants();
        List<Mark> list = with(without(FOUND, clear.get(0), clear.get(1)), kept(clear.get(1)));
        String found = Rig.usual().exact().render("- de-ess", DEMO, list).rendered().resolved().toString();
        assertTrue(found.contains("1 kept, 1 taken out of the list"), found);
        assertTrue(!Rig.usual().exact().render("- de-ess", DEMO, FOUND).rendered().resolved().toString().contains("taken out"));
    }
}
