package linnet.dsp.repair;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import java.util.SplittableRandom;
import linnet.dsp.Samples;
import linnet.dsp.Stretches;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Noise: how it is measured, lowered and made, at a rate at which transforms can be written out as sums. */
class NoisePlainTest {
    private static final double RATE = 1000;

    private static double[] noise(int n, double level, long seed) {
        Random random = new Random(seed);
        double[] x = new double[n];
        for (int i = 0; i < n; i++) x[i] = level * random.nextGaussian();
        return x;
    }

    /** Real and imaginary part of each bin, by definition. */
    private static double[][] forward(double[] x) {
        int n = x.length;
        double[][] bins = new double[2][n / 2 + 1];
        for (int k = 0; k <= n / 2; k++) {
            for (int i = 0; i < n; i++) {
                bins[0][k] += x[i] * Math.cos(2 * Math.PI * i * k / n);
                bins[1][k] -= x[i] * Math.sin(2 * Math.PI * i * k / n);
            }
        }
        return bins;
    }

    private static double[] inverse(double[][] bins) {
        int n = 2 * (bins[0].length - 1);
        double[] x = new double[n];
        for (int i = 0; i < n; i++) {
            for (int k = 0; k <= n / 2; k++) {
                double twice = k == 0 || k == n / 2 ? 1 : 2, im = twice == 1 ? 0 : bins[1][k];
                x[i] += twice / n * (bins[0][k] * Math.cos(2 * Math.PI * i * k / n) - im * Math.sin(2 * Math.PI * i * k / n));
            }
        }
        return x;
    }

    private static double power(double[][] bins, int k) {
        return bins[0][k] * bins[0][k] + bins[1][k] * bins[1][k];
    }

    private static double[] framed(double[] x, int from, int length) {
        double[] frame = new double[length];
        for (int i = 0; i < length; i++) frame[i] = from + i < 0 || from + i >= x.length ? 0 : Math.sin(Math.PI * i / length) * x[from + i];
        return frame;
    }

    /** The mean over windows, or the root of half the mean square where that is more; of few windows, with bins beside. */
    @ParameterizedTest
    @CsvSource({"1, 2", "2, 1", "3, 1", "5, 2", "24, 1", "30, 2"})
    void theSpectrumOfNoiseIsItsMean(int windows, int channels) {
        NoiseSpectrum spectrum = new NoiseSpectrum(RATE);
        int length = 32, bins = 17;
        assertEquals(length, NoiseSpectrum.length(RATE));
        assertEquals(2048, NoiseSpectrum.length(48_000));
        double[][] power = new double[windows][bins];
        for (int w = 0; w < windows; w++) {
            double[][] x = new double[channels][];
            for (int c = 0; c < channels; c++) x[c] = noise(length, w % 4 == 3 ? 5 : 1, 10 * w + c);
            spectrum.add(x);
            for (int c = 0; c < channels; c++) for (int k = 0; k < bins; k++) power[w][k] += power(forward(framed(x[c], 0, length)), k);
        }
        assertEquals(windows, spectrum.windows());
        int near = Math.min(8, 24 / windows);
        double[] expected = new double[bins];
        for (int k = 0; k < bins; k++) {
            double sum = 0, squares = 0;
            int n = 0;
            for (int i = Math.max(0, k - near); i <= Math.min(bins - 1, k + near); i++) {
                for (int w = 0; w < windows; w++, n++) {
                    sum += power[w][i];
                    squares += power[w][i] * power[w][i];
                }
            }
            expected[k] = Math.max(sum / n, Math.sqrt(squares / n / 2));
        }
        assertArrayEquals(expected, spectrum.power(), 1e-9);
        NoiseSpectrum silence = new NoiseSpectrum(RATE);
        silence.add(new double[1][length]);
        for (double v : silence.power()) assertEquals(1e-20 * length, v, 1e-33);
    }

    private static NoiseSpectrum spectrum(int channels) {
        NoiseSpectrum spectrum = new NoiseSpectrum(RATE);
        for (int w = 0; w < 30; w++) {
            double[][] x = new double[channels][];
            for (int c = 0; c < channels; c++) x[c] = noise(32, 0.1, 500 + 10 * w + c);
            spectrum.add(x);
        }
        return spectrum;
    }

    /** Window for window from the definition, in noise with a tone, a burst and what is kept. */
    @ParameterizedTest
    @CsvSource({"1, 0, 100", "2, -40, 77", "2, 0, 8", "1, 500, 3"})
    void aWindowIsLoweredWhereNothingCoversTheNoise(int channels, int begins, int cut) {
        int length = 32, hop = 8, bins = 17, n = 1200, latency = length + 4 * hop;
        assertEquals(latency, Denoiser.latency(RATE));
        double[][] x = new double[channels][];
        for (int c = 0; c < channels; c++) {
            x[c] = noise(n, 0.1, 3 + c);
            for (int i = 300; i < 500; i++) x[c][i] += 0.15 * Math.sin(2 * Math.PI * 0.21 * i);
            for (int i = 600; i < 640; i++) x[c][i] *= 1.7;
            for (int i = 700; i < 800; i++) x[c][i] *= 0.1;
        }
        // In samples of the take, of which the first that comes is number `begins`.
        Stretches kept = new Stretches(new long[] {900 + begins}, new long[] {920 + begins});
        NoiseSpectrum spectrum = spectrum(channels);
        double[] noise = spectrum.power();
        Denoiser denoiser = new Denoiser(RATE, channels, spectrum, kept);
        denoiser.set(12);
        double[][] y = new double[channels][n];
        double[] told = new double[n / hop + 1];
        int amountFrom = 400;
        for (int from = 0; from < n; ) {
            if (from == amountFrom) denoiser.set(20);
            int m = Math.min(Math.min(cut, n - from), from < amountFrom ? amountFrom - from : n);
            double[][] piece = new double[channels][];
            for (int c = 0; c < channels; c++) piece[c] = Arrays.copyOfRange(x[c], from, from + m);
            denoiser.process(begins + from, piece, m);
            for (int c = 0; c < channels; c++) System.arraycopy(piece[c], 0, y[c], from, m);
            from += m;
            if (from % hop == 0) told[from / hop] = denoiser.reductionDb();
        }

        int windows = n / hop;
        double[][][][] spectra = new double[windows][channels][][];
        double[][] over = new double[windows][bins];
        for (int w = 0; w < windows; w++) {
            for (int c = 0; c < channels; c++) {
                spectra[w][c] = forward(framed(x[c], (w + 1) * hop - length, length));
                for (int k = 0; k < bins; k++) over[w][k] += power(spectra[w][c], k) / noise[k];
            }
            for (int k = 0; k < bins; k++) over[w][k] = Math.min(10, over[w][k]);
        }
        double[][] expected = new double[channels][n];
        for (int w = 0; w + 4 < windows; w++) {
            int first = (w + 1) * hop - length;
            // Asked for when the middle of the window came; before the first it was the first.
            int asked = w - 2 < 0 || (w - 2 + 1) * hop <= amountFrom ? 12 : 20;
            double db = kept.meets(begins + first, begins + first + length) ? 0 : asked;
            double before = 0, after = 0;
            double[][][] lowered = new double[channels][2][bins];
            for (int k = 0; k < bins; k++) {
                double narrow = 0, broad = 0;
                int near = (int) Math.round(75 / (RATE / length)), far = (int) Math.round(Math.max(150 / (RATE / length), 0.12 * k));
                for (int v = w - 4; v <= w + 4; v++) if (v >= 0) narrow += mean(over[v], k, near) / 9;
                for (int v = w - 1; v <= w + 1; v++) if (v >= 0) broad += mean(over[v], k, far) / 3;
                double covered = Math.max(0, Math.min(1, (Math.max(narrow, broad) - 2) / 0.75)), gain = Math.pow(10, -db * (1 - covered) / 20);
                for (int c = 0; c < channels; c++) {
                    before += power(spectra[w][c], k);
                    after += power(spectra[w][c], k) * gain * gain;
                    for (int part = 0; part < 2; part++) lowered[c][part][k] = spectra[w][c][part][k] * gain;
                }
            }
            for (int c = 0; c < channels; c++) {
                double[] frame = inverse(lowered[c]);
                for (int i = 0; i < length; i++) if (first + i >= 0) expected[c][first + i] += 0.5 * Math.sin(Math.PI * i / length) * frame[i];
            }
            if (cut == hop) assertEquals(10 * Math.log10(before / after), told[w + 5], 1e-6, "window " + w);
        }
        for (int c = 0; c < channels; c++) {
            for (int i = latency; i < n; i++) {
                boolean dry = kept.meets(begins + i - latency, begins + i - latency + 1);
                assertEquals(dry ? x[c][i - latency] : expected[c][i - latency], y[c][i], dry ? 0 : 1e-7, "sample " + i);
            }
            for (int i = 0; i < latency; i++) assertEquals(0, y[c][i], 1e-12);
        }
    }

    private static double mean(double[] x, int k, int near) {
        double sum = 0;
        int from = Math.max(0, k - near), to = Math.min(x.length - 1, k + near);
        for (int i = from; i <= to; i++) sum += x[i];
        return sum / (to - from + 1);
    }

    /** Resting is running through silence: what comes after has the same bits, whatever channel it came in. */
    @ParameterizedTest
    @CsvSource({"1, 0", "2, 0", "2, 1"})
    void restingIsRunningThroughSilence(int channels, int side) {
        Denoiser[] pair = {new Denoiser(RATE, channels, spectrum(channels), new Stretches(new long[0], new long[0])),
            new Denoiser(RATE, channels, spectrum(channels), new Stretches(new long[0], new long[0]))};
        for (Denoiser d : pair) d.set(9);
        int rested = 0;
        for (int block = 0; block < 60; block++) {
            double[][] x = new double[channels][30], y = new double[channels][30];
            boolean sounds = block == 3 || block > 40;
            if (sounds) for (int i = 0; i < 30; i++) x[side][i] = y[side][i] = Math.sin(block * i + 0.1);
            assertEquals(pair[0].rests(), pair[1].rests(), "block " + block);
            if (block == 4) assertFalse(pair[1].rests());
            if (!sounds && pair[1].rests()) {
                pair[1].rest(30);
                rested++;
            } else {
                pair[1].process(30L * block, y, 30);
            }
            pair[0].process(30L * block, x, 30);
            for (int c = 0; c < channels; c++) for (int i = 0; i < 30; i++) assertEquals(x[c][i], y[c][i], 0.0, "block " + block);
            if (block > 4) assertEquals(pair[0].reductionDb(), pair[1].reductionDb(), 1e-12, "block " + block);
        }
        assertTrue(rested > 20, rested + " blocks");
    }

    /**
     * A room by P. Welch's method with medians for means, its noise with phases out of SplitMix64, whose reference is the library's own generator;
     * of two channels the second is what it has in common with the first and a noise of its own.
     */
    @ParameterizedTest
    @CsvSource({"1, 64", "2, 64", "2, 40", "1, 20", "2, 700"})
    void aRoomIsNoiseWithItsSpectrum(int channels, int stretch) {
        int frames = 30_000;
        double[][] x = new double[channels][];
        double[] common = noise(frames, 0.1, 9);
        for (int c = 0; c < channels; c++) {
            x[c] = noise(frames, 0.05, c);
            for (int i = 1; i < frames; i++) x[c][i] += 0.5 * x[c][i - 1] + common[i - c];
        }
        int length = 64;
        while (length > stretch) length /= 2;
        long[][] stretches = new long[stretch == 700 ? 40 : 7][];
        for (int s = 0; s < stretches.length; s++) stretches[s] = new long[] {700L * s - 10, 700L * s - 10 + stretch};
        stretches[0][0] = 0;
        stretches[0][1] = stretch;
        stretches[stretches.length - 1] = new long[] {frames - stretch, frames + 50};
        RoomTone room = RoomTone.of(new Samples(RATE, x), stretches).orElseThrow();

        int bins = length / 2 + 1, count = 0;
        double[] hann = new double[length];
        double squares = 0;
        for (int i = 0; i < length; i++) squares += Math.pow(hann[i] = Math.pow(Math.sin(Math.PI * (i + 0.5) / length), 2), 2);
        java.util.List<Integer> places = new java.util.ArrayList<>();
        for (long[] s : stretches) for (int at = (int) s[0]; at + length <= Math.min(s[1], frames); at += length / 2) places.add(at);
        if (places.size() > 300) {
            java.util.List<Integer> all = places;
            places = new java.util.ArrayList<>();
            for (int i = 0; i < 300; i++) places.add(all.get((int) ((long) i * all.size() / 300)));
        }
        count = places.size();
        double[][][] powers = new double[channels][bins][count];
        double[] crossRe = new double[bins], crossIm = new double[bins];
        for (int w = 0; w < count; w++) {
            double[][][] spectrum = new double[channels][][];
            for (int c = 0; c < channels; c++) {
                double[] frame = new double[length];
                for (int i = 0; i < length; i++) frame[i] = hann[i] * x[c][places.get(w) + i];
                spectrum[c] = forward(frame);
                for (int k = 0; k < bins; k++) powers[c][k][w] = power(spectrum[c], k);
            }
            if (channels == 1) continue;
            for (int k = 0; k < bins; k++) {
                // The second times the conjugate of the first.
                crossRe[k] += spectrum[1][0][k] * spectrum[0][0][k] + spectrum[1][1][k] * spectrum[0][1][k];
                crossIm[k] += spectrum[1][1][k] * spectrum[0][0][k] - spectrum[1][0][k] * spectrum[0][1][k];
            }
        }
        double[][] typical = new double[channels][bins], sum = new double[channels][bins];
        for (int c = 0; c < channels; c++) {
            for (int k = 0; k < bins; k++) {
                sum[c][k] = Arrays.stream(powers[c][k]).sum();
                Arrays.sort(powers[c][k]);
                double expected = 0;
                for (int i = 0; i <= (count - 1) / 2; i++) expected += 1.0 / (count - i);
                typical[c][k] = powers[c][k][(count - 1) / 2] / expected * length / squares;
            }
        }
        for (long from : new long[] {0, -17, 5003}) {
            int n = 100;
            double[][] expected = new double[channels][n];
            for (long block = Math.floorDiv(from - length, length / 2); block * length / 2 < from + n; block++) {
                double[][] first = new double[2][bins], second = new double[2][bins];
                for (int k = 0; k < bins; k++) {
                    long random = new SplittableRandom((block * bins + k) * 0x9E3779B97F4A7C15L).nextLong();
                    double turn = 2 * Math.PI * Math.floorMod(random, 256L) / 256, other = 2 * Math.PI * Math.floorMod(random >>> 32, 256L) / 256;
                    double l = Math.sqrt(typical[0][k]);
                    first[0][k] = l * Math.cos(turn);
                    first[1][k] = l * Math.sin(turn);
                    if (channels == 1) continue;
                    double both = Math.sqrt(sum[0][k] * sum[1][k]), re = crossRe[k] / both, im = crossIm[k] / both, r = Math.sqrt(typical[1][k]);
                    double own = r * Math.sqrt(Math.max(0, 1 - re * re - im * im));
                    second[0][k] = r * (re * Math.cos(turn) - im * Math.sin(turn)) + own * Math.cos(other);
                    second[1][k] = r * (re * Math.sin(turn) + im * Math.cos(turn)) + own * Math.sin(other);
                }
                double[][] made = channels == 1 ? new double[][] {inverse(first)} : new double[][] {inverse(first), inverse(second)};
                for (int i = 0; i < length; i++) {
                    long t = block * length / 2 + i - from;
                    double window = Math.sin(Math.PI / 2 * Math.pow(Math.sin(Math.PI * (i + 0.5) / length), 2));
                    if (t >= 0 && t < n) for (int c = 0; c < channels; c++) expected[c][(int) t] += window * made[c][i];
                }
            }
            double[][] filled = room.fill(from, n);
            // Powers are kept in short numbers.
            for (int c = 0; c < channels; c++) assertArrayEquals(expected[c], filled[c], 1e-6, "from " + from);
        }
    }

    @Test
    void withoutALongEnoughStretchThereIsNoRoom() {
        Samples sound = new Samples(RATE, noise(1000, 0.1, 1));
        assertTrue(RoomTone.of(sound, new long[][] {{100, 115}}).isEmpty());
        assertTrue(RoomTone.of(sound, new long[][] {{100, 116}}).isPresent());
        assertTrue(RoomTone.of(sound, new long[0][]).isEmpty());
        double[][] silent = RoomTone.of(new Samples(RATE, new double[2][500]), new long[][] {{0, 400}}).orElseThrow().fill(50, 60);
        for (double[] channel : silent) assertArrayEquals(new double[60], channel);
    }
}
