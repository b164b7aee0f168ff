package linnet.dsp.loudness;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import java.util.stream.DoubleStream;
import java.util.stream.IntStream;
import linnet.dsp.Samples;
import linnet.dsp.spectral.Fft;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The meters from the sentences of their standards, over the squares of the whole weighted sound. */
class LoudnessPlainTest {
    /** Noise whose level goes up and down by 50 dB, with pauses of noise and of nothing. */
    private static double[] swells(double rate, double seconds, long seed) {
        Random random = new Random(seed);
        double[] x = new double[(int) (rate * seconds)];
        for (int i = 0; i < x.length; i++) {
            double t = i / rate, db = -30 + 25 * Math.sin(0.9 * t + seed);
            if (t > 4 && t < 5) continue;
            x[i] = Math.pow(10, (t > 6 && t < 7 ? -85 : db) / 20) * random.nextGaussian();
        }
        return x;
    }

    /** ITU-R BS.1770-5 (2023, and the same in BS.1770-4, 2015), Annex 1, tables 1 and 2: b0, b1, b2, a1, a2 at 48 kHz. */
    private static final double[] SHELF = {1.53512485958697, -2.69169618940638, 1.19839281085285, -1.69065929318241, 0.73248077421585};
    private static final double[] HIGH_PASS = {1, -2, 1, -1.99004745483398, 0.99007225036621};

    /** Both tables taken to another rate: by the bilinear transform back to polynomials of s, which is 1 at the corner, and forth again. */
    private static double[] coefficients(double rate) {
        double[] shelf = at(rate, SHELF), highPass = at(rate, HIGH_PASS);
        return new double[] {shelf[0], shelf[1], shelf[2], shelf[3], shelf[4], highPass[3], highPass[4]};
    }

    private static double[] at(double rate, double[] table) {
        double[] above = analogue(table[0], table[1], table[2]), below = analogue(1, table[3], table[4]);
        double k = Math.sqrt(below[0] / below[2]), to = Math.tan(Math.atan(k) * 48000 / rate);
        for (double[] p : new double[][] {above, below}) for (int power = 0; power < 3; power++) p[power] *= Math.pow(k / to, power);
        double[] b = digital(above), a = digital(below);
        return new double[] {b[0] / a[0], b[1] / a[0], b[2] / a[0], a[1] / a[0], a[2] / a[0]};
    }

    /** With (1 - s) / (1 + s) for a delay of one sample: the factors of 1, s, s². */
    private static double[] analogue(double c0, double c1, double c2) {
        return new double[] {c0 + c1 + c2, 2 * (c0 - c2), c0 - c1 + c2};
    }

    private static double[] digital(double[] p) {
        return new double[] {p[0] + p[1] + p[2], 2 * (p[0] - p[2]), p[0] - p[1] + p[2]};
    }

    @ParameterizedTest
    @ValueSource(doubles = {8000, 11025, 44100, 48000, 96000, 192000})
    void theWeightingIsTheTableOfTheStandardAtAnyRate(double rate) {
        assertArrayEquals(coefficients(rate), new KWeighting(rate).coefficients(), 1e-14);
        if (rate == 48000) {
            assertArrayEquals(new double[] {SHELF[0], SHELF[1], SHELF[2], SHELF[3], SHELF[4], HIGH_PASS[3], HIGH_PASS[4]},
                    new KWeighting(rate).coefficients(), 5e-15);
        }
    }

    /** The standard wants the response of 48 kHz; what a rate is off by stands in the doc of the meter. */
    @ParameterizedTest
    @CsvSource({"8000, 0.51", "11025, 0.3", "16000, 0.16", "22050, 0.082", "32000, 0.032", "44100, 0.0055", "88200, 0.026", "96000, 0.028", "176400, 0.04",
            "192000, 0.041"})
    void otherRatesAreOffByNoMoreThanIsSaid(double rate, double mostDb) {
        double[] here = new KWeighting(rate).coefficients(), there = new KWeighting(48000).coefficients();
        double most = 0;
        for (double hz = 20; hz < Math.min(20000, 0.45 * rate); hz *= 1.01) most = Math.max(most, Math.abs(gainDb(here, rate, hz) - gainDb(there, 48000, hz)));
        assertEquals(mostDb, most, 0.05 * mostDb);
        assertTrue(most <= mostDb, most + " dB");
    }

    private static double gainDb(double[] c, double rate, double hz) {
        double w = 2 * Math.PI * hz / rate;
        return 10 * Math.log10(power(w, c[0], c[1], c[2]) / power(w, 1, c[3], c[4]) * power(w, 1, -2, 1) / power(w, 1, c[5], c[6]));
    }

    private static double power(double w, double c0, double c1, double c2) {
        double re = c0 + c1 * Math.cos(w) + c2 * Math.cos(2 * w), im = c1 * Math.sin(w) + c2 * Math.sin(2 * w);
        return re * re + im * im;
    }

    /** Both stages of BS.1770-5 in direct form I. */
    private static double[] squares(double rate, double[]... x) {
        double[] c = coefficients(rate), sum = new double[x[0].length];
        for (double[] channel : x) {
            int n = channel.length;
            double[] shelf = new double[n], y = new double[n];
            for (int i = 0; i < n; i++) {
                shelf[i] = c[0] * channel[i] + c[1] * at(channel, i - 1) + c[2] * at(channel, i - 2) - c[3] * at(shelf, i - 1) - c[4] * at(shelf, i - 2);
                y[i] = shelf[i] - 2 * at(shelf, i - 1) + at(shelf, i - 2) - c[5] * at(y, i - 1) - c[6] * at(y, i - 2);
                sum[i] += y[i] * y[i];
            }
        }
        return sum;
    }

    private static double at(double[] x, int i) {
        return i < 0 ? 0 : x[i];
    }

    private static double mean(double[] x, int from, int to) {
        double sum = 0;
        for (int i = from; i < to; i++) sum += x[i];
        return sum / (to - from);
    }

    private static double lufs(double power) {
        return -0.691 + 10 * Math.log10(power);
    }

    private static double[] above(double[] power, double relativeDb) {
        double[] audible = Arrays.stream(power).filter(p -> lufs(p) > -70).toArray();
        double gate = Arrays.stream(audible).average().orElse(0) * Math.pow(10, relativeDb / 10);
        return Arrays.stream(audible).filter(p -> p > gate).toArray();
    }

    @ParameterizedTest
    @CsvSource({"8000, 13, 1, 480", "8000, 13, 2, 8000", "11025, 9.95, 2, 480", "8000, 3.05, 1, 100", "8000, 0.45, 1, 480", "8000, 2.95, 2, 480",
            "8000, 64, 1, 4800"})
    void loudnessIsThatOfTheStandards(double rate, double seconds, int channels, int cut) {
        double[][] x = new double[channels][];
        for (int c = 0; c < channels; c++) x[c] = swells(rate, seconds, c);
        int n = x[0].length, hop = (int) Math.round(rate / 10);
        Loudness meter = new Loudness(rate, channels);
        for (int from = 0; from < n; from += cut) {
            double[][] piece = new double[channels][];
            for (int c = 0; c < channels; c++) piece[c] = Arrays.copyOfRange(x[c], from, Math.min(n, from + cut));
            meter.add(piece, piece[0].length);
        }
        double[] squares = squares(rate, x);
        int[] lengths = {1, 4, 30};
        double[][] windows = new double[3][];
        for (int k = 0; k < 3; k++) {
            int length = lengths[k] * hop;
            windows[k] = IntStream.range(0, Math.max(0, n / hop - lengths[k] + 1)).mapToDouble(i -> mean(squares, i * hop, i * hop + length)).toArray();
        }
        double[][] told = {meter.stretches(), meter.momentary(), meter.shortTerm()};
        // What has died away by 400 dB is silence.
        for (int k = 0; k < 3; k++) {
            assertArrayEquals(Arrays.stream(windows[k]).map(p -> lufs(p < 1e-40 ? 0 : p)).toArray(),
                    Arrays.stream(told[k]).map(v -> v < -400 ? lufs(0) : v).toArray(), 1e-6);
        }
        assertEquals(lufs(Arrays.stream(above(windows[1], -10)).average().orElse(0)), meter.integrated(), 1e-6);
        double[] most = new double[2];
        for (int k = 0; k < 2; k++) {
            int length = lengths[k + 1] * hop;
            // Every 10 ms, to the nearest sample.
            for (int tenth = 1; (tenth / 10) * hop <= n; tenth++) {
                int end = tenth / 10 * hop + (int) Math.floor(tenth % 10 * hop / 10.0 + 0.5);
                if (end <= n && end >= length) most[k] = Math.max(most[k], mean(squares, end - length, end));
            }
        }
        assertEquals(lufs(most[0]), meter.momentaryMax(), 1e-6);
        assertEquals(lufs(most[1]), meter.shortTermMax(), 1e-6);
        double[] kept = above(windows[2], -20);
        Arrays.sort(kept);
        double range = kept.length == 0 ? Double.NaN
                : lufs(kept[(int) Math.round(0.95 * (kept.length - 1))]) - lufs(kept[(int) Math.round(0.1 * (kept.length - 1))]);
        assertEquals(range, meter.range(), 1e-6);
    }

    @Test
    void oneOrTwoChannelsAreHeard() {
        for (int channels : new int[] {0, 3}) {
            assertThrows(IllegalArgumentException.class, () -> new Loudness(8000, channels));
            assertThrows(IllegalArgumentException.class, () -> new Moments(8000, channels));
        }
    }

    /** What has died away is nothing, on either side: after it the meter reads what a new one reads. */
    @Test
    void oldSoundsAreForgotten() {
        double[] x = swells(8000, 1, 3), silence = new double[8000];
        for (int side = 0; side < 2; side++) {
            KWeighting[] old = {new KWeighting(8000), new KWeighting(8000)};
            old[side].addSquares(x, 0, 8000, 0);
            for (int k = 0; k < 20; k++) {
                KWeighting.addSquares(old[0], old[1], silence, silence, 0, 8000, 0);
                for (KWeighting w : old) w.settle();
            }
            assertEquals(7, KWeighting.addSquares(old[0], old[1], silence, silence, 0, 8000, 7));
            double[][] sides = {side == 0 ? x : silence, side == 0 ? silence : x};
            double alone = new KWeighting(8000).addSquares(x, 100, 900, 0);
            assertEquals(alone, KWeighting.addSquares(old[0], old[1], sides[0], sides[1], 100, 900, 0), 0);
            assertTrue(KWeighting.addSquares(old[0], old[1], silence, silence, 0, 10, 0) > 0, "it rings");
        }
    }

    @ParameterizedTest
    @CsvSource({"8000, 1", "44100, 2"})
    void stretchesAreMeansOfWholeFramesThatCount(double rate, int channels) {
        double[][] x = new double[channels][];
        for (int c = 0; c < channels; c++) x[c] = swells(rate, 2.517, c + 1);
        Weighted weighted = Weighted.of(new Samples(rate, x));
        double[] squares = squares(rate, x);
        int hop = (int) Math.round(rate / 100), frames = squares.length / hop;
        Random random = new Random(2);
        for (int k = 0; k < 60; k++) {
            long from = (long) (random.nextDouble() * 3 * rate - 0.2 * rate), to = from + (long) (random.nextDouble() * rate);
            if (k < 20) from = Math.floorDiv(from, hop) * (long) hop;
            long begin = from, end = to;
            double[] power = IntStream.range(0, frames).filter(f -> (long) f * hop >= begin && (f + 1L) * hop <= end)
                    .mapToDouble(f -> mean(squares, f * hop, (f + 1) * hop)).toArray();
            double gate = Arrays.stream(power).average().orElse(0) / 10;
            assertEquals(lufs(Arrays.stream(power).filter(p -> p >= gate).average().orElse(0)), weighted.loudness(from, to), 1e-6, from + " to " + to);
        }
    }

    private static double pearson(double[] l, double[] r, int from, int to) {
        double a = mean(l, from, to), b = mean(r, from, to), both = 0, one = 0, other = 0;
        for (int i = from; i < to; i++) {
            both += (l[i] - a) * (r[i] - b);
            one += (l[i] - a) * (l[i] - a);
            other += (r[i] - b) * (r[i] - b);
        }
        return one / (to - from) > 1e-12 && other / (to - from) > 1e-12 ? Math.max(-1, Math.min(1, both / Math.sqrt(one * other))) : Double.NaN;
    }

    /** Windows of 3 s at a rate of 200 Hz, more of them than there is room for at first. */
    @ParameterizedTest
    @CsvSource({"200, 12, 33", "200, 2.9, 480", "200, 3, 20", "200, 70, 1000"})
    void momentsAreThoseOfTheSamples(double rate, double seconds, int cut) {
        double[] l = swells(rate, seconds, 1), r = swells(rate, seconds, 2);
        int n = l.length;
        for (int i = 0; i < n; i++) {
            double t = i / rate;
            l[i] += 0.1;
            r[i] = r[i] * 0.5 + (t > 8 ? -0.7 : 0.3) * l[i];
            if (t > 30 && t < 36) r[i] = 0.2;
            if (t > 20 && t < 26) l[i] = 0.001 * (r[i] = -0.001 * l[i]);
        }
        Moments moments = new Moments(rate, 2), mono = new Moments(rate, 1);
        for (int from = 0; from < n; from += cut) {
            double[][] piece = {Arrays.copyOfRange(l, from, Math.min(n, from + cut)), Arrays.copyOfRange(r, from, Math.min(n, from + cut))};
            moments.add(piece, piece[0].length);
            mono.add(new double[][] {piece[1]}, piece[1].length);
        }
        double[][] x = {l, r};
        double[] squares = new double[2];
        for (int c = 0; c < 2; c++) {
            squares[c] = DoubleStream.of(x[c]).map(v -> v * v).average().orElseThrow();
            assertEquals(mean(x[c], 0, n), moments.mean(c), 1e-12);
            assertEquals(squares[c], moments.meanSquare(c), 1e-12);
        }
        assertEquals(mean(r, 0, n), mono.mean(0), 1e-12);
        assertEquals(squares[1], mono.meanSquare(0), 1e-12);
        assertEquals(Double.NaN, mono.correlation());
        assertEquals(Double.NaN, mono.lowestCorrelation());
        assertEquals(pearson(l, r, 0, n), moments.correlation(), 1e-9);
        double lowest = Double.NaN;
        for (int from = 0; from + 600 <= n; from += 20) {
            double power = 0, here = pearson(l, r, from, from + 600);
            for (double[] side : x) for (int i = from; i < from + 600; i++) power += side[i] * side[i] / 600;
            if (power >= 0.01 * (squares[0] + squares[1]) && !Double.isNaN(here) && !(here >= lowest)) lowest = here;
        }
        assertEquals(lowest, moments.lowestCorrelation(), 1e-9);
    }

    /** Third octaves of the mean of both sides beside the mean of their powers, over Hann windows that overlap by half. */
    @ParameterizedTest
    @CsvSource({"48000, 30000, 480", "48000, 12000, 30000", "22050, 25000, 5000", "48000, 8191, 480"})
    void whatAFoldDownLosesIsTheWorstThirdOctave(double rate, int n, int cut) {
        Random random = new Random(6);
        double[][] x = new double[2][n];
        for (int i = 0; i < n; i++) {
            double common = random.nextGaussian(), tone = 0.5 * Math.sin(2 * Math.PI * 1300 * i / rate);
            x[0][i] = 0.1 * (common + 0.3 * random.nextGaussian()) + tone + Math.sin(2 * Math.PI * 205 * i / rate);
            x[1][i] = 0.1 * (common + 0.3 * random.nextGaussian()) - 0.3 * tone + Math.sin(2 * Math.PI * 205 * i / rate);
        }
        FoldDown meter = new FoldDown(rate);
        for (int from = 0; from < n; from += cut) {
            int m = Math.min(cut, n - from);
            meter.add(new double[][] {Arrays.copyOfRange(x[0], from, from + m), Arrays.copyOfRange(x[1], from, from + m)}, m);
        }
        Fft fft = new Fft(8192);
        double[] sides = new double[4097], sum = new double[4097], frame = new double[8192], re = new double[4097], im = new double[4097];
        for (int from = 0; from + 8192 <= n; from += 4096) {
            for (int k = 0; k < 3; k++) {
                for (int i = 0; i < 8192; i++) {
                    double v = k < 2 ? x[k][from + i] : (x[0][from + i] + x[1][from + i]) / 2;
                    frame[i] = v * Math.pow(Math.sin(Math.PI * i / 8192), 2);
                }
                fft.forward(frame, re, im);
                for (int b = 0; b <= 4096; b++) {
                    if (k < 2) sides[b] += (re[b] * re[b] + im[b] * im[b]) / 2;
                    else sum[b] += re[b] * re[b] + im[b] * im[b];
                }
            }
        }
        double[] before = new double[23], after = new double[23];
        for (int b = 0; b < 23; b++) {
            for (int k = 0; k <= 4096; k++) {
                double octave = Math.log10(k * rate / 8192 / 1000) * 10 - (b - 10);
                if (octave < -0.5 || octave >= 0.5) continue;
                before[b] += sides[k];
                after[b] += sum[k];
            }
        }
        double loudest = Arrays.stream(before).max().orElseThrow(), most = 0, hz = 1000;
        for (int b = 0; b < 23; b++) {
            if (before[b] <= loudest / 1000) continue;
            double db = -10 * Math.log10(Math.max(1e-12, after[b] / before[b]));
            if (db > most) {
                most = db;
                hz = 1000 * Math.pow(10, (b - 10) / 10.0);
            }
        }
        assertEquals(most, meter.worst().db(), 1e-6);
        assertEquals(hz, meter.worst().hz(), 1e-6);
        assertEquals(n < 8192, most == 0);
    }

    @Test
    void aSamplePeakIsTheLargestOfAll() {
        SamplePeak peak = new SamplePeak();
        assertEquals(Double.NEGATIVE_INFINITY, peak.dbfs());
        peak.add(new double[][] {{0.1, -0.5, 0.2}, {0.3, 0.4, 0.9}}, 2);
        assertEquals(20 * Math.log10(0.5), peak.dbfs(), 1e-9);
        peak.add(new double[][] {{0.1, 0.1}, {0.6, 0}}, 2);
        assertEquals(20 * Math.log10(0.6), peak.dbfs(), 1e-9);
        peak.add(new double[][] {{0.1}, {0.2}}, 1);
        assertEquals(20 * Math.log10(0.6), peak.dbfs(), 1e-9);
    }
}
