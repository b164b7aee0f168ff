package linnet.dsp.repair;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.BitSet;
import java.util.Random;
import linnet.dsp.Samples;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Hum whose harmonics are known, and the sums by which it is found, written out. */
class HumPlainTest {
    private static double[] noise(int n, double level, long seed) {
        Random random = new Random(seed);
        double[] x = new double[n];
        for (int i = 0; i < n; i++) x[i] = level * random.nextGaussian();
        return x;
    }

    private static void hum(double[] x, double rate, double hz, int harmonic, double amplitude, double phase) {
        for (int i = 0; i < x.length; i++) x[i] += amplitude * Math.cos(2 * Math.PI * harmonic * hz * i / rate + phase);
    }

    /** Whole cycles in a window: the amplitude and phase of each harmonic, exactly, at every node but the outer ones. */
    @ParameterizedTest
    @CsvSource({"2000, 100", "12000, 600", "44100, 2205", "8000, 400"})
    void harmonicsAreHeardWithTheirPhase(double rate, int step) {
        int n = 9 * step + 7;
        double[][] x = {new double[n], new double[n]};
        hum(x[0], rate, 50, 1, 0.3, 0.4);
        hum(x[0], rate, 50, 3, 0.1, -2);
        hum(x[1], rate, 50, 2, 0.2, 1);
        Harmonics heard = new Harmonics(new Samples(rate, x), 50, 4, step);
        assertEquals(11, heard.nodes());
        assertEquals(0.05, heard.seconds(1), 1e-12);
        assertEquals("{1, 2, 3, 4, 5, 6, 7, 8}", heard.heard.toString());
        for (int node = 1; node < 9; node++) {
            double[][] expected = {{0.3 * Math.cos(0.4), 0, 0.1 * Math.cos(-2), 0}, {0, 0.2 * Math.cos(1), 0, 0}};
            double[][] imaginary = {{0.3 * Math.sin(0.4), 0, 0.1 * Math.sin(-2), 0}, {0, 0.2 * Math.sin(1), 0, 0}};
            for (int c = 0; c < 2; c++) {
                for (int h = 0; h < 4; h++) {
                    assertEquals(expected[c][h], heard.amplitudes[c][h].re(node), 1e-9, "harmonic " + h + ", node " + node);
                    assertEquals(imaginary[c][h], heard.amplitudes[c][h].im(node), 1e-9, "harmonic " + h + ", node " + node);
                }
            }
            assertEquals(0.15 * Math.cos(0.4), heard.middle()[0].re(node), 1e-9);
        }
        assertEquals(0, heard.amplitudes[0][0].re(0));
    }

    /** Noise is no whole cycle of anything: the sum as it is defined, over means of as many samples as bring the rate down to 4 kHz. */
    @ParameterizedTest
    @CsvSource({"2000, 100, 1", "12000, 600, 3", "14000, 700, 2", "40000, 1500, 10"})
    void aWindowIsTheSumOverIt(double rate, int step, int mean) {
        double[] x = noise(5 * step, 1, 2);
        Arrays.fill(x, 0, 3 * step, 0);
        Harmonics heard = new Harmonics(new Samples(rate, x), 60, 3, step);
        if (rate == 14000) mean = 2 * step % 3 == 0 ? 3 : 2;
        int length = 2 * step / mean;
        assertEquals("{3, 4}", heard.heard.toString());
        for (int node : new int[] {3, 4}) {
            for (int h = 1; h <= 3; h++) {
                double w = 2 * Math.PI * 60 * h / rate, re = 0, im = 0, left = 0;
                for (int k = 0; k < mean; k++) left += Math.cos(w * (k - (mean - 1) / 2.0)) / mean;
                for (int i = 0; i < 2 * step; i++) {
                    int slow = i / mean;
                    double at = (node - 1) * step + slow * mean + (mean - 1) / 2.0, hann = Math.pow(Math.sin(Math.PI * (slow + 0.5) / length), 2);
                    double v = x[(node - 1) * step + i] / mean * 4 * hann / length / left;
                    re += v * Math.cos(w * at);
                    im -= v * Math.sin(w * at);
                }
                assertEquals(re, heard.amplitudes[0][h - 1].re(node), 1e-9);
                assertEquals(im, heard.amplitudes[0][h - 1].im(node), 1e-9);
            }
        }
    }

    @Test
    void loudnessIsBesideTheQuietOnesAndWidensOverTwoNodes() {
        double rate = 1000;
        double[] x = noise(40 * 50, 0.1, 4);
        for (int i = 1000; i < 1100; i++) x[i] += Math.sin(i);
        Arrays.fill(x, 1500, 1700, 0);
        Harmonics heard = new Harmonics(new Samples(rate, x), 60, 2, 50);
        double[] re = heard.amplitudes[0][1].re(), im = heard.amplitudes[0][1].im(), loud = heard.loudness(heard.amplitudes[0][1]);
        int nodes = heard.nodes();
        double[] wide = new double[nodes];
        for (int n = 0; n < nodes; n++) {
            for (int i = Math.max(0, n - 2); i <= Math.min(nodes - 1, n + 2); i++) {
                if (heard.heard.get(i)) wide[n] = Math.max(wide[n], re[i] * re[i] + im[i] * im[i]);
            }
        }
        double[] sorted = heard.heard.stream().mapToDouble(n -> wide[n]).filter(v -> v > 0).sorted().toArray();
        double quiet = sorted[sorted.length / 10];
        assertEquals(nodes + 1, loud.length);
        for (int n = 0; n < nodes; n++) assertEquals(Math.max(1, wide[n] / quiet), loud[n], 1e-9, "node " + n);
        assertEquals(quiet, loud[nodes], 1e-15);
        Harmonics silent = new Harmonics(new Samples(rate, new double[2000]), 60, 2, 50);
        assertArrayEquals(new double[silent.nodes() + 1], silent.loudness(silent.amplitudes[0][0]));
    }

    /** Nodes of which both neighbours and they have a flat spectrum from 320 to 1500 Hz, by a plain sum of each bin; the sound at no more than 8 kHz. */
    private static double unsung(double[][] x, double rate, int step, Nodes amplitude) {
        int mean = Math.max(1, (int) (rate / 4000)), length = 2 * step / mean, bins = 2;
        while (bins < length) bins *= 2;
        int last = x[0].length / step;
        boolean[] flat = new boolean[last + 2];
        for (int n = 1; n < last; n++) {
            double sum = 0, logs = 0;
            int count = 0;
            for (int k = 0; k <= bins / 2; k++) {
                double hz = k * rate / mean / bins, power = 0;
                if (hz < 320 || hz > 1500) continue;
                for (double[] channel : x) {
                    double re = 0, im = 0;
                    for (int i = 0; i < length; i++) {
                        double v = 0;
                        for (int j = 0; j < mean; j++) v += channel[(n - 1) * step + i * mean + j] / mean;
                        v *= Math.pow(Math.sin(Math.PI * (i + 0.5) / length), 2);
                        re += v * Math.cos(2 * Math.PI * k * i / bins);
                        im += v * Math.sin(2 * Math.PI * k * i / bins);
                    }
                    power += re * re + im * im;
                }
                sum += power;
                logs += Math.log(power);
                count++;
            }
            flat[n] = count >= 40 && sum > 1e-20 && Math.exp(logs / count) / (sum / count) > 0.15;
        }
        double[] powers = java.util.stream.IntStream.range(1, last).filter(n -> flat[n - 1] && flat[n] && flat[n + 1]).mapToDouble(amplitude::power).sorted()
                .toArray();
        return powers.length < 4 ? Double.POSITIVE_INFINITY : powers[3 * powers.length / 4] / Math.log(4);
    }

    /** Of exponentially distributed powers the mean, also where the recording is silent for a part of the pauses; of a steady tone not much less. */
    @Test
    void whereNobodySingsIsMeasuredByTheNodesWithNothingButNoise() {
        int rate = 4000, step = 200;
        double[] x = noise(200 * step, 0.1, 4);
        Harmonics heard = new Harmonics(new Samples(rate, x), 60, 2, step);
        Nodes second = heard.amplitudes[0][1];
        assertTrue(heard.noise().cardinality() > 195, heard.noise().cardinality() + " of 199");
        double mean = heard.heard.stream().mapToDouble(second::power).average().orElseThrow();
        assertEquals(0, 10 * Math.log10(heard.unsung(second) / mean), 2);
        assertEquals(unsung(new double[][] {x}, rate, step, second), heard.unsung(second), 1e-9 * mean);
        for (int i = 0; i < x.length; i++) if (i % 8000 < 1600) x[i] *= 1e-3;
        heard = new Harmonics(new Samples(rate, x), 60, 2, step);
        assertEquals(0, 10 * Math.log10(heard.unsung(heard.amplitudes[0][1]) / mean), 3);
        // Sung on all but 0.5 s of each 2 s: what is sung does not count.
        double[] sung = noise(200 * step, 1e-3, 4), tone = noise(200 * step, 1e-4, 4), silent = new double[10 * step];
        for (int h = 1; h <= 12; h++) {
            for (int i = 0; i < sung.length; i++) if (i % 8000 > 2000) sung[i] += 0.1 / h * Math.sin(2 * Math.PI * 120.3 * h * i / rate + h * h);
        }
        heard = new Harmonics(new Samples(rate, sung), 60, 2, step);
        assertEquals(unsung(new double[][] {sung}, rate, step, heard.amplitudes[0][1]), heard.unsung(heard.amplitudes[0][1]), 1e-12);
        assertEquals(0, 10 * Math.log10(heard.unsung(heard.amplitudes[0][1]) / mean * 1e4), 3);
        hum(tone, rate, 60, 2, 0.1, 1);
        heard = new Harmonics(new Samples(rate, tone), 60, 2, step);
        assertTrue(heard.unsung(heard.amplitudes[0][1]) > 0.007);
        heard = new Harmonics(new Samples(rate, silent), 60, 2, step);
        assertEquals(Double.POSITIVE_INFINITY, heard.unsung(heard.amplitudes[0][0]));
    }

    /** The search as sums over each stretch at each of 161 frequencies, 5 mHz apart, and Wilson and Hilferty's normal deviations of them. */
    @ParameterizedTest
    @CsvSource({
        "1000, 50, 50.135, 0.01, 20, 3", "1000, 60, 59.81, 0.004, 9, 2", "1000, 50, 50, 0, 20, 3", "1000, 155, 155.2, 0.02, 4, 4",
                "4000, 50, 50.135, 0.01, 20, 3",
        "8000, 60, 59.81, 0.01, 9, 2", "4000, 50, 50, 0, 20, 3"
    })
    void theProofIsThatOfItsDefinition(double rate, double nominal, double hz, double level, double seconds, int count) {
        int step = (int) (rate / 20);
        int n = (int) (seconds * rate);
        double[][] x = {noise(n, 0.02, 5), noise(n, 0.02, 6)};
        hum(x[0], rate, hz, 1, level, 1);
        hum(x[1], rate, hz, 2, level, 2);
        for (int i = n / 3; i < n / 2; i++) x[0][i] += 0.3 * Math.sin(0.33 * i);
        Arrays.fill(x[0], n / 5, n / 4, 0);
        Arrays.fill(x[1], n / 5, n / 4, 0);
        Harmonics tone = new Harmonics(new Samples(rate, x), nominal, count, step);
        HumSearch search = new HumSearch(tone, true);

        int nodes = tone.nodes(), stretch = 160, stretches = Math.max(1, (int) Math.round(nodes / (double) stretch));
        double[][] deviations = new double[161][count];
        for (int h = 0; h < count; h++) {
            double[] re = new double[nodes], im = new double[nodes];
            for (int k = 0; k < nodes; k++) for (int c = 0; c < 2; c++) {
                re[k] += tone.amplitudes[c][h].re(k) / 2;
                im[k] += tone.amplitudes[c][h].im(k) / 2;
            }
            Nodes mean = new Nodes(nodes);
            for (int k = 0; k < nodes; k++) mean.set(k, re[k], im[k]);
            double[] loud = tone.loudness(mean), sums = new double[161];
            double quiet = Math.min(loud[nodes], unsung(x, rate, step, mean));
            for (int s = 0; s < stretches; s++) {
                int from = s * stretch, to = s + 1 == stretches ? nodes : from + stretch;
                for (int g = 0; g <= 160; g++) {
                    double a = 0, b = 0, power = 0, weight = 0;
                    for (int k = from; k < to; k++) {
                        if (!tone.heard.get(k)) continue;
                        double w = 1 / loud[k], back = -2 * Math.PI * (h + 1) * (0.005 * g - 0.4) * 0.05 * (k - (from + to) / 2);
                        a += w * (re[k] * Math.cos(back) - im[k] * Math.sin(back));
                        b += w * (re[k] * Math.sin(back) + im[k] * Math.cos(back));
                        power += w * w * (re[k] * re[k] + im[k] * im[k]);
                        weight += w;
                    }
                    if (power > 0 && a * a + b * b < 2 * quiet * weight * weight) sums[g] += (a * a + b * b) / power * 0.75;
                }
            }
            for (int g = 0; g <= 160; g++) deviations[g][h] = 3 * Math.sqrt(stretches) * (Math.cbrt(sums[g] / stretches) - 1 + 1 / (9.0 * stretches));
        }
        double most = Double.NEGATIVE_INFINITY;
        int best = 0;
        for (int g = 0; g <= 160; g++) {
            double sum = 0, here = Double.NEGATIVE_INFINITY;
            for (int h = 0; h < count && nominal * (h + 1) < 310; h++) {
                sum += deviations[g][h];
                here = Math.max(here, Math.max(deviations[g][h], sum / Math.sqrt(h + 1)));
            }
            if (here > most) {
                most = here;
                best = g;
            }
        }
        assertEquals(most, search.proof, 1e-6);
        assertEquals(0.005 * best - 0.4, search.detuning, 1e-9);
        assertEquals(most > 5.5, search.proved());
        assertEquals(level > 0, search.proved(), "proof " + search.proof);
        if (level > 0) assertEquals(hz, nominal + search.detuning, 0.011);
        for (int h = 0; h < count; h++) assertEquals(deviations[best][h] > 3, search.standsOut(h), "harmonic " + h);
    }

    /** Hum of which all is known, under pauses and a loud tone beside it, is found among the mains and taken away to what noise leaves unsure. */
    @ParameterizedTest
    @CsvSource({"50.13, 0, 77", "59.9, 0, 480", "50.02, 0.01, 1000"})
    void whatIsKnownIsTakenAway(double hz, double wander, int cut) {
        double rate = 1000;
        int n = 16_000, step = 50;
        double[][] hum = new double[2][n], x = {noise(n, 3e-5, 1), noise(n, 3e-5, 2)};
        double phase = 0;
        for (int i = 0; i < n; i++) {
            double turn = 2 * Math.PI * phase;
            hum[0][i] = 0.02 * Math.cos(turn + 1) + 0.005 * Math.cos(2 * turn) + 0.004 * Math.cos(5 * turn + 2);
            hum[1][i] = 0.01 * Math.cos(turn + 2) + 0.003 * Math.cos(3 * turn + 1);
            phase += (hz + wander * Math.sin(2 * Math.PI * i / n)) / rate;
        }
        for (int c = 0; c < 2; c++) for (int i = 0; i < n; i++) x[c][i] += hum[c][i] + (i > 6000 && i < 9000 ? 0.1 * Math.sin(2 * Math.PI * 0.2163 * i) : 0);
        Samples sound = new Samples(rate, x);
        HumLines lines = HumLines.find(sound, new double[] {60, 50, 60.4}, 7, step, 0.5).orElseThrow();
        assertEquals(hz, lines.hz(), wander == 0 ? 0.006 : 0.02);
        assertArrayEquals(new int[] {1, 2, 3, 5}, lines.numbers());
        double power = 0;
        for (double[] channel : hum) for (double v : channel) power += v * v / 2 / n;
        // The nodes at either end are told from those beside them.
        assertEquals(10 * Math.log10(power), lines.dbfs(), 0.1);

        BitSet leave = new BitSet();
        leave.set(200, 220);
        leave.set(300);
        int piece = 25;
        double[][] y = {x[0].clone(), x[1].clone()};
        HumLines.Subtractor subtractor = lines.subtractor(piece, leave);
        // It begins before the sound and ends after it.
        for (int from = -60; from < n + 200; from += cut) {
            double[][] block = new double[2][cut];
            for (int c = 0; c < 2; c++) for (int i = 0; i < cut; i++) block[c][i] = from + i < 0 || from + i >= n ? 0.5 : y[c][from + i];
            subtractor.process(from, block, cut);
            for (int c = 0; c < 2; c++) for (int i = 0; i < cut; i++) {
                if (from + i >= 0 && from + i < n) y[c][from + i] = block[c][i];
                else if (from + i < 0 || from + i >= n + step) assertEquals(0.5, block[c][i], 0, "at " + (from + i));
            }
        }
        double left = 0, most = 0;
        int counted = 0;
        for (int c = 0; c < 2; c++) {
            for (int i = 100; i < n - 100; i++) {
                double taken = x[c][i] - y[c][i], share = share(i, piece);
                if (share == 0) assertEquals(x[c][i], y[c][i], 0, "at " + i);
                left += Math.pow(share * hum[c][i] - taken, 2);
                most = Math.max(most, Math.abs(share * hum[c][i] - taken));
                counted++;
            }
        }
        double db = 10 * Math.log10(left / counted / power);
        assertTrue(db < (wander == 0 ? -38 : -32), "what is left of it is " + db + " dB");
        assertTrue(most < 0.0015, "at most " + most);
    }

    /**
     * Mains that wander by 0.04 Hz, under somebody who sings through the third harmonic for 2.5 s: it is carried across in the phase of the others. Were the
     * wandering not followed, what is left of it would be 25 dB stronger.
     */
    @Test
    void mainsThatWanderAreFollowedAcrossAVoice() {
        double rate = 1000;
        int n = 16_000;
        double[] hum = new double[n], x = noise(n, 3e-5, 1);
        double phase = 0;
        for (int i = 0; i < n; i++) {
            double turn = 2 * Math.PI * phase;
            hum[i] = 0.02 * Math.cos(turn + 1) + 0.01 * Math.cos(3 * turn + 2) + 0.008 * Math.cos(5 * turn);
            x[i] += hum[i];
            if (i > 6000 && i < 8500) x[i] += 0.3 * Math.sin(2 * Math.PI * 0.1493 * i) * Math.sin(Math.PI * (i - 6000) / 2500);
            phase += (50 + 0.04 * Math.sin(2 * Math.PI * i / n)) / rate;
        }
        double[] whole = x.clone();
        HumLines lines = HumLines.find(new Samples(rate, x), new double[] {50}, 7, 50, 0.5).orElseThrow();
        lines.subtractor(25, new BitSet()).process(0, new double[][] {x}, n);
        double left = 0, sung = 0;
        for (int i = 500; i < n - 500; i++) left += Math.pow(whole[i] - x[i] - hum[i], 2) / (n - 1000);
        for (int i = 6000; i < 8500; i++) sung += Math.pow(whole[i] - x[i] - hum[i], 2) / 2500;
        assertTrue(10 * Math.log10(left) < -73 && 10 * Math.log10(sung) < -71.5,
                10 * Math.log10(left) + " dB are left, " + 10 * Math.log10(sung) + " under the voice");
    }

    /** Nothing in the pieces that are left, a straight fade over those beside them. */
    private static double share(int i, int piece) {
        double at = (double) i / piece, share = 1;
        for (double[] left : new double[][] {{200, 220}, {300, 301}}) {
            if (at >= left[0] && at <= left[1]) return 0;
            share = Math.min(share, at < left[0] ? left[0] - at : at - left[1]);
        }
        return Math.min(1, share);
    }

    @Test
    void inNoiseThereIsNone() {
        assertTrue(HumLines.find(new Samples(1000, noise(16_000, 0.01, 3)), new double[] {50, 60}, 5, 50, 0.5).isEmpty());
        assertTrue(HumLines.find(new Samples(1000, new double[16_000]), new double[] {50, 60}, 5, 50, 0.5).isEmpty());
    }

    @Test
    void aStepIsAWholeNumberOfPieces() {
        double[] x = noise(16_000, 1e-4, 1);
        hum(x, 1000, 50, 1, 0.01, 0);
        HumLines lines = HumLines.find(new Samples(1000, x), new double[] {50}, 40, 50, 0.5).orElseThrow();
        assertThrows(IllegalArgumentException.class, () -> lines.subtractor(20, new BitSet()));
        assertFalse(Arrays.stream(lines.numbers()).anyMatch(k -> k > 8), "none above 0.4 of the rate");
    }
}
