package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import linnet.dsp.Samples;
import linnet.dsp.align.Pieces;
import org.junit.jupiter.api.Test;

class PeriodsTest {
    private static final double RATE = 48_000;
    private static final int N = 48_000, HOP = 480;

    /** Twelve harmonics with vibrato of a third of a semitone each way; the phase of the first is {@code phase[i]}. */
    private static double[] voice(double hz, double[] phase) {
        double[] x = new double[N];
        for (int i = 0; i < N; i++) {
            phase[i] = 2 * Math.PI * hz * i / RATE + hz * 0.02 / 5.5 * Math.sin(2 * Math.PI * 5.5 * i / RATE);
            for (int k = 1; k <= 12; k++) x[i] += 0.3 / k * Math.sin(k * phase[i]);
        }
        return x;
    }

    private static PitchTrack track(double hz) {
        float[] pitch = new float[N / HOP];
        Arrays.fill(pitch, (float) hz);
        return new PitchTrack(HOP, pitch);
    }

    @Test
    void aVoiceGetsLongerOrShorterByWholePeriods() {
        for (double hz : new double[] {110, 220, 432}) {
            for (int by : new int[] {1900, -1900, 300}) {
                double[] x = voice(hz, new double[N]);
                List<Periods.Join> joins = new Periods(new Samples(RATE, x), track(hz), 0.1).joins(List.<long[]>of(new long[] {4000, 44_000}), by);
                assertEquals(Math.abs(by), joins.stream().mapToInt(Periods.Join::lag).sum(), 0.55 * RATE / hz, hz + " Hz by " + by);
                for (Periods.Join j : joins) assertTrue(j.alike() > 0.97, hz + " Hz: " + j);
            }
        }
    }

    /** What a joined voice differs by from one that was sung so: nothing that could be heard as a click. */
    @Test
    void aJoinIsSmooth() {
        double[] x = voice(220, new double[N]);
        Samples sound = new Samples(RATE, x);
        Pieces.Builder pieces = new Pieces.Builder(sound);
        for (Periods.Join j : new Periods(sound, track(220), 0.1).joins(List.<long[]>of(new long[] {4000, 44_000}), 1500)) {
            pieces.join(j.at() + j.lag() + pieces.shift(), j.width(), pieces.shift() + j.lag(), j.alike());
        }
        Pieces longer = pieces.build();
        double[][] y = new double[1][(int) longer.frames()];
        longer.read(0, y, y[0].length);
        assertTrue(longer.count() > 3);
        assertTrue(bend(y[0]) < 1.02 * bend(x), bend(y[0]) + " over " + bend(x));
    }

    /** The largest second difference: a click has a larger one than the voice. */
    private static double bend(double[] x) {
        double most = 0;
        for (int i = 1; i < 46_000; i++) most = Math.max(most, Math.abs(x[i + 1] - 2 * x[i] + x[i - 1]));
        return most;
    }

    @Test
    void noMoreThanATenthIsGainedAndNoiseIsLeftAlone() {
        Samples sound = new Samples(RATE, voice(220, new double[N]));
        int most = new Periods(sound, track(220), 0.1).joins(List.<long[]>of(new long[] {10_000, 20_000}), 5000).stream().mapToInt(Periods.Join::lag).sum();
        assertTrue(most > 800 && most <= 1000, "gained " + most);
        SplittableRandom random = new SplittableRandom(1);
        double[] noise = random.doubles(N, -1, 1).toArray();
        assertTrue(new Periods(new Samples(RATE, noise), track(220), 0.1).joins(List.<long[]>of(new long[] {4000, 44_000}), 1500).isEmpty());
    }
}
