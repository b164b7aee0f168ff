package linnet.dsp.loudness;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/** Losses that can be worked out by hand. */
class FoldDownTest {
    private static final int N = 192_000;

    private static double[] noise(int seed) {
        SplittableRandom random = new SplittableRandom(seed);
        return random.doubles(N).map(v -> 0.2 * (v - 0.5)).toArray();
    }

    private static FoldDown.Loss loss(double[] left, double[] right, int block) {
        FoldDown mono = new FoldDown(48_000);
        double[][] x = new double[2][block];
        for (int at = 0; at < N; at += block) {
            int n = Math.min(block, N - at);
            System.arraycopy(left, at, x[0], 0, n);
            System.arraycopy(right, at, x[1], 0, n);
            mono.add(x, n);
        }
        return mono.worst();
    }

    @Test
    void sidesThatAreAlikeLoseNothing() {
        assertEquals(0, loss(noise(1), noise(1), 480).db(), 1e-9);
        assertEquals(new FoldDown.Loss(1000, 0), loss(new double[N], new double[N], 480));
    }

    @Test
    void aSideAloneLosesThreeDecibels() {
        assertEquals(3.01, loss(noise(1), new double[N], 480).db(), 0.01);
    }

    /** Two noises that know nothing of each other: 3.01 dB, and by chance a little more in a narrow band of 4 s. */
    @Test
    void strangersLoseThreeDecibels() {
        assertEquals(3.01, loss(noise(1), noise(2), 4800).db(), 1.5);
    }

    /** A delay of 1 ms takes out 500 Hz; one tone that is turned around is gone, whatever else there is. */
    @Test
    void theBandThatIsTurnedIsNamed() {
        double[] left = noise(1), right = noise(1);
        for (int i = 0; i < N; i++) {
            double tone = 0.3 * Math.sin(2 * Math.PI * 2500 * i / 48_000);
            left[i] += tone;
            right[i] -= tone;
        }
        FoldDown.Loss worst = loss(left, right, 1000);
        assertEquals(2512, worst.hz(), 1);
        assertEquals(true, worst.db() > 15, worst.toString());
        double[] turned = noise(1);
        for (int i = 0; i < N; i++) turned[i] = -turned[i];
        assertEquals(120, loss(noise(1), turned, 480).db(), 1e-6);
    }

    @Test
    void theCutLeavesNoTrace() {
        assertEquals(loss(noise(1), noise(2), 480), loss(noise(1), noise(2), 7777));
    }
}
