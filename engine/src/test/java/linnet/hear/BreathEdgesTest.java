package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Random;
import linnet.dsp.Samples;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.ZeroPhase;
import linnet.hear.Mark.Kind;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Where a breath begins and ends, against pauses put together of noises whose every border is known: a voice of -20 dBFS in a room of -80. */
class BreathEdgesTest {
    private static final int RATE = 48_000;
    /** Levels are heard over 50 ms: a border may lie half of that off, and a frame. */
    private static final double NEAR = 0.035;
    private static final double PAUSE = 3;

    /** With its borders in seconds. */
    private record Piece(String name, double from, double to) {}

    private static final class Take {
        private final Random random = new Random(4);
        private final double[] x = new double[9 * RATE];
        private final Piece[] pieces;

        /** Pieces from the end of a line to the beginning of the next, each a name and its milliseconds. */
        Take(String text) {
            String[] words = text.split(" ");
            pieces = new Piece[words.length / 2];
            for (int i = 0; i < x.length; i++) x[i] = 1e-4 * random.nextGaussian();
            sing(1, PAUSE);
            double at = PAUSE;
            for (int i = 0; i < pieces.length; i++) {
                pieces[i] = new Piece(words[2 * i], at, at + Double.parseDouble(words[2 * i + 1]) / 1000);
                sound(pieces[i]);
                at = pieces[i].to;
            }
            sing(at, at + 2);
        }

        private void sound(Piece p) {
            switch (p.name) {
                case "air" -> noise(p, 600, 5000, -45);
                // The mouth nearly closed: what is left lies under 500 Hz, and may be the loudest of a breath.
                case "dark" -> noise(p, 150, 500, -42);
                case "f" -> noise(p, 1800, 14_000, -52);
                case "h" -> noise(p, 300, 1000, -45);
                case "s" -> noise(p, 4500, 11_000, -45);
                case "t" -> noise(p, 2500, 8000, -38);
                case "room" -> { }
                default -> throw new IllegalArgumentException(p.name);
            }
        }

        /** Air comes and goes slowly, or it would be the burst of a stop. */
        private void noise(Piece p, double low, double high, double db) {
            int n = (int) Math.round((p.to - p.from) * RATE), beside = RATE / 10, ramp = p.name.equals("t") ? RATE / 500 : RATE / 50;
            double[] y = new double[n + 2 * beside];
            for (int i = 0; i < y.length; i++) y[i] = random.nextGaussian();
            ZeroPhase.process(List.of(Biquad.highPass(RATE, low, Biquad.BUTTERWORTH), Biquad.lowPass(RATE, high, Biquad.BUTTERWORTH)), y);
            double power = 0;
            for (double v : y) power += v * v;
            double gain = Math.pow(10, db / 20) / Math.sqrt(power / y.length);
            int from = (int) Math.round(p.from * RATE);
            for (int i = 0; i < n; i++) x[from + i] += gain * Math.min(1, Math.min(i + 1, n - i) / (double) ramp) * y[beside + i];
        }

        private void sing(double from, double to) {
            for (int i = (int) (from * RATE); i < to * RATE; i++) {
                double rise = Math.min(1, Math.min(i / (double) RATE - from, to - i / (double) RATE) / 0.01);
                for (int k = 1; k < 9; k++) x[i] += 0.11 * rise / k * Math.sin(2 * Math.PI * 220 * k * i / RATE + k);
            }
        }

        Piece first(String name) {
            for (Piece p : pieces) if (p.name.equals(name)) return p;
            throw new IllegalArgumentException(name);
        }

        Marks marks() {
            return new Ear(new Samples(RATE, x)).speech();
        }
    }

    private static Mark breath(Marks marks) {
        assertEquals(1, marks.of(Kind.BREATH).size(), marks.toString());
        return marks.of(Kind.BREATH).get(0);
    }

    /** Whatever its colour, all of it is marked: it begins with its first noise and ends with its last. */
    @ParameterizedTest
    @ValueSource(strings = {"room 150 air 300 room 150", "room 150 air 300 dark 90 room 100", "room 150 dark 110 air 300 room 100",
            "room 120 dark 120 air 300 dark 150 room 90", "room 150 air 250 dark 120 air 200 room 100"})
    void aBreathIsMarkedFromEndToEnd(String pause) {
        Take take = new Take(pause);
        Mark breath = breath(take.marks());
        assertEquals(take.pieces[1].from, breath.from() / (double) RATE, NEAR);
        assertEquals(take.pieces[take.pieces.length - 1].from, breath.to() / (double) RATE, NEAR);
    }

    /** It runs straight into a word, or out of one: the consonant is the word's, marked or too weak to be. */
    @ParameterizedTest
    @CsvSource({"room 150 air 300 f 120, f", "room 150 air 300 h 120, h", "room 150 air 300 s 120, s", "room 150 air 300 t 20, t",
            "room 150 air 300 room 60 t 20, t", "room 150 air 300 s 100 room 100 t 20, s"})
    void aBreathEndsBeforeTheConsonant(String pause, String consonant) {
        Take take = new Take(pause);
        Marks marks = take.marks();
        assertTrue(breath(marks).to() <= (take.first(consonant).from + NEAR) * RATE, marks.toString());
    }

    /** Silence as short as 20 ms parts it from an h, which is left to the word to its first sample. */
    @ParameterizedTest
    @ValueSource(strings = {"room 150 air 300 room 20 h 60", "room 150 air 300 room 30 f 80", "room 150 dark 100 air 200 room 40 h 50"})
    void aBreathEndsInTheGapBeforeAWord(String pause) {
        Take take = new Take(pause);
        Mark breath = breath(take.marks());
        Piece gap = take.pieces[take.pieces.length - 2];
        assertTrue(breath.to() >= (gap.from - 0.02) * RATE && breath.to() <= gap.to * RATE, () -> breath.to() / (double) RATE + " " + gap);
    }

    @ParameterizedTest
    @CsvSource({"f 120 air 300 room 150, f", "h 120 air 300 room 150, h", "room 100 s 100 air 300 room 150, s", "s 120 air 300 room 150, s",
            "room 60 t 20 air 300 room 150, t"})
    void aBreathBeginsAfterTheConsonant(String pause, String consonant) {
        Take take = new Take(pause);
        Marks marks = take.marks();
        assertTrue(breath(marks).from() >= (take.first(consonant).to - NEAR) * RATE, marks.toString());
    }
}
