package linnet.dsp.dynamics;

import static linnet.dsp.dynamics.Signals.amplitude;
import static linnet.dsp.dynamics.Signals.db;
import static linnet.dsp.dynamics.Signals.join;
import static linnet.dsp.dynamics.Signals.noise;
import static linnet.dsp.dynamics.Signals.tone;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import linnet.Voices;
import linnet.dsp.Cell;
import linnet.dsp.loudness.TruePeak;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class LimiterTest {
    private static final double RATE = 48000;

    /** 5 ms ahead, release 80 ms. */
    private static Limiter limiter(double ceilingDb) {
        Limiter limiter = new Limiter(RATE, 1, 5);
        limiter.set(ceilingDb, 80);
        return limiter;
    }

    private static double[] through(Limiter limiter, double[] x, int block) {
        double[][] channel = new double[1][];
        return Signals.through((t, n) -> {
            channel[0] = t;
            limiter.process(channel, n);
        }, () -> {}, x, block);
    }

    private static double[] limited(double ceilingDb, double[] x) {
        return through(limiter(ceilingDb), x, Cell.LENGTH);
    }

    /**
     * Oracle: true peak by the sampling theorem, a sinc of 192 samples under a Blackman-Harris window (F. Harris, Proc. IEEE
     * 66(1), 1978: side lobes -92 dB) at 32 points to a sample. It looks only beside samples that can matter.
     */
    private static double truePeak(double[] x) {
        int half = 96, points = 32;
        double[][] taps = new double[points][2 * half];
        for (int p = 0; p < points; p++) {
            for (int k = 0; k < 2 * half; k++) {
                double d = k - half + 1 - p / (double) points, w = Math.PI * (1 + d / half);
                double window = 0.35875 - 0.48829 * Math.cos(w) + 0.14128 * Math.cos(2 * w) - 0.01168 * Math.cos(3 * w);
                taps[p][k] = (d == 0 ? 1 : Math.sin(Math.PI * d) / (Math.PI * d)) * window;
            }
        }
        double sample = Arrays.stream(x).map(Math::abs).max().orElseThrow(), peak = sample;
        for (int i = half; i + half < x.length; i++) {
            if (Math.abs(x[i]) < 0.6 * sample && Math.abs(x[i + 1]) < 0.6 * sample) continue;
            for (double[] phase : taps) {
                double y = 0;
                for (int k = 0; k < 2 * half; k++) y += phase[k] * x[i - half + 1 + k];
                peak = Math.max(peak, Math.abs(y));
            }
        }
        return peak;
    }

    @ParameterizedTest
    @ValueSource(doubles = {997, 4000, 7350, 11_990, 12_000, 15_990, 18_100, 19_900})
    void tonesKeepTheCeilingBetweenTheSamplesToo(double hz) {
        double[] x = join(new double[500], tone(RATE, 0.4, hz, 2));
        for (int i = 500; i < x.length; i++) x[i] = 2 * Math.sin(2 * Math.PI * hz * i / RATE + Math.PI / 4) * Math.min(1, (i - 500) / 2400.0);
        double peak = db(truePeak(limited(-1, x)));
        assertTrue(peak <= -1, hz + " Hz reaches " + peak);
        assertTrue(peak >= -1.5, hz + " Hz only reaches " + peak); // it is not turned down more than needed
    }

    @Test
    void hardSignalsKeepTheCeiling() {
        double[] square = new double[24000], bursts = noise(RATE, 0.5, -6, 3);
        for (int i = 0; i < square.length; i++) square[i] = i / 31 % 2 == 0 ? 1 : -1;
        for (int i = 0; i < bursts.length; i++) bursts[i] *= i % 3000 < 40 ? 8 : 0.3;
        for (double[] x : List.of(square, bursts, noise(RATE, 0.5, 0, 4))) {
            for (double ceiling : new double[] {-0.1, -1, -12}) {
                double peak = db(truePeak(limited(ceiling, x)));
                assertTrue(peak <= ceiling, "reaches " + peak + " over " + ceiling);
            }
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"male_sing_hot_vocadito10", "female_sing_nit004_take2", "male_speech_plosive_xmas"})
    void realVoicesKeepTheCeiling(String name) throws IOException {
        Voices.assumePresent();
        Signals.Voice voice = Signals.voice(name);
        Limiter limiter = new Limiter(voice.rate(), 1, 5);
        limiter.set(-1, 80);
        double[] loud = Arrays.stream(voice.x()).map(v -> v * amplitude(9)).toArray();
        double peak = db(truePeak(through(limiter, loud, Cell.LENGTH)));
        assertTrue(peak <= -1 && peak > -1.3, name + " reaches " + peak);
    }

    /**
     * A print is judged by the meter of the standard, whose interpolator reads tones near 4 and 12 kHz 0.22 dB too high. Held by an exact
     * interpolator alone, such a tone read 0.07 dB over the ceiling, noise 0.28 dB and a voice full of s 0.02 dB.
     */
    @Test
    void whatTheStandardReadsKeepsTheCeilingToo() {
        for (double hz : new double[] {3_950, 4_050, 4_150, 11_950, 12_050, 12_150, 19_050}) {
            double read = read(limited(-1, tone(RATE, 0.5, hz, 2)));
            assertTrue(read <= -1.005 && read > -1.1, hz + " Hz reads " + read);
        }
        for (int seed = 0; seed < 3; seed++) {
            double read = read(limited(-1, noise(RATE, 3, 6 * seed, seed)));
            assertTrue(read <= -1.005, "noise reads " + read);
        }
    }

    @Test
    void whatTheStandardReadsOfARealVoiceFullOfSKeepsTheCeilingToo() throws IOException {
        Voices.assumePresent();
        Signals.Voice voice = Signals.voice("male_speech_sibilant_pjs005");
        double read = read(limited(-1, Arrays.stream(voice.x()).map(v -> v * amplitude(24)).toArray()));
        assertTrue(read <= -1.005, "a voice reads " + read);
    }

    private static double read(double[] x) {
        TruePeak meter = new TruePeak(1);
        meter.add(new double[][] {x}, x.length);
        return meter.dbtp();
    }

    /** What the limiter asks the meter, place by place, is what the meter says of the whole. */
    @Test
    void theReadingsAreTheMeters() {
        double[] x = new double[2000], some = noise(RATE, 0.02, 0, 9);
        System.arraycopy(some, 0, x, 100, some.length);
        double most = 0;
        for (int at = TruePeak.BESIDE; at + TruePeak.BESIDE + 1 < x.length; at++) most = Math.max(most, TruePeak.between(x, at));
        assertEquals(read(x), db(Math.max(most, Arrays.stream(x).map(Math::abs).max().orElseThrow())), 1e-9);
    }

    @Test
    void belowTheCeilingItIsABitExactDelay() {
        Limiter limiter = limiter(-1);
        double[] x = join(tone(RATE, 1, 440, 0.5), noise(RATE, 1, -30, 1)), y = through(limiter, x, Cell.LENGTH);
        for (int i = 0; i + limiter.latency() < x.length; i++) assertEquals(x[i], y[i + limiter.latency()]);
    }

    @Test
    void afterAPeakItComesBackToTheBit() {
        Limiter limiter = limiter(-1);
        double[] x = join(noise(RATE, 1, 6, 2), tone(RATE, 4, 440, 0.5)), y = through(limiter, x, Cell.LENGTH);
        // 80 ms until 1e-9 is left: 21 times that.
        for (int i = 3 * 48000; i + limiter.latency() < x.length; i++) assertEquals(x[i], y[i + limiter.latency()]);
    }

    @Test
    void oneHighSampleIsMetByTheFormula() {
        // An impulse of 4: the true peak is 4 (a sinc's top). Gain 10^(-1/20)/4 = 0.222812734533 less the margin (references, `computed`).
        double[] x = tone(RATE, 1, 100, 0.01);
        x[24000] = 4;
        Limiter limiter = limiter(-1);
        double[] y = through(limiter, x, Cell.LENGTH);
        double least = 0.222812734533 * amplitude(-Limiter.MARGIN_DB);
        int late = limiter.latency();
        assertEquals(4 * least, y[24000 + late], 1e-9);
        // Two averages over half of 240 samples each make two parabolas: half way down (120 samples before) half of the dip.
        assertEquals(1 - (1 - least) / 2, y[24000 - 122 + late] / x[24000 - 122], 0.01);
        // From the release law: 80 ms after the window has passed, 36.8 % of the dip is left.
        int passed = 24000 + 120 + 4;
        assertEquals(1 - (1 - least) * Math.exp(-1), y[passed + 3840 + late] / x[passed + 3840], 0.01);
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 7, 64})
    void anyCutGivesTheSameBits(int block) {
        double[] x = join(noise(RATE, 0.2, -2, 1), noise(RATE, 0.5, -40, 2), tone(RATE, 0.3, 15000, 1.5), noise(RATE, 0.2, -12, 4), new double[4800]);
        assertArrayEquals(limited(-1, x), through(limiter(-1), x, block));
    }

    @Test
    void leavingOutWhatCannotReachTheCeilingChangesNoBit() {
        double[] x = join(noise(RATE, 0.2, -14, 1), noise(RATE, 0.2, -40, 2), tone(RATE, 0.3, 15000, 0.3), new double[700], noise(RATE, 0.2, -16, 4));
        double least = 0.4;
        PeakInterpolator skipping = new PeakInterpolator(), always = new PeakInterpolator();
        int left = 0, done = 0;
        for (int at = 0; at + 100 <= x.length; at += 100) {
            double[] block = Arrays.copyOfRange(x, at, at + 100), a = new double[100], b = new double[100];
            boolean looked = skipping.process(block, a, 100, least, 0.98);
            assertTrue(always.process(block, b, 100, -1, 0.98));
            for (int i = 0; i < 100; i++) {
                if (looked) assertEquals(b[i], a[i]);
                else assertTrue(b[i] <= least);
            }
            if (looked) done++;
            else left++;
        }
        assertTrue(left > 50 && done > 50, left + " left out, " + done + " done");
    }

    @Test
    void theInterpolatorIsFlat() {
        for (double hz = 100; hz < 20000; hz += 517) {
            double[] x = new double[4800];
            for (int i = 0; i < x.length; i++) x[i] = Math.sin(2 * Math.PI * hz * i / 44100);
            PeakInterpolator interpolator = new PeakInterpolator();
            double most = 0;
            for (int at = 0; at < x.length; at += Cell.LENGTH) {
                double[] peaks = new double[Cell.LENGTH];
                interpolator.process(Arrays.copyOfRange(x, at, at + Cell.LENGTH), peaks, Cell.LENGTH, 0, 0);
                if (at > 0) most = Math.max(most, Arrays.stream(peaks).max().orElseThrow());
            }
            // Under-read of the grid of eight, at worst 20 log10 cos(pi f / (8 rate)); over-read by the ripple.
            double grid = db(Math.cos(Math.PI * hz / (8 * 44100)));
            assertTrue(db(most) < 0.01 && db(most) > grid - 0.01, hz + " Hz reads " + db(most));
        }
    }

    @Test
    void twoChannelsShareTheGain() {
        double[] l = noise(RATE, 0.5, 0, 1), r = Arrays.stream(l).map(v -> v / 4).toArray(), alone = limited(-1, l);
        Limiter limiter = new Limiter(RATE, 2, 5);
        limiter.set(-1, 80);
        double[][] x = new double[2][Cell.LENGTH];
        for (int at = 0; at < l.length; at += Cell.LENGTH) {
            System.arraycopy(l, at, x[1], 0, Cell.LENGTH);
            System.arraycopy(r, at, x[0], 0, Cell.LENGTH);
            limiter.process(x, Cell.LENGTH);
            for (int i = 0; i < Cell.LENGTH; i++) {
                assertEquals(alone[at + i], x[1][i]);
                assertEquals(x[1][i] / 4, x[0][i]);
            }
        }
    }

    @ParameterizedTest
    @ValueSource(doubles = {44100, 96000, 192000})
    void staysFinite(double rate) {
        double[] constant = new double[24000];
        Arrays.fill(constant, 3);
        Limiter limiter = new Limiter(rate, 1, 1);
        limiter.set(-6, 50);
        double[] y = through(limiter, constant, 480);
        for (double v : y) assertTrue(Math.abs(v) <= amplitude(-6));
        Limiter silent = new Limiter(rate, 1, 20);
        silent.set(-1, 50);
        for (double v : through(silent, new double[24000], 480)) assertEquals(0, v);
    }

    /** Against an obvious oracle. */
    @Test
    void theSlidingMinimumIsTheMinimum() {
        SplittableRandom random = new SplittableRandom(3);
        double[] x = random.doubles(3000).map(v -> Math.floor(20 * v)).toArray();
        for (int window : new int[] {1, 2, 5, 64, 145}) {
            SlidingMinimum minimum = new SlidingMinimum(window);
            for (int i = 0; i < x.length; i++) {
                double expected = Arrays.stream(x, Math.max(0, i - window + 1), i + 1).min().orElseThrow();
                assertEquals(expected, minimum.next(x[i]));
            }
        }
    }

    /** What follows is turned down by the very gains, both sides by those of the louder; and how far is told. */
    @Test
    void followersGoAlongAndTheReductionIsTold() {
        double[] loud = join(new double[480], tone(RATE, 0.3, 997, 2), new double[96000]), quiet = tone(RATE, loud.length / RATE, 300, 0.01);
        Limiter limiter = new Limiter(RATE, 2, 5);
        limiter.set(-1, 80);
        Limiter.Follower follower = limiter.follower();
        double most = 0, last = 0;
        for (int at = 0; at + Cell.LENGTH <= loud.length; at += Cell.LENGTH) {
            double[][] x = {Arrays.copyOfRange(quiet, at, at + Cell.LENGTH), Arrays.copyOfRange(loud, at, at + Cell.LENGTH)}, y = {x[1].clone(), x[0].clone()};
            limiter.process(x, Cell.LENGTH);
            follower.process(y[0], y[1], Cell.LENGTH);
            assertArrayEquals(x[1], y[0]);
            assertArrayEquals(x[0], y[1]);
            last = limiter.reductionDb();
            most = Math.max(most, last);
            int i = at + Cell.LENGTH - 1 - limiter.latency();
            if (i > 100) assertEquals(quiet[i] * amplitude(-last), x[0][Cell.LENGTH - 1], 1e-9, "at " + i);
        }
        // A peak of 2 is 7.02 dB over a ceiling of -1 dB, and is held a little under it.
        assertEquals(7.02 + Limiter.MARGIN_DB, most, 0.05);
        assertEquals(0, last, 0.0);
    }
}
