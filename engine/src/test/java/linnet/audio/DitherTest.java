package linnet.audio;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import java.nio.file.Path;
import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Truth: triangular dither of +-1 unit q leaves an error of mean 0 and power q^2/4 whatever the signal (Lipshitz,
 * Wannamaker, Vanderkooy, JAES 40(5), 1992), with q = 2^(1-bits): -96.33 dBFS at 16 bits, -144.49 dBFS at 24.
 */
class DitherTest {
    private static final int N = 1 << 20;

    @TempDir
    Path folder;

    @ParameterizedTest
    @CsvSource({"16, 0.25, -96.33", "24, 0.25, -144.49", "16, 0, -96.33", "24, 0, -144.49"})
    void errorOfASineAndOfSilence(int bits, double level, double dbfs) {
        double[] x = new double[N];
        for (int i = 0; i < N; i++) x[i] = level * Math.sin(2 * Math.PI * 997 * i / 48_000);
        double[] e = error(x, bits, 0);
        assertEquals(dbfs, 10 * Math.log10(power(e)) + 20 * Math.log10(Math.pow(2, 1 - bits)), 0.05);
        assertEquals(0, mean(e), 0.005);
    }

    /** Detail below the last bit survives, and the noise does not breathe with it. */
    @ParameterizedTest
    @ValueSource(doubles = {0, 0.25, 0.3, 0.5, -0.3, 0.9})
    void levelsBelowTheLastBit(double lsb) {
        double[] x = new double[N];
        Arrays.fill(x, lsb / 32768);
        double[] e = error(x, 16, 1);
        assertEquals(0, mean(e), 0.003);
        assertEquals(0.25, power(e), 0.002);
    }

    /** White and independent: correlations of 2^20 samples stay within 4.5 standard deviations of 0. */
    @Test
    void channelsNeighboursAndSeedsAreStrangers() {
        double[] x = new double[N];
        double[] left = error(x, 16, 0);
        double[] right = error(x, 16, 1);
        double bound = 4.5 * 0.25 / Math.sqrt(N);
        assertEquals(0, product(left, right, 0), bound);
        for (int lag = 1; lag < 6; lag++) assertEquals(0, product(left, left, lag), bound);
        int[] other = new int[N];
        Dither.triangular(8).cut(x, N, 0, 0, 16, other);
        assertEquals(0, product(left, Arrays.stream(other).asDoubleStream().toArray(), 0), bound);
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 7, 64, 480, 5000})
    void anyCutAndAnyRangeHasTheSameBits(int block) throws Exception {
        int n = 10_007;
        double[][] x = new double[2][n];
        for (int i = 0; i < n; i++) {
            x[0][i] = 0.3 * Math.sin(i * 0.01);
            x[1][i] = 0.2 * Math.cos(i * 0.013);
        }
        Print print = Print.of(48_000, 2, SampleFormat.INT_16).dither(Dither.triangular(42));
        double[][] whole = printed("whole.wav", print, x, 0, n, n);
        double[][] cut = printed("cut.wav", print, x, 0, n, block);
        assertArrayEquals(whole, cut);
        double[][] part = printed("part.wav", print.from(3001), x, 3001, 4000, block);
        for (int c = 0; c < 2; c++) assertArrayEquals(Arrays.copyOfRange(whole[c], 3001, 7001), part[c]);
        double[][] moved = printed("moved.wav", print, x, 3001, 4000, block);
        assertFalse(Arrays.equals(part[0], moved[0]), "the noise belongs to the place in the print");
    }

    private double[][] printed(String name, Print print, double[][] x, int from, int n, int block) throws Exception {
        Path file = folder.resolve(name);
        try (WavWriter writer = WavWriter.create(file, print)) {
            for (int i = 0; i < n; i += block) {
                int count = Math.min(block, n - i);
                double[][] cut = new double[2][];
                for (int c = 0; c < 2; c++) cut[c] = Arrays.copyOfRange(x[c], from + i, from + i + count);
                writer.write(cut, count);
            }
            writer.finish();
        }
        try (WavFile wav = WavFile.open(file)) {
            double[][] y = new double[2][n];
            wav.read(0, y, n);
            return y;
        }
    }

    /** Error of the cut, in units of the last bit. */
    private static double[] error(double[] x, int bits, int channel) {
        int[] k = new int[x.length];
        Dither.triangular(7).cut(x, x.length, channel, 0, bits, k);
        double[] e = new double[x.length];
        for (int i = 0; i < e.length; i++) e[i] = k[i] - x[i] * Math.pow(2, bits - 1);
        return e;
    }

    private static double mean(double[] e) {
        return Arrays.stream(e).average().orElseThrow();
    }

    private static double power(double[] e) {
        return product(e, e, 0);
    }

    private static double product(double[] a, double[] b, int lag) {
        double sum = 0;
        for (int i = lag; i < a.length; i++) sum += a[i] * b[i - lag];
        return sum / a.length;
    }
}
