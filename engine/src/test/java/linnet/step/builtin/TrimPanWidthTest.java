package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import linnet.Rig;
import linnet.dsp.Cell;
import linnet.dsp.Samples;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Each against the formula in its doc. */
class TrimPanWidthTest {
    private static final double RATE = 48_000;
    private static final double[] LEFT = noise(1), RIGHT = noise(2);

    private static double[] noise(long seed) {
        return new Random(seed).doubles(9600, -0.5, 0.5).toArray();
    }

    private static double[][] through(String step, double[]... x) {
        return Rig.usual().exact().render("- " + step, new Samples(RATE, x)).x();
    }

    @Test
    void trimIsAFactor() {
        double[] y = through("trim: { level: -6 dB }", LEFT)[0];
        for (int i = 0; i < y.length; i++) assertEquals(LEFT[i] * Math.pow(10, -0.3), y[i], 1e-15);
    }

    @Test
    void trimMovesInDecibelsFromCellToCell() {
        double[] ones = new double[9600];
        java.util.Arrays.fill(ones, 1);
        double[] y = through("trim: { level: { 0.05 s: 0 dB, 0.15 s: -20 dB } }", ones)[0];
        for (int i = 0; i < y.length; i += Cell.LENGTH) {
            double db = -20 * Math.max(0, Math.min(1, (i / RATE - 0.05) / 0.1));
            assertEquals(db, 20 * Math.log10(y[i]), 1e-9, "at " + i);
        }
        // No step is larger than the steepest cell has by a straight line: 2 dB over 480 samples.
        for (int i = 1; i < y.length; i++) assertTrue(Math.abs(y[i] - y[i - 1]) < (1 - Math.pow(10, -0.1)) / Cell.LENGTH * 1.001);
    }

    /** The law of sines and cosines keeps L^2 + R^2: -3.01 dB each in the centre. */
    @ParameterizedTest
    @CsvSource({"100 % left, 0", "50 % left, 22.5", "centre, 45", "30 % right, 58.5", "100 % right, 90"})
    void panOfAMonoVoice(String place, double degrees) {
        double[][] y = through("pan: { to: " + place + " }", LEFT);
        for (int i = 0; i < LEFT.length; i++) {
            assertEquals(LEFT[i] * Math.cos(Math.toRadians(degrees)), y[0][i], 1e-15);
            assertEquals(LEFT[i] * Math.sin(Math.toRadians(degrees)), y[1][i], 1e-15);
        }
    }

    @Test
    void panOfAStereoVoiceLowersOneSideOnly() {
        double[][] centre = through("pan: { to: centre }", LEFT, RIGHT), left = through("pan: { to: 40 % left }", LEFT, RIGHT);
        for (int i = 0; i < LEFT.length; i++) {
            assertEquals(LEFT[i], centre[0][i], 1e-15);
            assertEquals(RIGHT[i], centre[1][i], 1e-15);
            assertEquals(LEFT[i], left[0][i]);
            assertEquals(RIGHT[i] * Math.sqrt(2) * Math.sin(Math.toRadians(27)), left[1][i], 1e-15);
        }
    }

    @ParameterizedTest
    @CsvSource({"0, 0", "60, 0.6", "200, 2"})
    void widthScalesTheSideAndKeepsTheMiddle(double percent, double w) {
        double[][] y = through("width: { amount: " + percent + " % }", LEFT, RIGHT);
        for (int i = 0; i < LEFT.length; i++) {
            assertEquals(LEFT[i] + RIGHT[i], y[0][i] + y[1][i], 1e-15);
            assertEquals(w * (LEFT[i] - RIGHT[i]), y[0][i] - y[1][i], 2e-15);
        }
    }

    @Test
    void aMonoVoiceHasNoWidth() {
        assertArrayEquals(new double[][] {LEFT}, through("width: { amount: 200 % }", LEFT));
    }
}
