package linnet.dsp.filter;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.List;
import java.util.Map;
import linnet.dsp.spectral.Fft;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class BiquadTest {
    private static final double Q = Biquad.BUTTERWORTH;

    static Biquad cookbook(String shape, double rate, double hz, double q, double db) {
        return switch (shape) {
            case "low-pass" -> Biquad.lowPass(rate, hz, q);
            case "high-pass" -> Biquad.highPass(rate, hz, q);
            case "band-pass" -> Biquad.bandPass(rate, hz, q);
            case "notch" -> Biquad.notch(rate, hz, q);
            case "all-pass" -> Biquad.allPass(rate, hz, q);
            case "bell" -> Biquad.bell(rate, hz, q, db);
            case "low-shelf" -> Biquad.lowShelf(rate, hz, q, db);
            case "high-shelf" -> Biquad.highShelf(rate, hz, q, db);
            default -> throw new IllegalArgumentException(shape);
        };
    }

    private static double[] coefficients(Biquad b) {
        return new double[] {b.b0(), b.b1(), b.b2(), b.a1(), b.a2()};
    }

    /** Source: the cookbook's formulae, evaluated in double precision apart from this program. */
    @Test
    void coefficientsAreTheCookbooks() {
        Map<Biquad, double[]> table = Map.ofEntries(
                Map.entry(Biquad.lowPass(44100, 1000, Q),
                        new double[] {0.00460399847502246, 0.00920799695004493, 0.00460399847502246, -1.79909640948467, 0.817512403384758}),
                Map.entry(Biquad.lowPass(48000, 1000, Q),
                        new double[] {0.00391612666054738, 0.00783225332109477, 0.00391612666054738, -1.81534108270457, 0.831005589346758}),
                Map.entry(Biquad.highPass(44100, 80, Q),
                        new double[] {0.991972739802589, -1.98394547960518, 0.991972739802589, -1.98388104166084, 0.984009917549517}),
                Map.entry(Biquad.highPass(48000, 80, Q),
                        new double[] {0.992622542756119, -1.98524508551224, 0.992622542756119, -1.98519065789626, 0.985299513128215}),
                Map.entry(Biquad.bandPass(48000, 2000, 2), new double[] {0.0607724917075669, 0, -0.0607724917075669, -1.81444821404158, 0.878455016584866}),
                Map.entry(Biquad.notch(48000, 60, 30),
                        new double[] {0.99986911878399, -1.99967656093093, 0.99986911878399, -1.99967656093093, 0.99973823756798}),
                Map.entry(Biquad.allPass(48000, 1000, Q), new double[] {0.831005589346758, -1.81534108270457, 1, -1.81534108270457, 0.831005589346758}),
                Map.entry(Biquad.bell(44100, 3000, 1, 6),
                        new double[] {1.12735104968702, -1.58717900377087, 0.616734408444698, -1.58717900377087, 0.744085458131714}),
                Map.entry(Biquad.bell(48000, 3000, 1, 6),
                        new double[] {1.11873412422724, -1.62732265236159, 0.642667222048069, -1.62732265236159, 0.761401346275314}),
                Map.entry(Biquad.bell(48000, 3000, 1, -6),
                        new double[] {0.893867433149713, -1.45461072217284, 0.680591866991851, -1.45461072217284, 0.574459300141564}),
                Map.entry(Biquad.bell(48000, 300, Biquad.qOfBandwidth(48000, 300, 1), -3),
                        new double[] {0.995258946573729, -1.96601616277706, 0.97227411288735, -1.96601616277706, 0.96753305946108}),
                Map.entry(Biquad.lowShelf(44100, 200, Biquad.qOfSteepness(1, -4), -4),
                        new double[] {0.995361652781932, -1.95497727934062, 0.960246268841573, -1.95479285015155, 0.955792350812574}),
                Map.entry(Biquad.lowShelf(48000, 200, Biquad.qOfSteepness(1, -4), -4),
                        new double[] {0.99573762595106, -1.95862072670408, 0.963416394309839, -1.9584647668186, 0.959309980146381}),
                Map.entry(Biquad.highShelf(44100, 10000, Biquad.qOfSteepness(1, 3), 3),
                        new double[] {1.2061895757871, -0.326895784107565, 0.222646836588131, -0.0705112893699164, 0.172451917637581}),
                Map.entry(Biquad.highShelf(48000, 10000, Biquad.qOfSteepness(1, 3), 3),
                        new double[] {1.22045905404515, -0.494488989936005, 0.244998515141191, -0.208283662449262, 0.179252241699602}));
        table.forEach((filter, expected) -> assertArrayEquals(expected, coefficients(filter), 1e-12, filter.toString()));
    }

    @Test
    void coefficientsAreThoseOfTheBilinearTransform() throws IOException {
        for (String[] row : Vectors.rows("sections")) {
            double[] v = Vectors.doubles(row, 1);
            Biquad filter = cookbook(row[0], v[0], v[1], v[2], v[3]);
            assertArrayEquals(java.util.Arrays.copyOfRange(v, 4, 9), coefficients(filter), 1e-12, String.join(",", row));
        }
    }

    /** Source: W3C note of the cookbook; the analogue limit 1/(2 sinh(ln 2/2 · octaves)), S at 6 dB. */
    @Test
    void widthAndSteepnessBecomeQ() {
        assertEquals(1.414213562373, Biquad.qOfBandwidth(1e6, 10, 1), 1e-7);
        assertEquals(0.666666666667, Biquad.qOfBandwidth(1e6, 10, 2), 1e-7);
        assertEquals(4.318473046963, Biquad.qOfBandwidth(1e6, 10, 1.0 / 3), 1e-7);
        assertEquals(0.492635743674, Biquad.qOfSteepness(0.5, 6), 1e-11);
        assertEquals(0.607812584626, Biquad.qOfSteepness(0.75, 6), 1e-11);
        assertEquals(0.707106781187, Biquad.qOfSteepness(1, 6), 1e-11);
    }

    /**
     * The points of half the gain, measured: as far apart as asked, or as what of that lies below half the rate. The cookbook's own law, which is kept as
     * long as it is no wider, falls short by up to 5 % up to two octaves and 10 % beyond; near half the rate it was wider by any number of octaves, down to
     * 0 Hz.
     */
    @Test
    void bandwidthIsKeptUpToHalfTheRate() {
        double before = 0;
        for (double octaves : new double[] {0.05, 0.3, 1, 2, 3, 4, 5, 6}) {
            for (double part = 0.005; part < 0.4995; part += 0.0005) {
                double hz = part * 48000, w0 = 2 * Math.PI * part, q = Biquad.qOfBandwidth(48000, hz, octaves);
                Biquad bell = Biquad.bell(48000, hz, q, 6);
                double wanted = Math.min(octaves, octaves / 2 + Math.log(0.5 / part) / Math.log(2));
                double is = Math.log(halfGain(bell, 24000 * (1 - 1e-12), hz) / halfGain(bell, 1e-3, hz)) / Math.log(2);
                if (part <= 0.25 && octaves <= 2) assertEquals(0.5 / Math.sinh(Math.log(2) / 2 * octaves * w0 / Math.sin(w0)), q, 1e-12 * q);
                String which = octaves + " octaves at " + part + " of the rate: " + is;
                assertTrue(is <= wanted * 1.001 && is >= wanted * (octaves <= 2 ? 0.95 : 0.9), which + " instead of " + wanted);
                assertTrue(part < 0.006 || Math.abs(Math.log(q / before)) < 0.1 || part > 0.49, which + ": a step from " + before + " to " + q);
                before = q;
            }
        }
    }

    /** Where a bell of 6 dB has 3, between a frequency where it has less and one where it has more. */
    private static double halfGain(Biquad bell, double less, double more) {
        for (int i = 0; i < 60; i++) {
            double middle = (less + more) / 2;
            if (bell.responseDb(middle) < 3) less = middle;
            else more = middle;
        }
        return more;
    }

    /**
     * Oracle: the analogue prototypes of the cookbook, H(s), at the pre-warped frequency s = j tan(w/2)/tan(w0/2); the
     * spectrum of what a cascade really renders, by the definition of the transform.
     */
    @ParameterizedTest
    @ValueSource(doubles = {44100, 48000, 96000})
    void renderedSpectrumIsTheFormulas(double rate) {
        int n = 1 << 17;
        Fft fft = new Fft(n);
        double[] re = new double[fft.bins()], im = new double[fft.bins()];
        double worst = 0;
        for (String shape : List.of("low-pass", "high-pass", "band-pass", "notch", "all-pass", "bell", "low-shelf", "high-shelf")) {
            for (double[] s : new double[][] {{80, Q, -9}, {1000, 4, 6}, {0.3 * rate, 1, 3}}) {
                Biquad filter = cookbook(shape, rate, s[0], s[1], s[2]);
                double[] impulse = new double[n];
                impulse[0] = 1;
                fft.forward(Vectors.run(impulse, 480, new Cascade(filter)), re, im);
                for (double hz = 20; hz < 0.45 * rate; hz *= 1.01) {
                    int k = (int) Math.round(hz * n / rate);
                    double at = k * rate / n, x = Math.tan(Math.PI * at / rate) / Math.tan(Math.PI * s[0] / rate);
                    double expected = prototypeDb(shape, x, s[1], s[2]);
                    if (expected < -120) continue;
                    double rendered = 10 * Math.log10(re[k] * re[k] + im[k] * im[k]);
                    assertEquals(expected, rendered, 0.001, shape + " at " + at);
                    assertEquals(expected, filter.responseDb(at), 1e-6, shape + " says at " + at);
                    worst = Math.max(worst, Math.abs(expected - rendered));
                }
            }
        }
        System.out.printf("spectrum at %.0f Hz: worst %.2g dB%n", rate, worst);
    }

    /** |H(jx)| in dB. */
    static double prototypeDb(String shape, double x, double q, double db) {
        double a = Math.pow(10, db / 40), r = Math.sqrt(a), low = 1 - x * x;
        return switch (shape) {
            case "low-pass" -> ratioDb(1, 0, low, x / q);
            case "high-pass" -> ratioDb(-x * x, 0, low, x / q);
            case "band-pass" -> ratioDb(0, x / q, low, x / q);
            case "notch" -> ratioDb(low, 0, low, x / q);
            case "all-pass" -> ratioDb(low, -x / q, low, x / q);
            case "bell" -> ratioDb(low, x * a / q, low, x / (a * q));
            case "low-shelf" -> ratioDb(a * (a - x * x), a * x * r / q, 1 - a * x * x, x * r / q);
            case "high-shelf" -> ratioDb(a * (1 - a * x * x), a * x * r / q, a - x * x, x * r / q);
            default -> throw new IllegalArgumentException(shape);
        };
    }

    private static double ratioDb(double re, double im, double denRe, double denIm) {
        return 10 * Math.log10((re * re + im * im) / (denRe * denRe + denIm * denIm));
    }

    /** Oracle: A in the numerator of a boost is A in the denominator of the cut. */
    @Test
    void bellAndItsNegativeUndoEachOther() {
        double[] x = Vectors.noise(48000, 1);
        for (double db : new double[] {0.5, 6, 18}) {
            Cascade pair = new Cascade(Biquad.bell(48000, 3000, 1, db), Biquad.bell(48000, 3000, 1, -db));
            assertArrayEquals(x, Vectors.run(x, 480, pair), 1e-12);
        }
    }

    @Test
    void refusesWhatNoFilterCanBe() {
        assertThrows(IllegalArgumentException.class, () -> Biquad.lowPass(48000, 24000, 1));
        assertThrows(IllegalArgumentException.class, () -> Biquad.lowPass(48000, 0, 1));
        assertThrows(IllegalArgumentException.class, () -> Biquad.bell(48000, 1000, 0, 1));
        assertThrows(IllegalArgumentException.class, () -> Biquad.bell(48000, Double.NaN, 1, 1));
    }

    /** At its corner a first-order low-pass lags by an eighth of a turn and a high-pass leads by one; an all-pass is half a turn late. */
    @Test
    void phaseIsNegativeWhereTheOutputLags() {
        assertEquals(-Math.PI / 4, Biquad.onePoleLowPass(48000, 1000).response(1000).phase(), 1e-9);
        assertEquals(Math.PI / 4, Biquad.onePoleHighPass(48000, 1000).response(1000).phase(), 1e-9);
        assertEquals(Math.PI, Math.abs(Biquad.allPass(48000, 1000, 0.7).response(1000).phase()), 1e-9);
    }
}
