package linnet.dsp.filter;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.util.Random;
import linnet.dsp.Cuts;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class StateVariableTest {
    private static Biquad twin(Shape shape, double rate, double hz, double q, double db) {
        return switch (shape) {
            case ONE_POLE_LOW_PASS -> Biquad.onePoleLowPass(rate, hz);
            case ONE_POLE_HIGH_PASS -> Biquad.onePoleHighPass(rate, hz);
            default -> BiquadTest.cookbook(shape.name().toLowerCase(java.util.Locale.ROOT).replace('_', '-'), rate, hz, q, db);
        };
    }

    private static double[] run(double[] x, int cut, StateVariable f, Runnable begin) {
        return Cuts.run(x, cut, begin, f::process, f::settle);
    }

    /** Oracle: the cookbook's biquad, which comes from the same bilinear transform by another structure. */
    @ParameterizedTest
    @EnumSource(Shape.class)
    void atRestItIsTheBiquad(Shape shape) {
        double[] x = Vectors.noise(9600, 3);
        double worst = 0;
        for (double[] s : new double[][] {{80, 0.7, 6}, {1000, 2, -9}, {15000, 1, 3}}) {
            Biquad twin = twin(shape, 48000, s[0], s[1], s[2]);
            StateVariable f = new StateVariable(48000, shape, s[0], s[1], s[2]);
            double[] expected = Vectors.run(x, 480, new Cascade(twin)), y = run(x, 480, f, () -> {});
            assertArrayEquals(expected, y, 1e-12);
            for (int i = 0; i < x.length; i++) worst = Math.max(worst, Math.abs(expected[i] - y[i]));
            for (double hz : new double[] {20, 300, 1000, 9000, 20000}) {
                assertEquals(twin.response(hz).re(), f.response(hz).re(), 1e-9);
                assertEquals(twin.response(hz).im(), f.response(hz).im(), 1e-9);
            }
        }
        System.out.printf("%s against biquad: %.2g%n", shape, worst);
    }

    @Test
    void afterAMoveItIsTheFilterItMovedTo() {
        StateVariable moved = new StateVariable(48000, Shape.BELL, 300, 4, -6), there = new StateVariable(48000, Shape.BELL, 3000, 1, 6);
        double[] x = Vectors.noise(48000, 4);
        java.util.Arrays.fill(x, 0, 480 * 4, 0);
        double[] y = run(x, 480, moved, () -> moved.moveTo(3000, 1, 6));
        // Nothing is left of the move: its two integrators were empty, so these are the very bits.
        assertArrayEquals(run(x, 480, there, () -> {}), y, 0.0);
    }

    /** One setting alone moves too; the last row is a bell whose damping stays while gain and q change. */
    @ParameterizedTest
    @CsvSource({"LOW_PASS, 300, 1, 0, 3000, 1, 0", "LOW_PASS, 300, 0.5, 0, 300, 4, 0", "HIGH_SHELF, 300, 1, -6, 300, 1, 6",
            "BELL, 300, 2, 0, 300, 1, 12.041199826559248"})
    void oneSettingAloneMovesToo(Shape shape, double hz, double q, double db, double toHz, double toQ, double toDb) {
        StateVariable moved = new StateVariable(48000, shape, hz, q, db), there = new StateVariable(48000, shape, toHz, toQ, toDb);
        double[] x = Vectors.noise(4800, 4);
        java.util.Arrays.fill(x, 0, 480 * 6, 0);
        assertArrayEquals(run(x, 480, there, () -> {}), run(x, 480, moved, () -> moved.moveTo(toHz, toQ, toDb)), 1e-12);
    }

    /** Two octaves of frequency or damping and 6 dB of gain are the widest moves of a cell; wider ones take as many as they need. */
    @ParameterizedTest
    @CsvSource({"BELL, 1000, 1, -12, 1000, 1, 12, 4", "BELL, 1000, 1, 0, 1000, 1, 5.9, 1", "BELL, 1000, 1, 0, 1000, 1, 6.1, 2",
            "LOW_PASS, 100, 1, 0, 390, 1, 0, 1", "LOW_PASS, 100, 1, 0, 410, 1, 0, 2", "LOW_PASS, 6000, 1, 0, 100, 1, 0, 3",
        "LOW_PASS, 1000, 1, 0, 1000, 3.9, 0, 1", "LOW_PASS, 1000, 4, 0, 1000, 0.9, 0, 2"})
    void wideMovesTakeAFewCells(Shape shape, double hz, double q, double db, double toHz, double toQ, double toDb, int cells) {
        StateVariable f = new StateVariable(48000, shape, hz, q, db), there = new StateVariable(48000, shape, toHz, toQ, toDb);
        int taken = 0;
        do {
            f.moveTo(toHz, toQ, toDb);
            f.process(new double[480], 480);
            f.settle();
            taken++;
        } while (Math.abs(f.responseDb(toHz) - there.responseDb(toHz)) > 1e-6 && taken < 20);
        assertEquals(cells, taken);
    }

    @Test
    void refusesAQOfNothing() {
        assertThrows(IllegalArgumentException.class, () -> new StateVariable(48000, Shape.BELL, 1000, 0, 3));
    }

    /**
     * Source: the sweep test of the trapezoidal filter, peak below 10 at q 10: noise, low-pass swept from 20 Hz to 20 kHz in
     * 2 s, then jumping anywhere at every sample. (A cell of one sample makes each move an instant jump.)
     */
    @Test
    void staysFiniteHoweverFastItMoves() {
        Random random = new Random(9);
        StateVariable f = new StateVariable(48000, Shape.LOW_PASS, 20, 10, 0);
        double[] one = new double[1];
        double peakSwept = 0, peakJumping = 0;
        for (int i = 0; i < 192000; i++) {
            boolean sweep = i < 96000;
            f.moveTo(sweep ? 20 * Math.pow(1000, i / 96000.0) : 20 * Math.pow(1000, random.nextDouble()), 10, 0);
            one[0] = random.nextDouble() * 2 - 1;
            f.process(one, 1);
            f.settle();
            assertTrue(Double.isFinite(one[0]));
            if (sweep) peakSwept = Math.max(peakSwept, Math.abs(one[0]));
            else peakJumping = Math.max(peakJumping, Math.abs(one[0]));
        }
        System.out.printf("peak swept %.2f, jumping %.2f%n", peakSwept, peakJumping);
        assertTrue(peakSwept < 10 && peakJumping < 10, peakSwept + " " + peakJumping);
    }

    /**
     * Source: the common bound of 0.1 dB between adjacent samples for a move without zipper noise. The envelope of a sine is
     * measured with its quadrature twin through an equal filter.
     */
    @Test
    void noMoveIsAStep() {
        double worst = 0;
        for (Shape shape : Shape.values()) {
            for (double[] m : new double[][] {{1000, 1, -12, 1000, 1, 12}, {1000, 1, 12, 1000, 1, -24}, {200, 1, 12, 8000, 1, 12},
                    {1000, 0.5, 9, 1000, 8, 9}}) {
                for (double hz : new double[] {150, 1000, 5000}) {
                    StateVariable re = new StateVariable(48000, shape, m[0], m[1], m[2]), im = new StateVariable(48000, shape, m[0], m[1], m[2]);
                    double[] cos = new double[14400], sin = new double[14400];
                    for (int i = 0; i < 14400; i++) {
                        cos[i] = Math.cos(2 * Math.PI * hz * i / 48000);
                        sin[i] = Math.sin(2 * Math.PI * hz * i / 48000);
                    }
                    int[] cell = {0, 0};
                    double[] x = run(cos, 480, re, () -> move(re, cell[0]++, m)), y = run(sin, 480, im, () -> move(im, cell[1]++, m));
                    for (int i = 4801; i < 14400; i++) {
                        double was = Math.hypot(x[i - 1], y[i - 1]), is = Math.hypot(x[i], y[i]);
                        // A filter that takes the sine away passes through zero, which no dB can follow: there it is
                        // a step of 0.1 dB of the sine itself that must not be.
                        double step = 20 * Math.log10(1 + Math.abs(is - was) / Math.max(shape.hasGain() ? 0 : 1, Math.min(was, is)));
                        worst = Math.max(worst, step);
                        if (step >= 0.1) fail(shape + " " + java.util.Arrays.toString(m) + " " + hz + " Hz at " + i + ": " + step);
                    }
                }
            }
        }
        System.out.printf("greatest step of any move %.3f dB%n", worst);
    }

    /**
     * A wide-band click would show far above a sine of 200 Hz. Oracle: the spectrum from 6 kHz up around the move, against
     * that of the same filter at rest before it (the window's own floor) and of an instant switch.
     */
    @Test
    void noMoveClicks() {
        for (double[] m : new double[][] {{200, 1, -9, 200, 1, 9}, {100, 1, 12, 2000, 1, 12}, {300, 4, 9, 300, 0.5, 9}}) {
            double[] sine = new double[14400];
            for (int i = 0; i < sine.length; i++) sine[i] = Math.sin(2 * Math.PI * 200 * i / 48000);
            StateVariable f = new StateVariable(48000, Shape.BELL, m[0], m[1], m[2]);
            int[] cell = {0};
            double[] moved = run(sine, 480, f, () -> move(f, cell[0]++, m));
            double[] before = run(sine, 480, new StateVariable(48000, Shape.BELL, m[0], m[1], m[2]), () -> {});
            double[] after = run(sine, 480, new StateVariable(48000, Shape.BELL, m[3], m[4], m[5]), () -> {});
            double[] switched = before.clone();
            System.arraycopy(after, 5820, switched, 5820, switched.length - 5820);
            double quiet = highDb(moved), click = highDb(switched);
            System.out.printf("%s: high band %.0f dB, switched %.0f dB%n", java.util.Arrays.toString(m), quiet, click);
            assertTrue(quiet < -90, "moved " + quiet);
            assertTrue(click > -60, "the measure sees a real click: " + click);
        }
    }

    /** Energy from 6 kHz up of 4096 samples around the move, in dB of the whole, under a window that leaks less than it. */
    private static double highDb(double[] x) {
        int n = 4096, from = 5760 - 1024;
        linnet.dsp.spectral.Fft fft = new linnet.dsp.spectral.Fft(n);
        double[] w = new double[n], re = new double[fft.bins()], im = new double[fft.bins()];
        for (int i = 0; i < n; i++) {
            double t = 2 * Math.PI * i / n;
            w[i] = x[from + i] * (0.35875 - 0.48829 * Math.cos(t) + 0.14128 * Math.cos(2 * t) - 0.01168 * Math.cos(3 * t));
        }
        fft.forward(w, re, im);
        double high = 0, all = 0;
        for (int k = 0; k < fft.bins(); k++) {
            double e = re[k] * re[k] + im[k] * im[k];
            all += e;
            if (k * 48000.0 / n >= 6000) high += e;
        }
        return 10 * Math.log10(high / all);
    }

    private static void move(StateVariable f, int cell, double[] m) {
        if (cell >= 12) f.moveTo(m[3], m[4], m[5]);
    }

    @Test
    void anyCutGivesTheSameBits() {
        double[] x = Vectors.noise(4800, 6);
        double[] whole = swept(x, 480);
        for (int cut : new int[] {1, 7, 64}) assertArrayEquals(whole, swept(x, cut), 0.0);
    }

    private static double[] swept(double[] x, int cut) {
        StateVariable f = new StateVariable(48000, Shape.HIGH_SHELF, 500, 0.7, -6);
        int[] cell = {0};
        return run(x, cut, f, () -> f.moveTo(500 * Math.pow(2, cell[0] % 3), 0.7, 3 * cell[0]++));
    }

    @Test
    void tailEndsInTrueSilence() {
        double[] impulse = new double[480 * 300];
        impulse[0] = 1;
        double[] y = run(impulse, 480, new StateVariable(48000, Shape.LOW_PASS, 1000, 2, 0), () -> {});
        for (int i = y.length - 480; i < y.length; i++) assertEquals(0, y[i]);
    }

    @Test
    void aPairAtRestIsTwoMonosAndBothTailsEnd() {
        double[] l = Vectors.noise(480, 1), r = Vectors.noise(480, 2);
        double[] expectedL = run(l, 480, new StateVariable(48000, Shape.LOW_PASS, 1000, 2, 0), () -> {}),
                expectedR = run(r, 480, new StateVariable(48000, Shape.LOW_PASS, 1000, 2, 0), () -> {});
        StateVariable f = new StateVariable(48000, Shape.LOW_PASS, 1000, 2, 0);
        f.process(l, r, 480);
        f.settle();
        assertArrayEquals(expectedL, l, 0.0);
        assertArrayEquals(expectedR, r, 0.0);
        for (int cell = 0; cell < 300; cell++) {
            java.util.Arrays.fill(l, 0);
            java.util.Arrays.fill(r, 0);
            f.process(l, r, 480);
            f.settle();
        }
        assertArrayEquals(new double[480], l, 0.0);
        assertArrayEquals(new double[480], r, 0.0);
    }

    @Test
    void channelsOfAPairAreTwoMonos() {
        double[] l = Vectors.noise(960, 1), r = Vectors.noise(960, 2), expectedL = swept(l, 480), expectedR = swept(r, 480);
        StateVariable f = new StateVariable(48000, Shape.HIGH_SHELF, 500, 0.7, -6);
        for (int cell = 0; cell < 2; cell++) {
            double[] x = java.util.Arrays.copyOfRange(l, cell * 480, cell * 480 + 480), y = java.util.Arrays.copyOfRange(r, cell * 480, cell * 480 + 480);
            f.moveTo(500 * Math.pow(2, cell), 0.7, 3 * cell);
            f.process(x, y, 480);
            f.settle();
            assertArrayEquals(java.util.Arrays.copyOfRange(expectedL, cell * 480, cell * 480 + 480), x, 0.0);
            assertArrayEquals(java.util.Arrays.copyOfRange(expectedR, cell * 480, cell * 480 + 480), y, 0.0);
        }
    }
}
