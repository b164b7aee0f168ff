package linnet.step.builtin;

import static linnet.step.builtin.Tidied.RATE;
import static linnet.step.builtin.Tidied.assertSameOutside;
import static linnet.step.builtin.Tidied.db;
import static linnet.step.builtin.Tidied.found;
import static linnet.step.builtin.Tidied.mark;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
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
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.ZeroPhase;
import linnet.hear.Mark;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Thumps filtered. Limits, common practice: below 120 Hz at least 10 dB lower in the thump, above 300 Hz within 0.5 dB, nothing else touched. */
class PopsTest {
    private static final int BLEND = RATE / 50;

    private static Rig.Result through(String row, Samples take, List<Mark> marks) {
        return Rig.usual().exact().render(row, take, marks);
    }

    private static List<Mark> pops(List<Mark> marks) {
        return marks.stream().filter(m -> m.kind() == Mark.Kind.PLOSIVE).toList();
    }

    private static List<long[]> spans(List<Mark> marks, long blend) {
        return pops(marks).stream().map(m -> new long[] {m.from() - blend, m.to() + blend}).toList();
    }

    private static double below(double hz, double[] x, double rate, Mark m) {
        return db(low(hz, x, rate, m.from() - 20000), Math.min(20000, m.from()), Math.min(20000, m.from()) + m.to() - m.from());
    }

    private static double above(double hz, double[] x, double rate, Mark m) {
        double[] low = low(hz, x, rate, m.from() - 20000), rest = new double[low.length];
        int from = (int) Math.max(0, m.from() - 20000);
        for (int i = 0; i < rest.length; i++) rest[i] = x[from + i] - low[i];
        return db(rest, m.from() - from, m.to() - from);
    }

    private static double between(double lowHz, double hz, double[] x, double rate, Mark m) {
        double[] low = low(lowHz, x, rate, m.from() - 20000), band = low(hz, x, rate, m.from() - 20000);
        int from = (int) Math.max(0, m.from() - 20000);
        for (int i = 0; i < band.length; i++) band[i] -= low[i];
        return db(band, m.from() - from, m.to() - from);
    }

    /** A steep low-pass of a second around the mark. */
    private static double[] low(double hz, double[] x, double rate, long at) {
        int from = (int) Math.max(0, at);
        double[] low = Arrays.copyOfRange(x, from, Math.min(x.length, from + 50000));
        ZeroPhase.process(Butterworth.lowPass(rate, hz, 8), low);
        return low;
    }

    private static Performance performance(String singer) {
        return Performance.sing(SevenLanterns.lead(), singer.equals("high") ? Singer.high() : Singer.low(), Room.bedroom(), RATE);
    }

    @ParameterizedTest
    @ValueSource(strings = {"high", "low"})
    void thumpsLoseTheirLowEndAndNothingElseIsTouched(String singer) {
        Performance lead = performance(singer);
        Samples take = Tidied.take(lead);
        List<Mark> marks = Tidied.marks(lead);
        double[] x = take.data()[0], y = through("- pops", take, marks).mono();
        assertTrue(pops(marks).size() > 5);
        for (Mark m : pops(marks)) {
            double lost = below(120, x, RATE, m) - below(120, y, RATE, m);
            assertTrue(lost >= 10, lost + " dB at " + m.from() / (double) RATE + " s");
            assertEquals(above(300, x, RATE, m), above(300, y, RATE, m), 0.5);
        }
        assertSameOutside(x, y, spans(marks, BLEND));
    }

    /** From a thump over silence the whole request is taken, to the filter's own edge. */
    @ParameterizedTest
    @CsvSource({"6", "12", "20", "40"})
    void aThumpIsLoweredByWhatIsAsked(double lower) {
        double[] x = new double[2 * RATE];
        thump(x, 1);
        Mark m = mark(Mark.Kind.PLOSIVE, RATE, 0.98, 1.12);
        double[] y = through("- pops: { lower: " + lower + " dB }", new Samples(RATE, x), List.of(m)).mono();
        assertEquals(lower, below(90, x, RATE, m) - below(90, y, RATE, m), 0.5);
    }

    /** A burst of 45 Hz that dies away, as loud as the voice. */
    private static void thump(double[] x, double at) {
        for (int i = 0; i < 0.12 * RATE; i++) {
            double t = (double) i / RATE;
            x[(int) (at * RATE) + i] += 0.4 * Math.exp(-t / 0.025) * (1 - Math.exp(-t / 0.004)) * Math.sin(2 * Math.PI * 45 * t);
        }
    }

    /**
     * A vowel of 110 Hz that begins within the thump: what comes out is the vowel as it was without the thump, its fundamental within 1 dB
     * from 30 ms after its beginning on, and its beginning not later.
     */
    @ParameterizedTest
    @ValueSource(doubles = {98, 110, 146})
    void theChestOfALowVoiceStays(double hz) {
        double[] clean = new double[3 * RATE];
        Random random = new Random(4);
        for (int i = 0; i < clean.length; i++) clean[i] = 1e-4 * random.nextGaussian();
        int start = (int) (1.05 * RATE);
        for (int i = start; i < 2.5 * RATE; i++) {
            double t = (double) (i - start) / RATE, in = Math.min(1, t / 0.015);
            for (int k = 1; k * hz < 5000; k++) clean[i] += in * 0.15 / k * Math.sin(2 * Math.PI * k * hz * t);
        }
        double[] x = clean.clone();
        thump(x, 1);
        Mark m = mark(Mark.Kind.PLOSIVE, RATE, 0.995, 1.10);
        double[] y = through("- pops", new Samples(RATE, x), List.of(m)).mono();
        double[] left = new double[x.length], thumped = new double[x.length];
        for (int i = 0; i < x.length; i++) {
            left[i] = y[i] - clean[i];
            thumped[i] = x[i] - clean[i];
        }
        for (int from = start + (int) (0.03 * RATE); from < 1.3 * RATE; from += RATE / 100) {
            assertEquals(amplitude(clean, hz, from), amplitude(y, hz, from), 0.12 * amplitude(clean, hz, from), "fundamental at " + from);
        }
        assertTrue(db(left, m.from(), m.to()) < db(thumped, m.from(), m.to()) - 10,
                "the thump is 10 dB less: " + db(left, m.from(), m.to()) + " of " + db(thumped, m.from(), m.to()));
    }

    /** Of the harmonic at that frequency, over whole periods. */
    private static double amplitude(double[] x, double hz, int from) {
        int n = (int) Math.round(3 * RATE / hz);
        double re = 0, im = 0;
        for (int i = 0; i < n; i++) {
            re += x[from + i] * Math.cos(2 * Math.PI * hz * i / RATE);
            im += x[from + i] * Math.sin(2 * Math.PI * hz * i / RATE);
        }
        return 2 * Math.hypot(re, im) / n;
    }

    @Test
    void whatIsKeptIsNotTouched() {
        Performance lead = performance("high");
        Samples take = Tidied.take(lead);
        double[] x = take.data()[0];
        List<Mark> marks = new ArrayList<>(Tidied.marks(lead));
        Mark first = pops(marks).get(0), third = pops(marks).get(3);
        // One is kept itself, the blend of another runs into what is kept.
        marks.replaceAll(m -> m == third ? new Mark(m.kind(), m.from(), m.to(), 1, true) : m);
        marks.add(new Mark(Mark.Kind.KEEP, first.to() + 200, first.to() + 9000, 1, false));
        Rig.Result result = through("- pops", take, marks);
        List<Mark> free = pops(marks).stream().filter(m -> m.from() != third.from() && m != first).toList();
        List<long[]> touched = new ArrayList<>(spans(free, BLEND));
        touched.add(new long[] {first.from() - BLEND, first.to() + 200});
        assertSameOutside(x, result.mono(), touched);
        assertTrue(found(result).contains("9, 1 kept"), found(result));
        // No step where it was cut short.
        double before = Math.abs(x[(int) first.to() + 200] - x[(int) first.to() + 199]),
                after = Math.abs(result.mono()[(int) first.to() + 200] - result.mono()[(int) first.to() + 199]);
        assertEquals(before, after, 1e-4);
    }

    @Test
    void oneMarkLessChangesThatThumpOnly() {
        Performance lead = performance("low");
        Samples take = Tidied.take(lead);
        List<Mark> marks = Tidied.marks(lead);
        Mark gone = pops(marks).get(4);
        double[] all = through("- pops", take, marks).mono(), without = through("- pops", take, marks.stream().filter(m -> m != gone).toList()).mono();
        assertSameOutside(all, without, List.of(new long[] {gone.from() - BLEND, gone.to() + BLEND}));
    }

    @Test
    void theCornerMayBeStatedAgainstTheSinger() {
        Performance lead = performance("low");
        Samples take = Tidied.take(lead);
        List<Mark> marks = Tidied.marks(lead);
        Rig.Result result = through("- pops: { below: 0.8 x lowest note }", take, marks);
        assertTrue(found(result).contains("setting=below"), found(result));
        for (Mark m : pops(marks)) assertTrue(below(70, take.data()[0], RATE, m) - below(70, result.mono(), RATE, m) > 10);
    }

    @Test
    void bothChannelsAreMended() {
        double[] l = new double[2 * RATE], r = new double[2 * RATE];
        thump(l, 1);
        for (int i = 0; i < l.length; i++) r[i] = 0.5 * l[i];
        double[][] y = through("- pops", new Samples(RATE, l, r), List.of(mark(Mark.Kind.PLOSIVE, RATE, 0.99, 1.1))).x();
        for (int i = 0; i < l.length; i++) assertEquals(0.5 * y[0][i], y[1][i], 1e-15);
    }

    @Test
    void atTheEdgesOfATakeNothingBreaks() {
        double[] x = new double[RATE];
        thump(x, 0);
        thump(x, 0.88);
        double[] y = through("- pops", new Samples(RATE, x), List.of(mark(Mark.Kind.PLOSIVE, RATE, 0, 0.1), mark(Mark.Kind.PLOSIVE, RATE, 0.88, 1))).mono();
        assertTrue(db(y, 500, 4800) < db(x, 500, 4800) - 10);
        assertTrue(db(y, RATE - 5000, RATE - 500) < db(x, RATE - 5000, RATE - 500) - 10);
    }

    /** Thumps are found in no take of the laws, so the corners are here. */
    @ParameterizedTest
    @CsvSource({"44100, 60, 5", "48000, 250, 60", "96000, 60, 60", "192000, 60, 5", "192000, 250, 60"})
    void everyRateAndCornerStaysFiniteAndStable(double rate, double below, double blend) {
        double[] x = new double[(int) (0.6 * rate)];
        Random random = new Random(6);
        for (int i = 0; i < x.length; i++) {
            x[i] = Math.sin(2 * Math.PI * 30 * i / rate) * (i > 0.2 * rate && i < 0.3 * rate ? 0.9 : 0) + 0.01 * random.nextGaussian();
        }
        String row = "- pops: { lower: 40 dB, below: " + below + " Hz, blend: " + blend + " ms }";
        List<Mark> marks = List.of(mark(Mark.Kind.PLOSIVE, rate, 0.2, 0.3), mark(Mark.Kind.PLOSIVE, rate, 0.31, 0.4),
                mark(Mark.Kind.PLOSIVE, rate, 0.5, 0.5001));
        double[] y = through(row, new Samples(rate, x), marks).mono();
        for (double v : y) assertTrue(Math.abs(v) < 2);
        assertTrue(db(y, (long) (0.22 * rate), (long) (0.28 * rate)) < db(x, (long) (0.22 * rate), (long) (0.28 * rate)) - 15);
        assertArrayEquals(y, Rig.usual().exact().block(64).render(row, new Samples(rate, x), marks).mono(), 0);
    }

    @Test
    void takesWithoutASingerPassAndTheReasonIsTold() {
        double[] noise = new Random(1).doubles(3 * RATE, -0.01, 0.01).toArray();
        Rig.Result result = Rig.usual().exact().render("- pops", new Samples(RATE, noise));
        assertArrayEquals(noise, result.mono(), 0);
        assertTrue(found(result).contains("none: nobody sings"), found(result));
    }

    /** Marked by hand: energy below 90 Hz. The voice sings at 107 Hz and above, so below 85 Hz there is nothing but the thump. */
    @ParameterizedTest
    @CsvSource({"4.335, 4.39", "15.89, 15.95", "19.25, 19.30", "22.975, 23.03"})
    void popsOfARealVoice(double from, double to) throws IOException {
        Voices.assumePresent();
        Samples take = Tidied.voice("male_sing_vocadito01");
        double[] x = take.data()[0];
        Mark m = mark(Mark.Kind.PLOSIVE, take.rate(), from, to);
        double[] y = through("- pops", take, List.of(m)).mono();
        assertTrue(below(120, x, take.rate(), m) - below(120, y, take.rate(), m) >= 10);
        assertTrue(below(85, x, take.rate(), m) - below(85, y, take.rate(), m) >= 15);
        assertEquals(above(300, x, take.rate(), m), above(300, y, take.rate(), m), 0.5);
        assertSameOutside(x, y, spans(List.of(m), Math.round(0.02 * take.rate())));
    }

    /**
     * A speaker who hums at 100 Hz behind closed lips, in the thump, for a tenth of a second before the tracker hears a pitch: that is voice. Read off its
     * spectrogram.
     */
    @Test
    void theHumBehindClosedLipsStays() throws IOException {
        Voices.assumePresent();
        Samples take = Tidied.voice("male_speech_noisy_sms");
        double[] x = take.data()[0], y = through("- pops", take, List.of(mark(Mark.Kind.PLOSIVE, take.rate(), 3.989, 4.209))).mono();
        for (double from = 4.01; from < 4.2; from += 0.02) {
            Mark here = mark(Mark.Kind.PLOSIVE, take.rate(), from, from + 0.04);
            assertEquals(between(90, 300, x, take.rate(), here), between(90, 300, y, take.rate(), here), 1.5, "at " + from + " s");
        }
        Mark thump = mark(Mark.Kind.PLOSIVE, take.rate(), 3.99, 4.05);
        assertTrue(below(60, x, take.rate(), thump) - below(60, y, take.rate(), thump) >= 15);
    }

    /** A syllable of 40 ms at 142 Hz, most of it in the thump, and an s right after it: no vowel follows that could tell its pitch. Read off the wave. */
    @Test
    void theChestOfAShortSyllableStays() throws IOException {
        Voices.assumePresent();
        Samples take = Tidied.voice("male_sing_vocadito01");
        double[] x = take.data()[0], y = through("- pops", take, List.of(mark(Mark.Kind.PLOSIVE, take.rate(), 22.329, 22.364))).mono();
        Mark syllable = mark(Mark.Kind.PLOSIVE, take.rate(), 22.332, 22.372);
        assertEquals(between(120, 170, x, take.rate(), syllable), between(120, 170, y, take.rate(), syllable), 1.5);
    }
}
