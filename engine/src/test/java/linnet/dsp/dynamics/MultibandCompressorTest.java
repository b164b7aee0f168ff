package linnet.dsp.dynamics;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import linnet.dsp.Cell;
import linnet.dsp.dynamics.Compression.Level;
import linnet.dsp.dynamics.Compression.Release;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Cascade;
import linnet.dsp.filter.LinkwitzRiley;
import org.junit.jupiter.api.Test;

/** Oracle: a crossover and a compressor for each band, put together by hand. */
class MultibandCompressorTest {
    private static final double RATE = 48000;
    private static final double[] SPLITS = {200, 2500};
    private static final int N = Cell.LENGTH, CELLS = 40;

    private static Compression law(double thresholdDb) {
        return new Compression(Release.PLAIN, Level.PEAK, 0, thresholdDb, 4, 6, 5, 80, Compression.NO_BOUND, 0);
    }

    /** The middle band passes through. */
    private static Compression[] laws() {
        return new Compression[] {law(-30), null, law(-40)};
    }

    private static double[] noise(int seed) {
        return Signals.noise(RATE, N * CELLS / RATE, -15, seed);
    }

    private static double[] cell(double[] x, int cell) {
        return Arrays.copyOfRange(x, cell * N, (cell + 1) * N);
    }

    private static double[] sum(double[][] bands) {
        double[] y = new double[N];
        for (double[] band : bands) for (int i = 0; i < N; i++) y[i] += band[i];
        return y;
    }

    @Test
    void withoutCompressorsItIsTheAllPassesOfItsSplits() {
        double[] x = noise(1);
        MultibandCompressor multiband = new MultibandCompressor(RATE, SPLITS, new Compression[3]);
        Cascade turn = new Cascade(Arrays.stream(SPLITS).mapToObj(hz -> Biquad.allPass(RATE, hz, Biquad.BUTTERWORTH)).toList());
        assertArrayEquals(Signals.through(turn::process, turn::settle, x, N), Signals.through(multiband::process, multiband::settle, x, N), 1e-12);
    }

    @Test
    void eachBandIsCompressedByItself() {
        double[] x = noise(1);
        MultibandCompressor multiband = new MultibandCompressor(RATE, SPLITS, laws());
        LinkwitzRiley crossover = new LinkwitzRiley(RATE, SPLITS);
        Compressor low = new Compressor(RATE, law(-30)), high = new Compressor(RATE, law(-40));
        double[][] bands = new double[3][N];
        for (int c = 0; c < CELLS; c++) {
            double[] y = cell(x, c);
            crossover.split(y, bands, N);
            low.process(bands[0], N);
            high.process(bands[2], N);
            multiband.process(y, N);
            assertArrayEquals(sum(bands), y, 1e-12);
            assertArrayEquals(low.detector().reduction(), multiband.detector(0).reduction(), 1e-12);
            assertArrayEquals(high.detector().reduction(), multiband.detector(2).reduction(), 1e-12);
            assertTrue(c < 5 || multiband.detector(2).reduction()[0] > 1, "there is something to hear");
            crossover.settle();
            low.settle();
            high.settle();
            multiband.settle();
        }
    }

    /** Both sides of a band are turned down alike; what follows is split and turned down in the same way, with states of its own. */
    @Test
    void sidesAreLinkedAndFollowersGoAlong() {
        double[] x = noise(1), quiet = noise(2), other = noise(3);
        for (int i = 0; i < quiet.length; i++) quiet[i] *= 0.05;
        MultibandCompressor stereo = new MultibandCompressor(RATE, SPLITS, laws()), mono = new MultibandCompressor(RATE, SPLITS, laws());
        MultibandCompressor.Follower pair = stereo.follower(), single = mono.follower();
        LinkwitzRiley[] crossovers = {new LinkwitzRiley(RATE, SPLITS), new LinkwitzRiley(RATE, SPLITS), new LinkwitzRiley(RATE, SPLITS)};
        Compressor low = new Compressor(RATE, law(-30)), high = new Compressor(RATE, law(-40));
        Compressor.Follower lows = low.follower(), highs = high.follower();
        double[][] l = new double[3][N], r = new double[3][N], f = new double[3][N];
        for (int c = 0; c < CELLS; c++) {
            double[] left = cell(x, c), right = cell(quiet, c), followsLeft = cell(other, c), followsRight = cell(x, c), alone = cell(x, c),
                    followsAlone = cell(x, c);
            crossovers[0].split(left, l, N);
            crossovers[1].split(right, r, N);
            crossovers[2].split(followsLeft, f, N);
            low.process(l[0], r[0], N);
            high.process(l[2], r[2], N);
            lows.process(f[0], N);
            highs.process(f[2], N);
            stereo.process(left, right, N);
            pair.process(followsLeft, followsRight, N);
            assertArrayEquals(sum(l), left, 1e-12);
            assertArrayEquals(sum(r), right, 1e-12);
            assertArrayEquals(sum(f), followsLeft, 1e-12);
            assertArrayEquals(left, followsRight, 1e-12);
            mono.process(alone, N);
            single.process(followsAlone, N);
            assertArrayEquals(alone, followsAlone, 1e-12);
            for (LinkwitzRiley each : crossovers) each.settle();
            for (Compressor each : List.of(low, high)) each.settle();
            for (MultibandCompressor each : List.of(stereo, mono)) each.settle();
            pair.settle();
            single.settle();
        }
        assertNotSame(stereo.detector(0), stereo.detector(2));
        assertEquals(0, new Compressor(RATE, law(-30)).latency());
    }
}
