package linnet.dsp.saturation;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import java.util.function.Consumer;
import linnet.dsp.Cell;
import linnet.dsp.Cuts;
import linnet.dsp.spectral.Fft;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class SaturatorTest {
    private static final double RATE = 48000;

    private static double[] run(Saturator saturator, double[] x, int cut, Consumer<Integer> border) {
        int[] cell = {0};
        return Cuts.run(x, cut, () -> border.accept(cell[0]++), saturator::process, saturator::settle);
    }

    /** Saturated at a factor d of tanh(d x). */
    private static double[] run(double factor, double bias, double[] x) {
        Saturator saturator = new Saturator(RATE);
        saturator.set(20 * Math.log10(1 + factor), bias);
        return run(saturator, x, Cell.LENGTH, cell -> {});
    }

    private static double[] sine(int frames, double hz, double level) {
        double[] x = new double[frames];
        for (int i = 0; i < frames; i++) x[i] = level * Math.sin(2 * Math.PI * hz * i / RATE);
        return x;
    }

    /** Amplitudes of 0, 1, 2 … Hz: the last second, which whole-hertz tones fill with whole periods. */
    private static double[] lines(double[] y) {
        return lines((int) RATE, y);
    }

    private static double[] lines(int rate, double[] y) {
        Fft fft = new Fft(rate);
        double[] re = new double[fft.bins()], im = new double[fft.bins()];
        fft.forward(java.util.Arrays.copyOfRange(y, y.length - fft.length(), y.length), re, im);
        for (int k = 0; k < re.length; k++) re[k] = Math.hypot(re[k], im[k]) / rate * (k == 0 ? 1 : 2);
        return re;
    }

    private static double db(double factor) {
        return 20 * Math.log10(factor);
    }

    /** Harmonics of tanh(d sin), computed by quadrature apart from this program. */
    @ParameterizedTest
    @CsvSource({"0.1, -61.61, -121.62", "0.25, -45.80, -90.00", "0.5, -34.15, -66.63", "1, -23.50, -45.09", "2, -15.45, -28.30", "4, -11.31, -18.83"})
    void harmonicsAreThoseOfTanh(double factor, double third, double fifth) {
        double[] a = lines(run(factor, 0, sine(96000, 997, 1)));
        assertEquals(third, db(a[3 * 997] / a[997]), 0.1);
        assertEquals(fifth, db(a[5 * 997] / a[997]), 0.1);
        assertTrue(db(a[2 * 997] / a[997]) < -130, "no even ones without bias");
    }

    /** Floors of plain fourfold oversampling with a 120 dB decimator, computed apart from this program; within 3 dB. */
    @ParameterizedTest
    @CsvSource({"4187, 2, -150", "4187, 10, -65.6", "6997, 10, -41.5"})
    void aliasesStayAtTheFloorOfTheScheme(int hz, double factor, double floor) {
        double[] a = lines(run(factor, 0, sine(144000, hz, 1)));
        double aliases = 0;
        for (int k = 1; k <= 20000; k++) if (k % hz != 0) aliases += a[k] * a[k];
        double measured = db(Math.sqrt(aliases) / a[hz]);
        assertTrue(measured < floor + 3, measured + " dB");
    }

    /**
     * What the doc of drive says, by tones of -6 dBFS up to 0.23 of the rate: the strongest tone that is no harmonic, up to 0.41 of the rate and above, where
     * the filter that goes down lets through what folds about half of it. The figures are of this program, by a sweep; the worst tones of that are among these.
     */
    @ParameterizedTest
    @CsvSource({"6, -145, -46", "18, -75, -28"})
    void whatFoldsBackIsAsTheDocOfDriveSays(double driveDb, double below, double above) {
        double[] shares = {0.0417, 0.0625, 0.0872, 0.1042, 0.12515, 0.1457, 0.16742, 0.18752, 0.2079, 0.2202, 0.22904};
        for (int rate : new int[] {8000, 16000, 22050, 44100, 48000, 96000}) {
            double mostBelow = 0, mostAbove = 0;
            for (double share : shares) {
                int hz = (int) Math.round(share * rate);
                double[] a = lines(rate, hz, driveDb, 0.1);
                for (int k = 30; k < rate / 2; k++) {
                    if (k % hz == 0) continue;
                    if (k <= 0.41 * rate) mostBelow = Math.max(mostBelow, a[k]);
                    else mostAbove = Math.max(mostAbove, a[k]);
                }
            }
            assertTrue(db(mostBelow) < below, rate + " Hz, up to 0.41 of it: " + db(mostBelow));
            assertTrue(db(mostAbove) < above && db(mostAbove) > above - 3, rate + " Hz, above: " + db(mostAbove));
        }
    }

    /** The last figure of that doc: 7 kHz at 48 kHz. */
    @Test
    void theHardestDriveFoldsBackAsTheDocOfDriveSays() {
        double[] a = lines(48000, 7001, 36, 0.8);
        double most = 0;
        for (int k = 30; k <= 19_680; k++) if (k % 7001 != 0) most = Math.max(most, a[k]);
        assertEquals(-34, db(most), 1);
    }

    /** Amplitudes of 0, 1, 2 … Hz of a saturated sine of -6 dBFS. */
    private static double[] lines(int rate, int hz, double driveDb, double bias) {
        Saturator saturator = new Saturator(rate);
        saturator.set(driveDb, bias);
        double[] x = new double[2 * rate];
        for (int i = 0; i < x.length; i++) x[i] = 0.501187 * StrictMath.sin(2 * Math.PI * ((long) hz * i % rate) / rate);
        return lines(rate, run(saturator, x, Cell.LENGTH, c -> {}));
    }

    /** The oracle is tanh(u + beta) - tanh(beta), scaled to unit slope, its harmonics by a Fourier sum of the static curve. */
    @ParameterizedTest
    @ValueSource(doubles = {0.1, 0.3, 0.6})
    void biasAddsTheEvenHarmonicsOfAShiftedTanhAndNoOffset(double bias) {
        double factor = 1.5, beta = 0.5 * Math.log((1 + bias) / (1 - bias));
        int points = 4096;
        double[] expected = new double[7];
        for (int k = 1; k < 7; k++) {
            double re = 0, im = 0;
            for (int i = 0; i < points; i++) {
                double phase = 2 * Math.PI * i / points;
                double y = (Math.tanh(factor * Math.sin(phase) + beta) - bias) / (factor * (1 - bias * bias));
                re += y * Math.cos(k * phase);
                im += y * Math.sin(k * phase);
            }
            expected[k] = Math.hypot(re, im);
        }
        double[] a = lines(run(factor, bias, sine(192000, 500, 1)));
        for (int k = 2; k < 7; k++) assertEquals(db(expected[k] / expected[1]), db(a[500 * k] / a[500]), 0.1, "harmonic " + k);
        assertTrue(a[0] < 1e-5, "offset " + a[0]);
    }

    @Test
    void withoutDriveItIsADelayOfItsLatency() {
        double[] x = sine(48000, 1000, 0.8);
        for (int i = 0; i < x.length; i++) x[i] += 0.1 * Math.sin(2 * Math.PI * 19900 * i / RATE);
        double[] y = run(0, 0.3, x.clone());
        int late = Saturator.latency();
        for (int i = 1000; i < x.length; i++) assertEquals(x[i - late], y[i], 1e-5);
    }

    @ParameterizedTest
    @ValueSource(doubles = {3, 12, 24, 36})
    void aVoicePeakingAtTheReferenceKeepsItsLevel(double driveDb) {
        Saturator saturator = new Saturator(RATE);
        saturator.set(driveDb, 0);
        double[] x = new double[9600];
        java.util.Arrays.fill(x, 0.25);
        assertEquals(0.25, run(saturator, x, Cell.LENGTH, c -> {})[9000], 1e-6);
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 7, 64, 333})
    void anyCutGivesTheSameBits(int cut) {
        assertArrayEquals(moving(Cell.LENGTH), moving(cut));
    }

    private static double[] moving(int cut) {
        Random random = new Random(1);
        double[] x = new double[24000];
        for (int i = 0; i < x.length; i++) x[i] = random.nextGaussian() * 0.3;
        Saturator saturator = new Saturator(RATE);
        return run(saturator, x, cut, cell -> {
            if (cell < 30) saturator.set(Math.max(0, cell - 4), Math.min(0.6, 0.03 * cell));
            if (cell == 40) saturator.set(6, 0);
        });
    }

    /** A move must not step, be it of drive, of bias or of both: high above the tone there is only what the curve itself makes. */
    @ParameterizedTest
    @CsvSource({"0.4, 0.01", "0.4, 0", "0, 0.01"})
    void aMoveDoesNotClick(double drive, double bias) {
        Saturator saturator = new Saturator(RATE);
        double[] y = run(saturator, sine(48000, 100, 0.2), Cell.LENGTH, cell -> {
            double moved = Math.max(0, Math.min(50, cell - 9));
            saturator.set(drive == 0 ? 20 : drive * moved, bias * moved);
        });
        for (int i = 500; i < y.length; i++) {
            double bend = y[i] - 3 * y[i - 1] + 3 * y[i - 2] - y[i - 3];
            assertTrue(Math.abs(bend) < 3e-5, "click of " + db(Math.abs(bend)) + " dB at " + i);
        }
    }

    @Test
    void settingsGivenBeforeTheFirstBlockHoldFromItsFirstSample() {
        double[] x = sine(Cell.LENGTH, 1000, 0.8);
        Saturator saturator = new Saturator(RATE);
        saturator.set(12, 0.2);
        run(saturator, new double[Cell.LENGTH], Cell.LENGTH, cell -> {});
        assertArrayEquals(run(saturator, x.clone(), Cell.LENGTH, cell -> {}), run(Math.pow(10, 0.6) - 1, 0.2, x.clone()), 1e-12);
    }

    @ParameterizedTest
    @CsvSource({"-0.1, 0", "NaN, 0", "6, -0.1", "6, 1", "6, NaN"})
    void refusesWhatIsOutsideItsLimits(double driveDb, double bias) {
        assertThrows(IllegalArgumentException.class, () -> new Saturator(RATE).set(driveDb, bias));
    }

    /** What is far below any word length must not linger in it, down to where arithmetic gets slow. */
    @ParameterizedTest
    @CsvSource({"0, 0", "12, 0.3"})
    void whatHasDiedAwayIsZeroed(double driveDb, double bias) {
        Saturator saturator = new Saturator(RATE);
        saturator.set(driveDb, bias);
        double[] x = new double[2 * Cell.LENGTH];
        java.util.Arrays.fill(x, 0, Cell.LENGTH, 1e-32);
        double[] y = run(saturator, x, Cell.LENGTH, cell -> {});
        assertTrue(y[Cell.LENGTH - 1] != 0);
        for (int i = Cell.LENGTH; i < x.length; i++) assertEquals(0, y[i]);
    }

    @ParameterizedTest
    @ValueSource(doubles = {8000, 44100, 48000, 96000, 192000})
    void cornersStayFiniteAndSilenceIsSilence(double rate) {
        for (double driveDb : new double[] {0, 1e-9, 12, 48}) {
            for (double bias : new double[] {0, 0.9}) {
                for (double level : new double[] {0, 1e-20, 1, 100}) {
                    Saturator saturator = new Saturator(rate);
                    saturator.set(driveDb, bias);
                    double[] x = sine(4800, 3000, level);
                    for (double y : run(saturator, x, Cell.LENGTH, c -> {})) {
                        assertTrue(Double.isFinite(y));
                        if (level == 0) assertEquals(0, y);
                    }
                }
            }
        }
    }
}
