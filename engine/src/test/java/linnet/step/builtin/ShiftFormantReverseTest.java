package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import linnet.Rig;
import linnet.dsp.Samples;
import linnet.dsp.pitch.PitchTrack;
import linnet.dsp.pitch.Unvoiced;
import linnet.hear.Ear;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class ShiftFormantReverseTest {
    private static final double RATE = 48_000;
    /** 1.4 s and a bit: no whole number of blocks. */
    private static final double[] TAKE = take();

    /** Hiss, a buzz at 196 Hz through a resonance at 900 Hz, hiss. */
    private static double[] take() {
        double[] x = new double[67_391];
        Random random = new Random(9);
        double y1 = 0, y2 = 0, r = Math.exp(-Math.PI * 90 / RATE), c = 2 * r * Math.cos(2 * Math.PI * 900 / RATE);
        for (int i = 0; i < x.length; i++) {
            double t = i / RATE;
            boolean sung = t > 0.3 && t < 1.1;
            double buzz = 0;
            if (sung) for (int h = 1; h <= 40; h++) buzz += Math.cos(2 * Math.PI * 196 * h * t) / h;
            double y = 0.002 * buzz + c * y1 - r * r * y2;
            y2 = y1;
            y1 = y;
            // No file holds a sample more finely.
            x[i] = (float) (y + 0.01 * random.nextGaussian());
        }
        return x;
    }

    private static Rig.Result through(String steps, double[]... x) {
        return Rig.usual().exact().render(steps, new Samples(RATE, x));
    }

    private static PitchTrack pitch(double[] x) {
        return new Ear(new Samples(RATE, x)).pitch();
    }

    private static double cents(double hz) {
        return 1200 * Math.log(hz / 196) / Math.log(2);
    }

    @ParameterizedTest
    @CsvSource({"3 semitones, 300", "-35 cents, -35", "-700 cents, -700", "12 semitones, 1200"})
    void shiftMovesThePitchByThatMuch(String by, double cents) {
        for (String formants : new String[] {"keep", "move"}) {
            double[] y = through("- shift: { by: " + by + ", formants: " + formants + " }", TAKE).mono();
            assertEquals(TAKE.length, y.length);
            PitchTrack after = pitch(y);
            for (int f = 35; f < 105; f++) assertEquals(cents, cents(after.hz()[f]), 3, formants + ", frame " + f);
        }
    }

    @Test
    void shiftKeepsTheResonanceUnlessItShallMove() {
        assertEquals(0, 1200 * Math.log(peak(through("- shift: { by: 4 semitones }", TAKE).mono(), 247) / 900) / Math.log(2), 130);
        double moved = peak(through("- shift: { by: 4 semitones, formants: move }", TAKE).mono(), 247);
        assertEquals(400, 1200 * Math.log(moved / 900) / Math.log(2), 130);
    }

    @ParameterizedTest
    @ValueSource(ints = {-300, 300})
    void formantMovesTheResonanceAndNotThePitch(int cents) {
        double[] y = through("- formant: { by: " + cents + " cents }", TAKE).mono();
        PitchTrack after = pitch(y);
        for (int f = 35; f < 105; f++) assertEquals(0, cents(after.hz()[f]), 3, "frame " + f);
        assertEquals(cents, 1200 * Math.log(peak(y, 196) / 900) / Math.log(2), 130);
    }

    /** The take itself wherever nothing is sung, and all of it at 0 cents, behind a step that comes late too. */
    @ParameterizedTest
    @ValueSource(strings = {"shift", "formant"})
    void whatHasNoPitchKeepsItsBits(String step) {
        double[] y = through("- " + step + ": { by: 150 cents }", TAKE).mono();
        PitchTrack pitch = pitch(TAKE);
        Unvoiced.assertKept(TAKE, y, pitch, RATE);
        int changed = 0;
        for (int i = 0; i < y.length; i++) if (TAKE[i] != y[i]) changed++;
        assertTrue(changed > 0.7 * RATE);
        assertArrayEquals(TAKE, through("- " + step + ": { by: 0 cents }", TAKE).mono());
        String late = "- limit: { ceiling: 0 dBTP, lookahead: 7.3 ms }\n";
        assertArrayEquals(through(late, TAKE).mono(), through(late + "- " + step, TAKE).mono());
    }

    /** Time of the take: nothing before 0.5 s, then up by 100 cents within 0.1 s. */
    @Test
    void shiftCanMoveInTime() {
        double[] y = through("- shift: { by: { 0.5 s: 0 cents, 0.6 s: 100 cents } }", TAKE).mono();
        assertArrayEquals(Arrays.copyOf(TAKE, 23_500), Arrays.copyOf(y, 23_500));
        PitchTrack after = pitch(y);
        for (int f = 65; f < 105; f++) assertEquals(100, cents(after.hz()[f]), 3, "frame " + f);
    }

    /** The second hears the pitch that the first has made: an octave and a half away it would find nothing else. */
    @Test
    void shiftsAddUp() {
        PitchTrack after = pitch(through("- shift: { by: 900 cents }\n- shift: { by: 600 cents }", TAKE).mono());
        for (int f = 38; f < 102; f++) assertEquals(1500, cents(after.hz()[f]), 4, "frame " + f);
    }

    @ParameterizedTest
    @ValueSource(strings = {"", "- limit: { ceiling: 0 dBTP, lookahead: 7.3 ms }\n"})
    void reverseIsTheTakeBackwards(String before) {
        double[] other = TAKE.clone();
        for (int i = 0; i < other.length; i++) other[i] *= 0.5;
        double[][] is = through(before + "- reverse", TAKE, other).x(),
                was = before.isEmpty() ? new double[][] {TAKE, other} : through(before, TAKE, other).x();
        assertEquals(TAKE.length, is[0].length);
        for (int c = 0; c < 2; c++) for (int i = 0; i < TAKE.length; i++) assertEquals(was[c][TAKE.length - 1 - i], is[c][i], 0, "sample " + i);
        assertNotEquals(TAKE[100], is[0][100]);
        assertArrayEquals(TAKE, through("- reverse\n- reverse", TAKE).mono());
    }

    /** A word by itself, as {@code only} leaves it, is backwards where it lies, however long the file is. */
    @Test
    void silenceAroundAWordStaysWhereItIs() {
        int from = 30_001, to = 41_113;
        double[] word = new double[TAKE.length], backwards = new double[TAKE.length];
        for (int i = from; i < to; i++) {
            word[i] = TAKE[i];
            backwards[from + to - 1 - i] = TAKE[i];
        }
        assertArrayEquals(backwards, through("- reverse", word).mono());
        double[] silence = new double[20_000];
        assertArrayEquals(silence, through("- reverse", silence).mono());
    }

    /** The strongest partial between 500 Hz and 1.6 kHz beside its neighbours, by a parabola through their levels. */
    private static double peak(double[] x, double hz) {
        double[] level = new double[20];
        int best = 0;
        for (int h = 1; h < level.length; h++) {
            double re = 0, im = 0;
            int from = (int) (0.4 * RATE), n = (int) (0.6 * RATE);
            for (int i = 0; i < n; i++) {
                double window = 0.5 - 0.5 * Math.cos(2 * Math.PI * i / n), turn = 2 * Math.PI * h * hz * i / RATE;
                re += window * x[from + i] * Math.cos(turn);
                im += window * x[from + i] * Math.sin(turn);
            }
            level[h] = 10 * Math.log10(re * re + im * im);
            if (h * hz > 500 && h * hz < 1600 && (best == 0 || level[h] > level[best])) best = h;
        }
        double a = level[best - 1], b = level[best], c = level[best + 1];
        return hz * (best + (a - c) / (2 * (a - 2 * b + c)));
    }
}
