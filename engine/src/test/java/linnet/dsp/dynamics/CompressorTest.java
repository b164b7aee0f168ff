package linnet.dsp.dynamics;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import java.util.SplittableRandom;
import java.util.function.IntToDoubleFunction;
import linnet.dsp.Cell;
import linnet.dsp.filter.Biquad;
import linnet.dsp.Cuts;
import linnet.dsp.dynamics.Compression.Level;
import linnet.dsp.dynamics.Compression.Release;
import org.junit.jupiter.api.Test;

class CompressorTest {
    private static final double RATE = 48000;

    /** Rows worked out by hand from eq. 4 of Giannoulis, Massberg, Reiss (JAES 60(6), 2012): x, y at T -20 R 4 W 6, y at T -20 R 2 W 12. */
    @Test
    void staticCurveIsThatOfThePaper() {
        double[][] rows = {
            {-30, -30, -30}, {-23, -23, -23.1875}, {-20, -20.5625, -20.75}, {-17, -19.25, -18.6875}, {-14, -18.5, -17}, {0, -15, -10}
        };
        for (double[] row : rows) {
            assertEquals(row[1], row[0] - reduction(new GainComputer(-20, 4, 6, Compression.NO_BOUND), row[0]), 1e-9);
            assertEquals(row[2], row[0] - reduction(new GainComputer(-20, 2, 12, Compression.NO_BOUND), row[0]), 1e-9);
        }
    }

    /** At the ends of the knee the curve and its slope go on without a step; a hard knee and a limiter are straight lines. */
    @Test
    void kneeJoinsTheLines() {
        GainComputer soft = new GainComputer(-20, 4, 6, Compression.NO_BOUND);
        for (double end : new double[] {-23, -17}) {
            double before = reduction(soft, end) - reduction(soft, end - 1e-5);
            double after = reduction(soft, end + 1e-5) - reduction(soft, end);
            assertEquals(before, after, 1e-9);
        }
        GainComputer limiter = new GainComputer(-20, Double.POSITIVE_INFINITY, 0, Compression.NO_BOUND);
        assertEquals(0, reduction(limiter, -20));
        assertEquals(7.5, reduction(limiter, -12.5), 1e-12);
    }

    /** Step response of the recommended chain, computed from its difference equations; tau 5 ms and 100 ms at 48 kHz. */
    @Test
    void ballisticsAreThoseOfTheSmoothDecoupledDetector() {
        Decoupled detector = new Decoupled(RATE, 0);
        detector.poles(5, 100);
        double[] y = new double[24000];
        Arrays.fill(y, 0, 12000, 1);
        detector.process(y, y.length);
        assertEquals(0.632120558829, y[239], 1e-9);
        assertEquals(0.387201208666, y[12000 + 4799], 1e-9);
        assertEquals(0.368317182949, y[12000 + 5039], 1e-9);
    }

    /** A pure tone at each level, three ratios and two knees, against the formula; the tone is rendered and measured. */
    @Test
    void steadyToneFollowsTheCurve() {
        for (double ratio : new double[] {2, 4, Double.POSITIVE_INFINITY}) {
            for (double knee : new double[] {0, 9}) {
                GainComputer curve = new GainComputer(-24, ratio, knee, Compression.NO_BOUND);
                Compressor compressor = new Compressor(RATE, plain(-24, ratio, knee, 5, 100));
                for (double db = -40; db <= 0; db += 2) {
                    double size = StrictMath.pow(10, db / 20);
                    double[] y = render(compressor, signal(24000, i -> size * StrictMath.sin(2 * Math.PI * 997 * i / RATE)), Cell.LENGTH);
                    double out = 20 * StrictMath.log10(rms(y, 12000, 24000) * Math.sqrt(2));
                    assertEquals(db - reduction(curve, db), out, 0.05, "ratio " + ratio + " knee " + knee + " at " + db);
                }
            }
        }
    }

    /** The RMS of a full-scale sine is -3.01 dBFS. */
    @Test
    void rmsReadsASineThreeDecibelsLower() {
        Compression law = new Compression(Release.PLAIN, Level.RMS, 0, -23.0103, 2, 0, 20, 200, Compression.NO_BOUND, 0);
        double[] y = render(new Compressor(RATE, law), signal(48000, i -> StrictMath.sin(2 * Math.PI * 997 * i / RATE)), Cell.LENGTH);
        assertEquals(-10, 20 * StrictMath.log10(rms(y, 24000, 48000) * Math.sqrt(2)), 0.05);
    }

    /** Attack and release are the times to 63.2 % of a step, also where one is not much longer than the other. */
    @Test
    void timesAreToSixtyThreePercent() {
        double[][] times = {{0.5, 60}, {5, 100}, {20, 400}, {30, 60}, {1, 20}, {20, 40}};
        for (double[] t : times) {
            double[] g = stepReduction(plain(-30, 4, 6, t[0], t[1]), 48000);
            double full = g[47999];
            int attack = 0;
            while (g[attack] < full * (1 - 1 / Math.E)) attack++;
            int release = 0;
            while (g[48000 + release] > full / Math.E) release++;
            assertEquals(t[0], (attack + 1) / 48.0, Math.max(0.02 * t[0], 1 / 48.0), "attack of " + t[0] + ", " + t[1]);
            assertEquals(t[1], (release + 1) / 48.0, 0.02 * t[1], "release of " + t[0] + ", " + t[1]);
        }
    }

    /**
     * The peaks are held for whole hops, and from the end of the one that they lie in: a release may miss by a hop and a half, which is 60 samples at 44.1 kHz
     * and lasts no longer at any other rate, wherever in a hop the sound ends.
     */
    @Test
    void shortReleasesAreToSixtyThreePercentAtAnyRate() {
        for (double rate : new double[] {8000, 11025, 16000, 22050, 32000, 44100, 48000, 192000}) {
            for (double release : new double[] {5, 10, 20, 60}) {
                for (int off = 0; off < 40; off++) {
                    double[] g = aside(rate, plain(-40, 4, 0, 0.5, release), 34, (int) (0.2 * rate) + off);
                    assertEquals(release, releaseMs(g, rate, (int) (0.2 * rate) + off), 60 / 44.1 + 0.01, rate + " Hz, " + off + " samples on");
                }
            }
        }
    }

    /**
     * What the doc of detector says of the RMS. Its mean falls by 4.34 dB in its 10 ms and no faster, so the reduction by a sound some dB over the threshold
     * comes back to 1/e no sooner than (1 - 1/e) / 4.34 of them later; and it rises to within 1/e of that as 1 - exp(-t / 10 ms) does.
     */
    @Test
    void anRmsAddsItsMeansTimeToBothTimes() {
        for (double rate : new double[] {8000, 48000}) {
            for (double[] t : new double[][] {{10, 5, 14}, {10, 60, 12}, {10, 200, 12}, {20, 5, 29}, {20, 60, 24}, {20, 200, 24}}) {
                Compression law = new Compression(Release.PLAIN, Level.RMS, 0, -40, 4, 0, 1, t[1], Compression.NO_BOUND, 0);
                double[] g = aside(rate, law, t[0], (int) (0.5 * rate));
                double release = releaseMs(g, rate, (int) (0.5 * rate));
                assertEquals(t[1] + t[2], release, 1, t[0] + " dB over, release of " + t[1]);
                assertTrue(release > t[0] * (1 - 1 / Math.E) * 10 / (10 * Math.log10(Math.E)));
            }
            for (double[] t : new double[][] {{10, 1, 6}, {20, 1, 2.5}, {10, 10, 7}, {20, 10, 4}}) {
                Compression law = new Compression(Release.PLAIN, Level.RMS, 0, -40, 4, 0, t[1], 60, Compression.NO_BOUND, 0);
                double[] g = aside(rate, law, t[0], (int) (0.5 * rate));
                int k = 0;
                while (g[k] < g[(int) (0.5 * rate) - 1] * (1 - 1 / Math.E)) k++;
                assertEquals(t[1] + t[2], (k + 1) / rate * 1e3, 0.5, t[0] + " dB over, attack of " + t[1]);
            }
        }
    }

    /** The reduction of a sound so many dB over -40 dBFS, at its peaks as in the mean, of so many samples; then silence of a second. */
    private static double[] aside(double rate, Compression law, double overDb, int samples) {
        Detector detector = new Detector(rate, law);
        double size = StrictMath.pow(10, (overDb - 40) / 20);
        return Cuts.run(signal(samples + (int) rate, i -> i >= samples ? 0 : i % 2 == 0 ? size : -size), Cell.LENGTH, () -> {}, (x, n) -> {
            detector.process(x, n);
            System.arraycopy(detector.reduction(), 0, x, 0, n);
        }, detector::settle);
    }

    private static double releaseMs(double[] g, double rate, int end) {
        int k = end;
        while (g[k] > g[end - 1] / Math.E) k++;
        return (k - end) / rate * 1e3;
    }

    /** Within half a hop, but never less than two. */
    @Test
    void looksAheadAsFarAtAnyRate() {
        for (double rate : new double[] {8000, 11025, 16000, 22050, 32000, 44100, 48000, 192000}) {
            for (double ms : new double[] {1, 2, 5, 10}) {
                assertEquals(ms, Compression.latency(rate, ms) / rate * 1e3, 0.28, rate + " Hz");
                double[] g = aside(rate, plain(-40, 4, 0, 0.02, 60).lookingAhead(ms), 20, 2400);
                int first = 0;
                while (g[first] == 0) first++;
                // The line begins at the end of the hop that hears the sound, so far before the sound leaves.
                assertTrue(first <= 0.6e-3 * rate + 1 && g[Compression.latency(rate, ms)] > 0.99 * 15, rate + " Hz, " + ms + " ms: " + first);
            }
        }
        assertEquals(240, Compression.latency(48000, 5));
        assertEquals(216, Compression.latency(44100, 5));
    }

    @Test
    void fastestAttackIsThereWithinASample() {
        double[] g = stepReduction(plain(-30, 10, 0, 0.02, 50), 4800);
        assertTrue(g[0] > (1 - 1 / Math.E) * g[4799]);
        assertTrue(g[4] > 0.99 * g[4799]);
    }

    /** Common practice for the optical kind: half back in about 60 ms after a short peak, the rest in seconds; slower after much. */
    @Test
    void opticalReleaseDependsOnThePast() {
        for (double threshold : new double[] {-30, -20, -12}) {
            for (double slow : new double[] {500, 800, 2000}) {
                Compression law = new Compression(Release.TWO_STAGE, Level.PEAK, 0, threshold, 3, 12, 10, slow, Compression.NO_BOUND, 0);
                double shortly = msToHalf(stepReduction(law, 960), 960);
                double longer = msToHalf(stepReduction(law, 240000), 240000);
                assertEquals(60, shortly, 10, "threshold " + threshold + ", slow part " + slow);
                // Twice is what practice asks for; so much follows from the rule for the past, and not without it.
                assertTrue(longer >= 4 * shortly, longer + " ms after 5 s");
            }
        }
        double[] g = stepReduction(new Compression(Release.TWO_STAGE, Level.PEAK, 0, -30, 3, 12, 10, 800, Compression.NO_BOUND, 0), 960);
        double most = Arrays.stream(g).max().orElseThrow();
        assertTrue(g[960 + 24000] > 0.1 * most, "the rest takes its time");
        assertTrue(g[960 + 5 * 48000 - 1] < 0.05 * most, "but is given back");
    }

    /** A fast release must not follow the waveform: third harmonic of a low tone, from the rendered signal. */
    @Test
    void lowNoteIsNotDistorted() {
        Compressor fast = new Compressor(RATE, plain(-20, 6, 3, 0.8, 60));
        double[] y = render(fast, signal(96000, i -> 0.5 * StrictMath.sin(2 * Math.PI * 90 * i / RATE)), Cell.LENGTH);
        assertTrue(part(y, 48000, 270) < 1e-3 * part(y, 48000, 90));
    }

    @Test
    void belowTheKneeNothingChanges() {
        double[] x = signal(9600, i -> 0.05 * StrictMath.sin(i * 0.3));
        for (Release r : Release.values()) {
            Compression law = new Compression(r, Level.PEAK, 0, -20, 4, 6, 1, 800, Compression.NO_BOUND, 0);
            assertArrayEquals(x, render(new Compressor(RATE, law), x, Cell.LENGTH));
            double[] late = render(new Compressor(RATE, law.lookingAhead(5)), x, Cell.LENGTH);
            assertArrayEquals(Arrays.copyOf(x, 9600 - 240), Arrays.copyOfRange(late, 240, 9600));
        }
    }

    @Test
    void everyCutGivesTheSameBits() {
        double[] x = burstyNoise(96000);
        for (Release r : Release.values()) {
            for (Level level : Level.values()) {
                Compression law = new Compression(r, level, 80, -30, 4, 6, 1, 60, Compression.NO_BOUND, 0);
                double[] whole = render(new Compressor(RATE, law.lookingAhead(2)), x, Cell.LENGTH);
                for (int cut : new int[] {1, 7, 64}) assertArrayEquals(whole, render(new Compressor(RATE, law.lookingAhead(2)), x, cut));
            }
        }
    }

    /** The louder channel turns both down by the same amount. */
    @Test
    void stereoIsLinked() {
        Compressor stereo = new Compressor(RATE, plain(-20, 4, 6, 1, 60));
        Compressor mono = new Compressor(RATE, plain(-20, 4, 6, 1, 60));
        double[] l = Arrays.copyOf(burstyNoise(Cell.LENGTH), Cell.LENGTH);
        double[] r = signal(Cell.LENGTH, i -> 0.01);
        double[] alone = l.clone();
        stereo.process(l, r, Cell.LENGTH);
        mono.process(alone, Cell.LENGTH);
        assertArrayEquals(alone, l);
        for (int i = 0; i < Cell.LENGTH; i++) assertEquals(0.01 * StrictMath.pow(10, -mono.detector().reduction()[i] / 20), r[i], 1e-9);
    }

    @Test
    void lookAheadHasTheGainDownBeforeThePeak() {
        double[] x = signal(4800, i -> i < 2400 ? 0.001 : 0.9);
        double[] y = render(new Compressor(RATE, plain(-20, 20, 0, 1, 60).lookingAhead(10)), x, Cell.LENGTH);
        double settled = y[4799];
        assertEquals(settled, y[2400 + 480], 0.01 * settled);
    }

    @Test
    void keyHighPassKeepsRumbleOut() {
        double[] rumble = signal(48000, i -> 0.5 * StrictMath.sin(2 * Math.PI * 20 * i / RATE));
        Compression deaf = new Compression(Release.PLAIN, Level.PEAK, 100, -30, 4, 0, 1, 60, Compression.NO_BOUND, 0);
        double[] y = render(new Compressor(RATE, deaf), rumble, Cell.LENGTH);
        assertArrayEquals(Arrays.copyOfRange(rumble, 43200, 48000), Arrays.copyOfRange(y, 43200, 48000), 1e-6);
    }

    @Test
    void hardSignalsStayFinite() {
        for (Release r : Release.values()) {
            for (Level level : Level.values()) {
                Compression law = new Compression(r, level, 60, -60, Double.POSITIVE_INFINITY, 0, 0.02, 500, Compression.NO_BOUND, 0);
                assertFinite(render(new Compressor(RATE, law.lookingAhead(1)), new double[9600], Cell.LENGTH));
                assertFinite(render(new Compressor(RATE, law.lookingAhead(1)), signal(9600, i -> i / 50 % 2 == 0 ? 1 : -1), Cell.LENGTH));
                assertFinite(render(new Compressor(RATE, law.lookingAhead(1)), signal(9600, i -> 1), Cell.LENGTH));
                assertFinite(render(new Compressor(RATE, law.lookingAhead(1)), signal(9600, i -> i < 5000 ? 1e6 : 1e-310), Cell.LENGTH));
            }
        }
        assertArrayEquals(new double[960], render(new Compressor(RATE, plain(-60, 20, 0, 1, 60)), new double[960], Cell.LENGTH));
    }

    /** A threshold that jumps, even with the fastest attack, moves in a straight line through its cell. */
    @Test
    void movingTheThresholdDoesNotClick() {
        Compressor compressor = new Compressor(RATE, plain(-10, 20, 0, 0.02, 60));
        double[] x = new double[Cell.LENGTH];
        double before = 0;
        for (int cell = 0; cell < 6; cell++) {
            Arrays.fill(x, 0.5);
            if (cell == 3) compressor.detector().threshold(-10, -14);
            if (cell == 4) compressor.detector().threshold(-14, -14);
            compressor.process(x, Cell.LENGTH);
            compressor.settle();
            for (double y : x) {
                if (cell > 0) assertTrue(Math.abs(20 * StrictMath.log10(y / before)) < 0.01);
                before = y;
            }
        }
        assertEquals(0.5 * StrictMath.pow(10, -(14 - 6.0206) * 0.95 / 20), before, 1e-4);
    }

    private static Compression plain(double threshold, double ratio, double knee, double attack, double release) {
        return new Compression(Release.PLAIN, Level.PEAK, 0, threshold, ratio, knee, attack, release, Compression.NO_BOUND, 0);
    }

    private static double reduction(GainComputer curve, double db) {
        double[] x = {db};
        curve.process(x, 1);
        return x[0];
    }

    /** The reduction while full scale stands for {@code loud} samples and silence follows for 5 s. */
    private static double[] stepReduction(Compression law, int loud) {
        Detector detector = new Detector(RATE, law);
        double[] all = new double[loud + 240000];
        double[] x = new double[Cell.LENGTH];
        for (int at = 0; at < all.length; at += Cell.LENGTH) {
            int start = at;
            Arrays.setAll(x, i -> start + i < loud ? 1 : 0);
            detector.process(x, Cell.LENGTH);
            detector.settle();
            System.arraycopy(detector.reduction(), 0, all, at, Math.min(Cell.LENGTH, all.length - at));
        }
        return all;
    }

    /** From the end of the loud part to half of the greatest reduction. */
    private static double msToHalf(double[] g, int loud) {
        double most = Arrays.stream(g).max().orElseThrow();
        int half = loud;
        while (g[half] > most / 2 || g[half + 1] > g[half]) half++;
        return (half - loud) / 48.0;
    }

    private static double[] render(Compressor compressor, double[] x, int cut) {
        return Cuts.run(x, cut, compressor::process, compressor::settle);
    }

    private static double[] signal(int n, IntToDoubleFunction f) {
        double[] x = new double[n];
        Arrays.setAll(x, f);
        return x;
    }

    private static double[] burstyNoise(int n) {
        SplittableRandom random = new SplittableRandom(7);
        return signal(n, i -> (i / 4000 % 3 == 0 ? 0.9 : 0.03) * (2 * random.nextDouble() - 1));
    }

    private static double rms(double[] x, int from, int to) {
        double sum = 0;
        for (int i = from; i < to; i++) sum += x[i] * x[i];
        return Math.sqrt(sum / (to - from));
    }

    /** Size of the sine of that frequency in the second from {@code from}. */
    private static double part(double[] x, int from, double hz) {
        double re = 0, im = 0;
        for (int i = 0; i < RATE; i++) {
            re += x[from + i] * StrictMath.cos(2 * Math.PI * hz * i / RATE);
            im += x[from + i] * StrictMath.sin(2 * Math.PI * hz * i / RATE);
        }
        return 2 * Math.hypot(re, im) / RATE;
    }

    private static void assertFinite(double[] x) {
        for (double v : x) assertTrue(Double.isFinite(v));
    }

    /** What follows is turned down by the very gains, as late as the compressor is; a pair by that of its louder side. */
    @Test
    void followersGoAlong() {
        double[] x = Signals.noise(RATE, 0.4, -10, 1), quiet = Signals.noise(RATE, 0.4, -50, 2);
        Compressor mono = new Compressor(RATE, plain(-30, 4, 6, 5, 80).lookingAhead(2)), pair = new Compressor(RATE, plain(-30, 4, 6, 5, 80).lookingAhead(2));
        assertEquals(96, mono.latency());
        Compressor.Follower follower = mono.follower(), pairs = pair.follower();
        int n = Cell.LENGTH;
        for (int at = 0; at + n <= x.length; at += n) {
            double[] a = Arrays.copyOfRange(x, at, at + n), b = a.clone(), l = Arrays.copyOfRange(quiet, at, at + n), r = a.clone(), fl = r.clone(),
                    fr = l.clone();
            mono.process(a, n);
            follower.process(b, n);
            pair.process(l, r, n);
            pairs.process(fl, fr, n);
            assertArrayEquals(a, b);
            assertArrayEquals(a, r, 1e-12);
            assertArrayEquals(a, fl, 1e-12);
            assertArrayEquals(l, fr);
            mono.settle();
            pair.settle();
        }
    }

    /** With a high-pass at 300 Hz in its key (second order, Butterworth) a loud 50 Hz is heard 31 dB down, in one channel and in either of two. */
    @Test
    void theKeyHearsNothingBelowItsHighPass() {
        Compression law = new Compression(Release.PLAIN, Level.PEAK, 300, -40, Double.POSITIVE_INFINITY, 0, 5, 80, Compression.NO_BOUND, 0);
        double[] low = signal(48000, i -> 0.5 * StrictMath.sin(2 * Math.PI * 50 * i / RATE)), nothing = new double[Cell.LENGTH];
        double heard = 20 * Math.log10(0.5) - 10 * Math.log10(1 + Math.pow(Math.tan(Math.PI * 300 / RATE) / Math.tan(Math.PI * 50 / RATE), 4));
        for (int side = 0; side < 3; side++) {
            Detector detector = new Detector(RATE, law);
            for (int at = 0; at < low.length; at += Cell.LENGTH) {
                double[] x = Arrays.copyOfRange(low, at, at + Cell.LENGTH);
                if (side == 0) detector.process(x, Cell.LENGTH);
                else detector.process(side == 1 ? x : nothing.clone(), side == 1 ? nothing.clone() : x, Cell.LENGTH);
                detector.settle();
            }
            assertEquals(heard + 40, detector.reduction()[Cell.LENGTH - 1], 0.3, "side " + side);
        }
        assertEquals(40, new Detector(RATE, law).steadyReduction(0), 1e-9);
        assertEquals(10, new Detector(RATE, law.withThreshold(-10)).steadyReduction(0), 1e-9);
    }

    /** The key's filter in the look-ahead form beside its difference equation as the textbook has it, over 24 s of noise with a DC offset, in uneven pieces. */
    @Test
    void theKeysHighPassIsThatOfTheTextbook() {
        for (double[] at : new double[][] {{192_000, 20}, {48_000, 100}, {44_100, 500}, {8000, 3900}}) {
            Biquad b = Biquad.highPass(at[0], at[1], Biquad.BUTTERWORTH);
            Key filtered = new Key(at[0], new Compression(Compression.Release.PLAIN, Compression.Level.PEAK, at[1], -20, 2, 0, 5, 80, Compression.NO_BOUND, 0));
            Key plain = new Key(at[0], new Compression(Compression.Release.PLAIN, Compression.Level.PEAK, 0, -20, 2, 0, 5, 80, Compression.NO_BOUND, 0));
            Random random = new Random(5);
            double x1 = 0, x2 = 0, y1 = 0, y2 = 0;
            double[] x = new double[Cell.LENGTH], y = new double[Cell.LENGTH], found = new double[Cell.LENGTH], expected = new double[Cell.LENGTH];
            for (long done = 0; done < 24 * at[0];) {
                int n = 1 + random.nextInt(Cell.LENGTH);
                for (int i = 0; i < n; i++) {
                    x[i] = 0.1 * random.nextGaussian() + 0.5;
                    y[i] = b.b0() * x[i] + b.b1() * x1 + b.b2() * x2 - b.a1() * y1 - b.a2() * y2;
                    x2 = x1;
                    x1 = x[i];
                    y2 = y1;
                    y1 = y[i];
                }
                filtered.process(x, found, n);
                plain.process(y, expected, n);
                for (int i = 0; i < n; i++) assertEquals(expected[i], found[i], 1e-6, at[0] + " Hz, " + at[1] + " Hz");
                done += n;
            }
        }
    }

    /**
     * A key that falls silent is at rest once its high-pass has forgotten it, and no sooner: a steady offset leaves nothing behind the filter, and is still a
     * step where it ends. What comes back is heard as by the filter of the textbook that was never interrupted.
     */
    @Test
    void aKeyThatFallsSilentAndComesBackIsHeardAsBefore() {
        for (Level level : Level.values()) {
            for (int side = 0; side < 3; side++) {
                Biquad b = Biquad.highPass(RATE, 80, Biquad.BUTTERWORTH);
                Detector resting = new Detector(RATE, new Compression(Release.PLAIN, level, 80, -40, 4, 0, 5, 80, Compression.NO_BOUND, 0)),
                        uninterrupted = new Detector(RATE, new Compression(Release.PLAIN, level, 0, -40, 4, 0, 5, 80, Compression.NO_BOUND, 0));
                Random random = new Random(5);
                double x1 = 0, x2 = 0, y1 = 0, y2 = 0, step = 0;
                int rested = 0;
                double[] nothing = new double[Cell.LENGTH], y = new double[Cell.LENGTH];
                // 0.2 s of noise over an offset, 4 s of the offset alone, 4 s of silence, and noise again; in cells of 10 ms.
                for (int cell = 0; cell < 850; cell++) {
                    boolean sounds = cell < 20 || cell >= 820, silent = cell >= 420 && !sounds;
                    double[] x = signal(Cell.LENGTH, i -> silent ? 0 : 0.5 + (sounds ? 0.1 * random.nextGaussian() : 0));
                    for (int i = 0; i < Cell.LENGTH; i++) {
                        y[i] = b.b0() * x[i] + b.b1() * x1 + b.b2() * x2 - b.a1() * y1 - b.a2() * y2;
                        x2 = x1;
                        x1 = x[i];
                        y2 = y1;
                        y1 = y[i];
                    }
                    uninterrupted.process(y, Cell.LENGTH);
                    String where = level + ", side " + side + ", cell " + cell;
                    if (silent && resting.rests()) {
                        rested++;
                        resting.rest();
                        assertArrayEquals(uninterrupted.reduction(), resting.reduction(), 1e-6, where);
                    } else {
                        if (side == 0) resting.process(x, Cell.LENGTH);
                        else resting.process(side == 1 ? x : nothing.clone(), side == 1 ? nothing.clone() : x, Cell.LENGTH);
                        assertArrayEquals(uninterrupted.reduction(), resting.reduction(), 1e-6, where);
                        resting.settle();
                    }
                    uninterrupted.settle();
                    if (cell == 420) step = resting.reduction()[Cell.LENGTH - 1];
                }
                assertTrue(step > 5, "the end of the offset is heard, " + step + " dB");
                assertTrue(rested > 20, "at rest for " + rested + " cells");
            }
        }
    }

    /** Up to its bound the curve is the one without; a tone that asks for more loses just that, whatever the ballistics. */
    @Test
    void noMoreIsTakenOffThanTheBound() {
        for (Release release : Release.values()) {
            Compression law = new Compression(release, Level.PEAK, 0, -40, 4, 6, 5, 100, 3, 0),
                    free = new Compression(release, Level.PEAK, 0, -40, 4, 6, 5, 100, Compression.NO_BOUND, 0);
            for (double db : new double[] {-60, -42, -40, -38, -37, -36, -30, -10, 0}) {
                double wanted = Math.min(3, new Detector(RATE, free).steadyReduction(db));
                Detector detector = new Detector(RATE, law);
                assertEquals(wanted, detector.steadyReduction(db), 0);
                for (int at = 0; at < 96_000; at += Cell.LENGTH) {
                    int from = at;
                    detector.process(signal(Cell.LENGTH, i -> Math.pow(10, db / 20) * StrictMath.sin(2 * Math.PI * 1000 * (from + i) / RATE)), Cell.LENGTH);
                    for (double r : detector.reduction()) assertTrue(r <= 3, release + " takes off " + r);
                    detector.settle();
                }
                assertEquals(wanted, detector.reduction()[Cell.LENGTH - 1], 0.03, release + " at " + db);
            }
        }
    }

    /** Settings that move are those of a compressor that was made with them, once it has forgotten. */
    @Test
    void settingsMove() {
        double[] x = signal(48000, i -> 0.5 * StrictMath.sin(2 * Math.PI * 997 * i / RATE));
        Detector moved = new Detector(RATE, plain(-20, 2, 0, 5, 80)), there = new Detector(RATE, plain(-30, 4, 6, 20, 200));
        for (int at = 0; at < x.length; at += Cell.LENGTH) {
            if (at == 4800) {
                moved.threshold(-30, -30);
                moved.curve(4, 6);
                moved.times(20, 200);
            }
            double[] cell = Arrays.copyOfRange(x, at, at + Cell.LENGTH);
            for (int i = 0; i < Cell.LENGTH; i++) if (at >= 36000) cell[i] = 0;
            moved.process(cell.clone(), Cell.LENGTH);
            there.process(cell, Cell.LENGTH);
            if (at >= 28800) assertArrayEquals(there.reduction(), moved.reduction(), 1e-4, "at " + at);
            moved.settle();
            there.settle();
        }
        assertTrue(there.reduction()[0] > 0.1, "still on its way back");
    }

    /** During a cell the threshold goes in a straight line, wherever it is cut. */
    @Test
    void aThresholdMovesInAStraightLine() {
        Compression hard = plain(-20, Double.POSITIVE_INFINITY, 0, 0.001, 0.001);
        for (int cut : new int[] {1, 7, Cell.LENGTH}) {
            Detector detector = new Detector(RATE, hard);
            double[] full = new double[Cell.LENGTH];
            Arrays.fill(full, 1);
            detector.threshold(-20, -20);
            detector.process(full.clone(), Cell.LENGTH);
            detector.settle();
            detector.threshold(-20, -40);
            for (int at = 0; at < Cell.LENGTH; at += cut) {
                int n = Math.min(cut, Cell.LENGTH - at);
                detector.process(full, n);
                for (int i = 0; i < n; i++) assertEquals(20 + 20.0 * (at + i) / Cell.LENGTH, detector.reduction()[i], 0.1, "at " + (at + i));
            }
        }
    }

    /** A release followed by an attack's smoothing, by its difference equations; where both are alike the formula has another form. */
    @Test
    void whatIsLeftOfAReductionIsThatOfTwoPolesInSeries() {
        for (double release : new double[] {2, 5, 5.001, 60}) {
            double a = Ballistics.pole(5, 1e6), r = Ballistics.pole(release, 1e6), given = 1, applied = 1;
            for (int i = 0; i < 20_000; i++) {
                given *= r;
                applied = a * applied + (1 - a) * given;
            }
            assertEquals(applied, Ballistics.left(5, release, 20), 1e-4, "release " + release);
        }
    }
}
