package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import linnet.Rig;
import linnet.chain.ChainReader;
import linnet.chain.Link;
import linnet.dsp.Cell;
import linnet.dsp.Samples;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Cascade;
import linnet.dsp.filter.Matched;
import linnet.render.Resolved;
import linnet.setting.Values;
import linnet.step.Block;
import linnet.step.Catalogue;
import linnet.step.FixedValues;
import linnet.step.Kernel;
import linnet.step.LiveValues;
import linnet.step.Setup;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class EqTest {
    private static final double RATE = 48000;
    @TempDir
    private Path folder;

    private Values read(Eq eq, String... bands) throws IOException, ProblemsException {
        StringBuilder text = new StringBuilder("chain: test\nsteps:\n  - eq:\n");
        for (String band : bands) text.append("      - { ").append(band).append(" }\n");
        Path file = Files.writeString(folder.resolve("test.yaml"), text);
        return ((Link.Use) ChainReader.read(file, new Catalogue(List.of(eq))).links().get(0)).values();
    }

    private Kernel kernel(double rate, int channels, String... bands) throws IOException, ProblemsException {
        Eq eq = new Eq();
        Values values = read(eq, bands);
        return eq.prepare(new FixedValues(values, 120), new Setup(rate, channels)).start()
                .kernel(new LiveValues(values, 120, rate, 0, (what, value) -> {}), null);
    }

    private static double[][] run(Kernel kernel, int cut, double[]... x) {
        double[][] y = new double[x.length][x[0].length];
        Block block = new Block();
        for (int at = 0; at < x[0].length; ) {
            int n = Math.min(Math.min(cut, x[0].length - at), Cell.LENGTH - at % Cell.LENGTH);
            block.place(at, n);
            for (int c = 0; c < x.length; c++) System.arraycopy(x[c], at, block.x(c), 0, n);
            kernel.process(block);
            for (int c = 0; c < x.length; c++) System.arraycopy(block.x(c), 0, y[c], at, n);
            at += n;
            if (block.endsCell()) kernel.settle();
        }
        return y;
    }

    private double[] mono(double[] x, String... bands) throws IOException, ProblemsException {
        return run(kernel(RATE, 1, bands), 480, x)[0];
    }

    private static double[] noise(int n, long seed) {
        return new Random(seed).doubles(n, -1, 1).toArray();
    }

    private static double[] through(double[] x, Biquad... sections) {
        Cascade cascade = new Cascade(sections);
        double[] y = new double[x.length];
        for (int at = 0; at < x.length; at += 480) {
            double[] block = java.util.Arrays.copyOfRange(x, at, at + 480);
            cascade.process(block, 480);
            cascade.settle();
            System.arraycopy(block, 0, y, at, Math.min(480, x.length - at));
        }
        return y;
    }

    /** Gain in dB at a frequency, from the rendered impulse by the sum of the definition. */
    private double gainDb(double hz, double rate, String... bands) throws IOException, ProblemsException {
        double[] impulse = new double[48000];
        impulse[0] = 1;
        double[] y = run(kernel(rate, 1, bands), 480, impulse)[0];
        double re = 0, im = 0;
        for (int i = 0; i < y.length; i++) {
            re += y[i] * Math.cos(2 * Math.PI * hz * i / rate);
            im += y[i] * Math.sin(2 * Math.PI * hz * i / rate);
        }
        return 10 * Math.log10(re * re + im * im);
    }

    /** Each word is its cookbook shape with the promised usual values; the shapes have their own tests. */
    @Test
    void everyWordIsItsShape() throws Exception {
        double[] x = noise(4800, 1);
        assertArrayEquals(through(x, Biquad.bell(RATE, 1200, 1.2, -4)), mono(x, "bell: 1.2 kHz, gain: -4 dB, q: 1.2"));
        assertArrayEquals(through(x, Biquad.bell(RATE, 1200, 1, -4)), mono(x, "bell: 1.2 kHz, gain: -4 dB"));
        assertArrayEquals(through(x, Biquad.bell(RATE, 300, Biquad.qOfBandwidth(RATE, 300, 1.5), 3)),
                mono(x, "bell: 300 Hz, gain: 3 dB, bandwidth: 1.5 octaves"));
        assertArrayEquals(through(x, Biquad.lowShelf(RATE, 200, Biquad.qOfSteepness(1, -4), -4)), mono(x, "low-shelf: 200 Hz, gain: -4 dB"));
        assertArrayEquals(through(x, Biquad.lowShelf(RATE, 200, 1.3, -4)), mono(x, "low-shelf: 200 Hz, gain: -4 dB, q: 1.3"));
        assertArrayEquals(through(x, Biquad.highShelf(RATE, 8000, Biquad.qOfSteepness(0.5, 2.5), 2.5)),
                mono(x, "high-shelf: 8 kHz, gain: 2.5 dB, steepness: 0.5"));
        assertArrayEquals(through(x, Biquad.highPass(RATE, 80, Biquad.BUTTERWORTH)), mono(x, "high-pass: 80 Hz"), 1e-15);
        assertArrayEquals(through(x, Biquad.highPass(RATE, 80, 1.5)), mono(x, "high-pass: 80 Hz, q: 1.5"));
        assertArrayEquals(through(x, Biquad.lowPass(RATE, 9000, Biquad.BUTTERWORTH)), mono(x, "low-pass: 9 kHz"), 1e-14);
        assertArrayEquals(through(x, Biquad.bandPass(RATE, 2000, 1)), mono(x, "band-pass: 2 kHz"));
        assertArrayEquals(through(x, Biquad.notch(RATE, 60, 8)), mono(x, "notch: 60 Hz"));
        assertArrayEquals(through(x, Biquad.allPass(RATE, 500, Biquad.BUTTERWORTH)), mono(x, "all-pass: 500 Hz"));
        assertArrayEquals(through(x, Matched.bell(RATE, 10000, 1, 3)), mono(x, "bell: 10 kHz, gain: 3 dB, design: matched"));
        assertArrayEquals(through(x, Matched.onePoleLowPass(RATE, 10000)), mono(x, "low-pass: 10 kHz, slope: 6 dB/oct, design: matched"));
        assertArrayEquals(
                through(x, Biquad.bell(RATE, 100, 0.8, -2), Biquad.highShelf(RATE, 8000, Biquad.qOfSteepness(1, 2.5), 2.5)),
                mono(x, "bell: 100 Hz, gain: -2 dB, q: 0.8", "high-shelf: 8 kHz, gain: 2.5 dB"));
    }

    /** Oracle: the Butterworth magnitude x^2n/(1 + x^2n), x the pre-warped ratio of frequencies. */
    @ParameterizedTest
    @ValueSource(ints = {6, 12, 18, 24, 30, 36, 42, 48})
    void slopesAreButterworth(int slope) throws Exception {
        for (double hz : new double[] {250, 500, 1000, 2000, 4000}) {
            double x = Math.tan(Math.PI * hz / RATE) / Math.tan(Math.PI * 1000 / RATE), power = Math.pow(x, slope / 3.0);
            assertEquals(10 * Math.log10(power / (1 + power)), gainDb(hz, RATE, "high-pass: 1 kHz, slope: " + slope + " dB/oct"), 0.001);
            assertEquals(10 * Math.log10(1 / (1 + power)), gainDb(hz, RATE, "low-pass: 1 kHz, slope: " + slope + " dB/oct"), 0.001);
        }
    }

    @Test
    void aFlatBandIsBitExact() throws Exception {
        double[] x = noise(4800, 2);
        assertArrayEquals(x, mono(x, "bell: 1 kHz, gain: 0 dB", "low-shelf: 100 Hz, gain: 0 dB", "high-shelf: 9 kHz, gain: 0 dB, steepness: 0.3"));
    }

    /** At a low rate a band may lie above all there is: a low-pass is left out, a shelf or bell there does nothing much. */
    @Test
    void frequenciesAboveTheRateAreHeld() throws Exception {
        double[] x = noise(4800, 3);
        assertArrayEquals(x, run(kernel(32000, 1, "low-pass: 18 kHz"), 480, x)[0]);
        assertEquals(0, gainDb(10000, 32000, "high-shelf: 20 kHz, gain: 6 dB"), 0.2);
        assertEquals(6, gainDb(10000, 32000, "low-shelf: 20 kHz, gain: 6 dB"), 0.2);
        assertTrue(gainDb(5000, 32000, "high-pass: 20 kHz, slope: 24 dB/oct") < -100);
    }

    /** As a low-pass there. They were held at the border: with a bandwidth a bell then raised all, a notch silenced all. */
    @ParameterizedTest
    @ValueSource(strings = {
        "bell: 10 kHz, gain: 3 dB, bandwidth: 2 octaves",
        "bell: 10 kHz, gain: 3 dB, q: 0.1",
        "bell: 8 kHz, gain: 3 dB, bandwidth: 2 octaves, design: matched",
        "notch: 9 kHz, bandwidth: 1 octave",
        "notch: 9 kHz"})
    void aBellOrNotchAboveTheRateIsLeftOutAndTold(String band) throws Exception {
        double[] x = noise(4800, 7);
        assertArrayEquals(x, run(kernel(16000, 1, band), 480, x)[0]);
        assertEquals(List.of("is above what can be filtered at 16 kHz, up to 7.84 kHz: this band is left out"), odd(16000, band));
        assertEquals(List.of(), odd(48000, band));
    }

    private static List<String> odd(double rate, String band) {
        return Rig.usual().render("- eq: [ { " + band + " } ]", new Samples(rate, noise(4800, 8))).rendered().resolved().stream().filter(Resolved::odd)
                .map(r -> r.value().substring(r.value().indexOf("is above"))).toList();
    }

    /** Where it moves above the border it does nothing, and it comes back as it was. */
    @Test
    void aBellOrNotchThatMovesAboveTheRateDoesNothingThere() throws Exception {
        double[] x = noise(16000, 9);
        for (String shape : List.of("bell: %s, gain: 12 dB, bandwidth: 2 octaves", "bell: %s, gain: 12 dB, q: 0.1", "notch: %s, bandwidth: 2 octaves",
                "notch: %s, q: 0.1")) {
            Kernel kernel = kernel(16000, 1, String.format(shape, "{ 0 s: 6 kHz, 0.2 s: 10 kHz, 0.4 s: 10 kHz, 0.6 s: 6 kHz }"));
            Kernel still = kernel(16000, 1, String.format(shape, "6 kHz"));
            double[] y = run(kernel, 480, x)[0];
            for (double hz = 50; hz < 7000; hz += 50) {
                // The null of a notch is as deep as rounding leaves it.
                double expected = Math.max(-200, still.curves().get(0).of().applyAsDouble(hz));
                assertEquals(expected, Math.max(-200, kernel.curves().get(0).of().applyAsDouble(hz)), 1e-6, shape + " at " + hz);
            }
            Kernel above = kernel(16000, 1, String.format(shape, "{ 0 s: 10 kHz, 0.4 s: 11 kHz }"));
            for (double hz = 50; hz < 7000; hz += 50) assertEquals(0, above.curves().get(0).of().applyAsDouble(hz), 0.01, shape + " at " + hz);
            for (double sample : y) assertTrue(Double.isFinite(sample), shape);
        }
    }

    /** Nothing that can be written may end in a filter that is none. */
    @ParameterizedTest
    @ValueSource(doubles = {8000, 11025, 16000, 22050})
    void everyBandHasAFiniteResponse(double rate) throws Exception {
        for (String shape : List.of("bell", "band-pass", "notch", "all-pass", "low-pass", "high-pass")) {
            for (String design : shape.matches("notch|all-pass") ? List.of("cookbook") : List.of("cookbook", "matched")) {
                for (String width : shape.endsWith("pass") && !shape.matches("(band|all).*") ? List.of("q: 0.1", "q: 40", "slope: 48 dB/oct")
                        : List.of("q: 0.1", "q: 40", "bandwidth: 0.05", "bandwidth: 1", "bandwidth: 6")) {
                    for (double hz : new double[] {10, 3000, 0.4899 * rate, 0.49 * rate, 0.4901 * rate, 20_000}) {
                        for (String gain : shape.equals("bell") ? List.of(", gain: 24 dB", ", gain: -24 dB") : List.of("")) {
                            String band = shape + ": " + Math.min(hz, 20_000) + " Hz, " + width + ", design: " + design + gain;
                            Kernel kernel = kernel(rate, 1, band);
                            for (double f = 20; f < 0.48 * rate; f *= 1.3) {
                                double db = kernel.curves().get(0).of().applyAsDouble(f);
                                assertTrue(Double.isFinite(db) && Math.abs(db) < 1000, band + " at " + f + ": " + db);
                            }
                        }
                    }
                }
            }
        }
    }

    /**
     * The points of half the gain of a bell lie as far apart as its bandwidth says, in both designs: a matched one keeps the analogue curve, of which the
     * half below its frequency is where the law 1/q = 2 sinh(ln 2/2 · octaves) has it.
     */
    @ParameterizedTest
    @CsvSource({"1000, 1", "5000, 0.1", "5000, 1", "5000, 2", "8000, 1", "10000, 0.1", "10000, 1"})
    void aBellIsAsWideAsItsBandwidthSays(double hz, double octaves) throws Exception {
        for (String design : List.of("cookbook", "matched")) {
            DoubleUnaryOperator curve = kernel(RATE, 1, "bell: " + hz + " Hz, gain: 6 dB, bandwidth: " + octaves + ", design: " + design).curves().get(0).of();
            double low = halfGain(curve, 10, hz), high = halfGain(curve, 0.4999 * RATE, hz);
            assertEquals(octaves, Math.log(high / low) / Math.log(2), 0.04 * octaves, design);
            if (design.equals("matched")) assertEquals(hz * Math.pow(2, -octaves / 2), low, 0.02 * low, design);
        }
    }

    /** Where a bell of 6 dB has 3, between a frequency where it has less and one where it has more. */
    private static double halfGain(DoubleUnaryOperator curve, double less, double more) {
        for (int i = 0; i < 60; i++) {
            double middle = (less + more) / 2;
            if (curve.applyAsDouble(middle) < 3) less = middle;
            else more = middle;
        }
        return more;
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "bell: 1 kHz | a bell needs a gain",
        "notch: 1 kHz, gain: 3 dB | notch has no gain",
        "bell: 1 kHz, gain: 1 dB, slope: 12 dB/oct | slope is for high-pass and low-pass",
        "bell: 1 kHz, gain: 1 dB, steepness: 1 | steepness is for shelves",
        "low-shelf: 1 kHz, gain: 1 dB, bandwidth: 1 oct | low-shelf has no bandwidth",
        "high-pass: 80 Hz, slope: 20 dB/oct | slope goes in steps of 6 dB/oct",
        "notch: 80 Hz, design: matched | there is no matched notch",
        "'bell: 1 kHz, design: matched, gain: { 0 s: 0 dB, 1 s: 3 dB }' | a matched band cannot move",
        "high-pass: 80 Hz, q: 1, slope: 24 dB/oct | slope",
        "gain: 3 dB | bell"})
    void whatDoesNotGoTogetherIsAProblem(String band, String message) {
        String problem = assertThrows(ProblemsException.class, () -> kernel(RATE, 1, band.replace("'", ""))).getMessage();
        assertTrue(problem.contains(message), problem);
    }

    private static final String[] MOVING = {
        "high-pass: { 0 s: 60 Hz, 0.05 s: 400 Hz }, slope: 18 dB/oct",
        "bell: 1 kHz, gain: { 0.02 s: -6 dB, 0.0201 s: 6 dB }, q: 2",
        "high-shelf: 8 kHz, gain: 3 dB",
        "low-pass: { 0 s: 15 kHz, 0.06 s: 3 kHz }, q: { 0 s: 0.7, 0.1 s: 3 }"};

    @Test
    void anyCutGivesTheSameBits() throws Exception {
        double[] l = noise(4800, 4), r = noise(4800, 5);
        double[][] whole = run(kernel(RATE, 2, MOVING), 480, l, r);
        for (int cut : new int[] {1, 7, 64}) assertArrayEquals(whole, run(kernel(RATE, 2, MOVING), cut, l, r));
        assertArrayEquals(whole[0], run(kernel(RATE, 1, MOVING), 480, l)[0]);
        assertArrayEquals(whole[1], run(kernel(RATE, 1, MOVING), 480, r)[0]);
    }

    /** Oracle: the band that stands still; the two are different structures of one filter. */
    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "bell: 1 kHz, q: 2, gain: { 0 s: -6 dB, 0.01 s: 5 dB } | bell: 1 kHz, gain: 5 dB, q: 2",
        "low-shelf: { 0 s: 100 Hz, 0.01 s: 300 Hz }, gain: 5 dB | low-shelf: 300 Hz, gain: 5 dB",
        "high-pass: { 0 s: 100 Hz, 0.01 s: 300 Hz }, slope: 30 dB/oct | high-pass: 300 Hz, slope: 30 dB/oct",
        "bell: 800 Hz, gain: 4 dB, bandwidth: { 0 s: 1 oct, 0.01 s: 2 oct } | bell: 800 Hz, gain: 4 dB, bandwidth: 2 oct"})
    void afterAMoveABandIsTheOneThatStandsStill(String moving, String still) throws Exception {
        double[] x = noise(9600, 6);
        java.util.Arrays.fill(x, 0, 2400, 0);
        assertArrayEquals(mono(x, still), mono(x, moving), 1e-11);
    }

    /** Source: the common bound of 0.1 dB between adjacent samples; the envelope is taken with a twin in quadrature. */
    @ParameterizedTest
    @ValueSource(strings = {
        "bell: 1 kHz, gain: { 0.1 s: -12 dB, 0.1001 s: 12 dB }",
        "bell: 1 kHz, gain: { 0 s: -24 dB, 0.2 s: 24 dB }, q: 3",
        "high-shelf: 500 Hz, gain: { 0.1 s: 12 dB, 0.1001 s: -12 dB }",
        "bell: { 0.1 s: 300 Hz, 0.1001 s: 3 kHz }, gain: 9 dB",
        "high-pass: { 0.1 s: 50 Hz, 0.1001 s: 900 Hz }, slope: 24 dB/oct"})
    void noMoveIsAStep(String band) throws Exception {
        double[] re = sine(Math::cos), im = sine(Math::sin);
        double[] x = mono(re, band), y = mono(im, band);
        double worst = 0;
        for (int i = 2400; i < x.length; i++) {
            double was = Math.hypot(x[i - 1], y[i - 1]), is = Math.hypot(x[i], y[i]);
            worst = Math.max(worst, Math.abs(20 * Math.log10(is / was)));
        }
        assertTrue(worst < 0.1, band + ": " + worst + " dB");
        assertTrue(worst > 0.004, "it moves at all");
    }

    private static double[] sine(DoubleUnaryOperator wave) {
        double[] x = new double[14400];
        for (int i = 0; i < x.length; i++) x[i] = 0.1 * wave.applyAsDouble(2 * Math.PI * 1000 * i / RATE);
        return x;
    }

    @Test
    void tailEndsInTrueSilence() throws Exception {
        double[] impulse = new double[480 * 300];
        impulse[0] = 1;
        double[] y = mono(impulse, "low-pass: 900 Hz", "low-pass: { 0 s: 900 Hz, 0.1 s: 1 kHz }");
        for (int i = y.length - 480; i < y.length; i++) assertEquals(0, y[i]);
    }

    @Test
    void frequenciesCanBeStatedAgainstTheSinger() throws Exception {
        assertTrue(read(new Eq(), "high-pass: 0.8 x lowest note").isRelative());
        assertTrue(read(new Eq(), "bell: resonance 1, gain: -3 dB").isRelative());
        assertTrue(read(new Eq(), "bell: sibilance, gain: -3 dB").isRelative());
    }
}
