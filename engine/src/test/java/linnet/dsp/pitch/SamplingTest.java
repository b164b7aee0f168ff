package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Fewer samples and samples in between, against sums written out. */
class SamplingTest {
    private static double[] noise(int n) {
        Random random = new Random(7);
        double[] x = new double[n];
        for (int i = 0; i < n; i++) x[i] = random.nextDouble() - 0.5;
        return x;
    }

    /** A sinc whose corner lies at a quarter of the new rate, under Blackman's window (0.42, 0.5, 0.08), with a sum of 1. */
    @ParameterizedTest
    @CsvSource({"1, 480", "2, 480", "4, 480", "4, 7", "5, 64", "6, 1", "7, 100", "8, 480", "16, 31"})
    void everySoManiethIsTheConvolution(int factor, int cut) {
        double[] x = noise(1500), y = new double[1600];
        Decimator decimator = new Decimator(factor, cut);
        int given = 0;
        for (int from = 0; from < x.length; from += cut) {
            int n = Math.min(cut, x.length - from);
            given += decimator.decimate(Arrays.copyOfRange(x, from, from + n), n, y, given);
        }
        int reach = factor == 1 ? 0 : 4 * factor;
        assertEquals((x.length - reach - 1) / factor + 1, given, "all that can be told");
        double[] h = new double[reach + 1];
        double sum = 0;
        for (int k = 0; k <= reach; k++) {
            double share = (double) k / (reach + 1), angle = Math.PI * k / (2 * factor);
            h[k] = (0.42 + 0.5 * Math.cos(Math.PI * share) + 0.08 * Math.cos(2 * Math.PI * share)) * (k == 0 ? 1 : Math.sin(angle) / angle);
            sum += k == 0 ? h[k] : 2 * h[k];
        }
        for (int k = 0; k < given; k++) {
            double expected = 0;
            for (int j = -reach; j <= reach; j++) {
                int at = k * factor + j;
                if (at >= 0) expected += h[Math.abs(j)] / sum * x[at];
            }
            assertEquals(expected, y[k], 1e-12, "output " + k);
        }
    }

    @Test
    void onASampleItIsThatSample() {
        double[] x = noise(200), y = new double[60];
        new Between(1).read(x, 71, y, 60);
        assertArrayEquals(Arrays.copyOfRange(x, 71, 131), y);
    }

    @ParameterizedTest
    @ValueSource(doubles = {70.5, 70.25, 70.001, 70.9999, 70.37})
    void betweenSamplesItIsTheSincUnderKaisersWindow(double at) {
        double[] x = noise(200), y = new double[60];
        Between between = new Between(1);
        assertEquals(16, between.side());
        between.read(x, at, y, 60);
        // Straight lines between 256 places: their error against noise up to half the rate.
        for (int i = 0; i < 60; i++) assertEquals(Sinc.read(x, at + i, 1, 16, 80), y[i], 3e-5);
    }

    /** Where a place is one of the 256 there is no line to be wrong: the very formula. */
    @Test
    void atItsPlacesItIsExact() {
        double[] x = noise(200), y = new double[60];
        for (int p = 0; p < 256; p += 5) {
            new Between(1).read(x, 70 + p / 256.0, y, 60);
            for (int i = 0; i < 60; i++) assertEquals(Sinc.read(x, 70 + p / 256.0 + i, 1, 16, 80), y[i], 1e-14);
        }
    }

    @ParameterizedTest
    @CsvSource({"1, 1", "0.5, 2", "0.8, 1.25", "0.7, 0.9"})
    void readFasterItIsCutFirst(double cut, double step) {
        double[] x = noise(400), y = new double[40];
        Between between = new Between(cut);
        int side = (int) Math.ceil(16 / cut);
        assertEquals(side, between.side());
        // x[0] is sample 1000 of the sound.
        between.read(x, 1000, 1150.25, -7.5, step, y, 40);
        for (int i = 0; i < 40; i++) assertEquals(Sinc.read(x, 150.25 + (i - 7.5) * step, cut, side, 80), y[i], 3e-5);
    }

    @Test
    void onASampleACutSoundIsNotThatSample() {
        double[] x = noise(200), y = new double[8];
        new Between(0.5).read(x, 80, y, 8);
        for (int i = 0; i < 8; i++) assertEquals(Sinc.read(x, 80 + i, 0.5, 32, 80), y[i], 1e-14);
    }

    @ParameterizedTest
    @CsvSource({"4500, 48000, 0.1875", "4500, 8000, 0.9"})
    void belowAFrequencyItIsALowPass(double hz, double rate, double cut) {
        double[] x = noise(200), y = new double[30];
        Between below = Between.below(hz, rate);
        assertEquals(16, below.side());
        below.read(x, 70.25, y, 30);
        for (int i = 0; i < 30; i++) assertEquals(Sinc.read(x, 70.25 + i, cut, 16, 40), y[i], 1e-14);
    }

    @Test
    void runsOfMarksAreKeptApartAndShortOnesForgotten() {
        PitchMarks marks = new PitchMarks();
        double at = 0;
        int[] lengths = {3, 5, 4, 6, 2000};
        for (int length : lengths) {
            for (int i = 0; i < length; i++) marks.add(at += 1);
            marks.end(5);
        }
        for (int r = 0; r < 100; r++) {
            for (int i = 0; i < 5; i++) marks.add(at += 1);
            marks.end(5);
        }
        assertEquals(103, marks.runs());
        assertArrayEquals(new double[] {4, 5, 6, 7, 8}, marks.run(0));
        assertArrayEquals(new double[] {13, 14, 15, 16, 17, 18}, marks.run(1));
        assertEquals(2000, marks.run(2).length);
        assertEquals(2018, marks.run(2)[1999]);
        assertArrayEquals(new double[] {2019, 2020, 2021, 2022, 2023}, marks.run(3));
        assertArrayEquals(new double[] {at - 4, at - 3, at - 2, at - 1, at}, marks.run(102));
    }

    @Test
    void aTrackKnowsWhereItHasAPitch() {
        PitchTrack track = new PitchTrack(480, new float[] {0, 220, 110}, new float[] {0, 221, 111});
        assertEquals(3, track.frames());
        boolean[] voiced = new boolean[5];
        for (int f = -1; f < 4; f++) voiced[f + 1] = track.voiced(f);
        assertArrayEquals(new boolean[] {false, false, true, true, false}, voiced);
    }
}
