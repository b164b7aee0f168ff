package linnet.dsp.delay;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import java.util.function.Consumer;
import linnet.dsp.Cell;
import linnet.dsp.delay.Echo.Pattern;
import linnet.dsp.dynamics.Duck;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class EchoTest {
    private static final double RATE = 48000;

    /** An open, linear, steady echo, then as told. */
    private static Echo echo(double rate, Pattern pattern, double seconds, double feedback, Consumer<Echo> more) {
        return echo(rate, pattern, seconds, feedback, OPEN, more);
    }

    private static Echo echo(double rate, Pattern pattern, double seconds, double feedback, double[] band, Consumer<Echo> more) {
        Echo echo = new Echo(rate, pattern, seconds, band[0], band[1]);
        echo.feedback(feedback);
        more.accept(echo);
        return echo;
    }

    private static final Consumer<Echo> PLAIN = e -> {};
    private static final double[] OPEN = {0, Double.POSITIVE_INFINITY};

    private static double[] band(double highPassHz, double lowPassHz) {
        return new double[] {highPassHz, lowPassHz};
    }

    /** Runs in place, cut into blocks of at most {@code cut}; {@code border} is told the number of each cell as it begins. */
    private static double[][] run(Echo echo, double[][] x, int cut, Consumer<Integer> border) {
        int frames = x[0].length;
        double[] l = new double[Cell.LENGTH], r = new double[Cell.LENGTH];
        for (int from = 0, n; from < frames; from += n) {
            int inCell = from % Cell.LENGTH;
            if (inCell == 0) border.accept(from / Cell.LENGTH);
            n = Math.min(Math.min(cut, Cell.LENGTH - inCell), frames - from);
            System.arraycopy(x[0], from, l, 0, n);
            if (x.length == 2) {
                System.arraycopy(x[1], from, r, 0, n);
                echo.process(l, r, n);
                System.arraycopy(r, 0, x[1], from, n);
            } else {
                echo.process(l, n);
            }
            System.arraycopy(l, 0, x[0], from, n);
            if (inCell + n == Cell.LENGTH) echo.settle();
        }
        return x;
    }

    private static double[] run(Echo echo, double[] x) {
        return run(echo, new double[][] {x}, Cell.LENGTH, cell -> {})[0];
    }

    private static double[] impulse(int frames) {
        double[] x = new double[frames];
        x[0] = 1;
        return x;
    }

    private static double[] noise(int frames, long seed) {
        Random random = new Random(seed);
        double[] x = new double[frames];
        for (int i = 0; i < frames; i++) x[i] = random.nextDouble() - 0.5;
        return x;
    }

    private static double[] sine(int frames, double rate, double hz) {
        double[] x = new double[frames];
        for (int i = 0; i < frames; i++) x[i] = Math.sin(2 * Math.PI * hz * i / rate);
        return x;
    }

    private static double db(double factor) {
        return 20 * Math.log10(Math.abs(factor));
    }

    private static double rms(double[] x, int from, int to) {
        double sum = 0;
        for (int i = from; i < to; i++) sum += x[i] * x[i];
        return Math.sqrt(sum / (to - from));
    }

    /** Beat = 60000 / BPM ms, dotted x 3/2, triplet x 2/3; the acceptance limit is one sample. Figures: that formula. */
    @ParameterizedTest
    @CsvSource({"72,833.333", "90,500", "100,150", "120,333.333", "128,351.563", "140,142.857", "140,428.571"})
    void repeatsStandOnTheGridAndLoseExactlyTheFeedback(double bpm, double ms) {
        double g = 0.5;
        double exact = ms / 1000 * RATE;
        double[] y = run(echo(RATE, Pattern.SINGLE, ms / 1000, g, PLAIN), impulse((int) (4.5 * exact)));
        assertEquals(0, y[0], "nothing of the dry voice");
        double level = 1;
        int before = 0;
        for (int i = 1; i < y.length; i++) {
            if (y[i] == 0) continue;
            assertEquals(exact, i - before, 0.5, "apart by the delay time");
            assertEquals(level, y[i], 1e-15);
            level *= g;
            before = i;
        }
        assertEquals(1.0 / 16, level, "four repeats");
    }

    /** The delay is a linear system: with the filters on, its loss at 1 kHz and its place are measured on a tone burst. */
    @Test
    void aDarkEchoStaysInTimeAndKeepsItsLevelInTheMiddle() {
        double g = 0.7;
        int delay = 12000;
        double[] x = new double[delay * 11];
        for (int i = 0; i < 4800; i++) x[i] = Math.sin(2 * Math.PI * 1000 * (i - 2400) / RATE) * (0.5 - 0.5 * Math.cos(2 * Math.PI * i / 4800));
        double[] dry = x.clone();
        double[] y = run(echo(RATE, Pattern.SINGLE, delay / RATE, g, band(250, 4500), PLAIN), x);
        double before = rms(dry, 0, delay);
        for (int k = 1; k <= 10; k++) {
            double now = rms(y, k * delay - 100, k * delay + 5000);
            if (k > 1) assertEquals(db(g), db(now / before), 0.1, "repeat " + k);
            before = now;
            double weight = 0, sum = 0; // the middle of the burst's energy
            for (int i = k * delay - 100; i < k * delay + 5000; i++) {
                weight += y[i] * y[i];
                sum += y[i] * y[i] * (i - k * delay);
            }
            assertEquals(2400, sum / weight, 1.0 + 0.5 * k, "repeat " + k);
        }
    }

    @Test
    void eachRepeatIsDarker() {
        double[] y = run(echo(RATE, Pattern.SINGLE, 0.1, 0.9, band(200, 3000), PLAIN), impulse(48000));
        double first = 0;
        for (int k = 1; k <= 4; k++) {
            double treble = level(y, k * 4800 - 480, 4320, 6000) - level(y, k * 4800 - 480, 4320, 1000);
            if (k == 1) first = treble;
            assertEquals(k * first, treble, 0.05, "the filters' loss at 6 kHz against 1 kHz adds up, repeat " + k);
        }
        assertEquals(butterworth(6000, 3000) - butterworth(1000, 3000) + butterworth(200, 6000) - butterworth(200, 1000), first, 0.01);
    }

    /** The Butterworth formula after the bilinear transform: how far below its pass band a low-pass is; swapped, a high-pass. */
    private static double butterworth(double hz, double corner) {
        return -10 * Math.log10(1 + Math.pow(Math.tan(Math.PI * hz / RATE) / Math.tan(Math.PI * corner / RATE), 4));
    }

    private static double level(double[] y, int from, int n, double hz) {
        double re = 0, im = 0;
        for (int i = 0; i < n; i++) {
            re += y[from + i] * Math.cos(2 * Math.PI * hz * i / RATE);
            im += y[from + i] * Math.sin(2 * Math.PI * hz * i / RATE);
        }
        return 10 * Math.log10(re * re + im * im);
    }

    @Test
    void pingPongAlternatesAndKeepsTheOtherSideClear() {
        double[][] x = {impulse(24000), impulse(24000)};
        double[][] y = run(echo(RATE, Pattern.PING_PONG, 0.1, 0.5, band(200, 5000), PLAIN), x, Cell.LENGTH, c -> {});
        for (int k = 1; k <= 4; k++) {
            double[] here = y[(k + 1) % 2], there = y[k % 2];
            double on = rms(here, k * 4800 - 480, k * 4800 + 2400), off = rms(there, k * 4800 - 480, k * 4800 + 2400);
            assertTrue(db(on / (off + 1e-30)) >= 60, "repeat " + k + ": other side " + db(on / (off + 1e-30)) + " dB lower");
        }
    }

    @Test
    void pingPongTakesTheSumOfBothSidesAndFallsByTheFeedback() {
        double[][] x = {impulse(24000), new double[24000]};
        double[][] y = run(echo(RATE, Pattern.PING_PONG, 0.1, 0.5, PLAIN), x, Cell.LENGTH, c -> {});
        assertArrayEquals(new double[] {0.5, 0, 0.125, 0}, new double[] {y[0][4800], y[0][9600], y[0][14400], y[0][19200]});
        assertArrayEquals(new double[] {0, 0.25, 0, 0.0625}, new double[] {y[1][4800], y[1][9600], y[1][14400], y[1][19200]});
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 7, 64, 333})
    void anyCutGivesTheSameBits(int cut) {
        for (Pattern pattern : Pattern.values()) {
            for (double seconds : new double[] {0.0011, 0.004, 0.21}) {
                assertArrayEquals(moving(pattern, seconds, Cell.LENGTH), moving(pattern, seconds, cut), "single cells against cuts of " + cut);
            }
        }
        assertArrayEquals(mono(Cell.LENGTH), mono(cut));
    }

    private static double[][] moving(Pattern pattern, double seconds, int cut) {
        double[][] x = {noise(48000, 1), noise(48000, 2)};
        Echo echo = echo(RATE, pattern, 2 * seconds, 0.6, band(200, 5000), e -> {
            e.time(seconds);
            e.wobble(15);
            e.duck(9, -20);
        });
        return run(echo, x, cut, cell -> {
            if (cell == 30) echo.time(2 * seconds);
            if (cell >= 40 && cell < 60) echo.feedback(0.6 - 0.01 * (cell - 39));
            if (cell >= 50 && cell < 70) echo.drive(0.5 * (cell - 49));
            if (cell == 80) echo.wobble(0);
            if (cell == 85) echo.duck(0, -20);
        });
    }

    private static double[][] mono(int cut) {
        Echo echo = echo(RATE, Pattern.SINGLE, 0.003, 0.8, band(100, 8000), e -> {
            e.drive(9);
            e.wobble(20);
        });
        return run(echo, new double[][] {noise(9600, 5)}, cut, c -> {});
    }

    /** The oracle is the formula, one sample at a time: y = x(t - D) + g y(t - D). */
    @Test
    void aDelayShorterThanABlockIsStillALoop() {
        int d = 53;
        double g = 0.8;
        double[] x = noise(4800, 3);
        double[] line = x.clone(), expected = new double[x.length];
        for (int i = d; i < x.length; i++) {
            expected[i] = line[i - d];
            line[i] = x[i] + g * expected[i];
        }
        assertArrayEquals(expected, run(echo(RATE, Pattern.SINGLE, d / RATE, g, PLAIN), x), 1e-14);
    }

    /** Reading a gliding line is a Doppler shift: the pitch is multiplied by 1 - dD/dt. */
    @ParameterizedTest
    @CsvSource({"0.1, 0.6, 0.6666666667", "0.6, 0.1, 1.3333333333"})
    void aMoveOfTheTimeGlidesLikeTape(double from, double to, double pitch) {
        Echo echo = echo(RATE, Pattern.SINGLE, 0.7, 0, e -> e.time(from));
        double[][] x = {sine(288000, RATE, 1000)};
        double[] y = run(echo, x, Cell.LENGTH, cell -> {
            if (cell == 100) echo.time(to);
        })[0];
        double crossings = 0, first = 0, last = 0;
        for (int i = 48000 + 9600; i < 48000 + 43200; i++) {
            if (y[i - 1] < 0 && y[i] >= 0) {
                last = i - y[i] / (y[i] - y[i - 1]);
                if (crossings++ == 0) first = last;
            }
        }
        assertEquals(1000 * pitch, (crossings - 1) / (last - first) * RATE, 0.05);
        double steepest = 2 * Math.PI * 1000 * 4 / 3 / RATE * 1.0001;
        for (int i = 30000; i < y.length; i++) assertTrue(Math.abs(y[i] - y[i - 1]) < steepest, "click at " + i);
        // Having arrived it is exact again.
        for (int i = 0; i < 480; i++) assertEquals(x(287000 + i - to * RATE), y[287000 + i], 1e-9);
    }

    private static double x(double i) {
        return Math.sin(2 * Math.PI * 1000 * i / RATE);
    }

    /** A step would sound above the tone: what a short window of the 5th difference finds is the tone's own, no more. */
    @Test
    void neitherGlideNorWobbleClicks() {
        Echo echo = echo(RATE, Pattern.SINGLE, 0.5, 0, e -> e.wobble(20));
        double[] y = run(echo, new double[][] {sine(240000, RATE, 300)}, Cell.LENGTH, cell -> {
            if (cell % 50 == 49) echo.time(0.2 + 0.1 * (cell / 50 % 4));
        })[0];
        double w = 2 * Math.PI * 300 * 1.4 / RATE;
        for (int i = 30000; i < y.length; i++) {
            double bend = y[i] - 5 * y[i - 1] + 10 * y[i - 2] - 10 * y[i - 3] + 5 * y[i - 4] - y[i - 5];
            assertTrue(Math.abs(bend) < Math.pow(w, 5) + 2e-5, "click of " + db(bend) + " dB at " + i);
        }
    }

    /** The pitch of a wobbling repeat, from the spacing of its zero crossings over 20 ms, stays inside the depth and reaches for it. */
    @Tag("listening")
    @Test
    void wobbleBendsThePitchByTheCentsAsked() {
        double[] y = run(echo(RATE, Pattern.SINGLE, 0.4, 0, e -> e.wobble(20)), sine(48000 * 30, RATE, 1000));
        double most = 0, least = 0;
        for (int i = 48000; i + 1920 < y.length; i += 960) {
            double cents = 1200 * Math.log(pitch(y, i, 1920) / 1000) / Math.log(2);
            most = Math.max(most, cents);
            least = Math.min(least, cents);
        }
        assertEquals(20, most, 1.5);
        assertEquals(-20, least, 1.5);
    }

    private static double pitch(double[] y, int from, int n) {
        double first = 0, last = 0;
        int crossings = 0;
        for (int i = from; i < from + n; i++) {
            if (y[i - 1] < 0 && y[i] >= 0) {
                last = i - y[i] / (y[i] - y[i - 1]);
                if (crossings++ == 0) first = last;
            }
        }
        return (crossings - 1) / (last - first) * RATE;
    }

    /** Saturation is tanh(d x) / d: unity for small sounds, 1/d at most, and the line of a plain echo without drive. */
    @Test
    void driveRoundsLoudRepeatsAndLeavesSmallOnes() {
        double d = Math.pow(10, 12 / 20.0) - 1;
        for (double level : new double[] {1e-4, 0.1, 1, 10}) {
            double[] x = impulse(9000);
            x[0] = level;
            double[] y = run(echo(RATE, Pattern.SINGLE, 0.1, 0.5, e -> e.drive(12)), x);
            assertEquals(Math.tanh(d * level) / d, y[4800], 3e-9 * level);
        }
    }

    /** Depth within 0.5 dB while the voice is there; 63.2 % of the way in the attack and the release. */
    @Test
    void duckMakesRoomWhileTheVoiceIsThere() {
        Echo echo = echo(RATE, Pattern.SINGLE, 0.5, 0, e -> e.duck(9, -20));
        double[] x = new double[144000];
        for (int i = 0; i < 96000; i++) x[i] = 0.5; // a key of constant level; the echo of it shows the gain
        double[] late = run(echo, x), y = java.util.Arrays.copyOfRange(late, Duck.latency(RATE), late.length);
        double ducked = Math.pow(10, -9 / 20.0);
        assertEquals(-9, db(y[90000] / 0.5), 0.01);
        int gone = 96000 + (int) (0.030 * Math.log(0.5 / 0.05) * RATE); // when the held peak leaves the threshold
        double up = (y[Math.min(119000, gone + 12000)] / 0.5 - ducked) / (1 - ducked);
        assertTrue(up > 0.55 && up < 0.65, "released by " + up);
        double steepest = (1 - ducked) / (0.010 * RATE);
        for (int i = 24002; i < 119999; i++) assertTrue(Math.abs(y[i] - y[i - 1]) <= 0.5 * steepest * 1.01, "at " + i);
    }

    @Test
    void aVoiceSixDbUnderTheThresholdDoesNotDuck() {
        double[] x = new double[48000];
        java.util.Arrays.fill(x, 0.0499);
        double[] y = run(echo(RATE, Pattern.SINGLE, 0.1, 0, e -> e.duck(12, -20)), x);
        assertEquals(0.0499, y[40000], 1e-12);
    }

    @Tag("listening")
    @ParameterizedTest
    @ValueSource(doubles = {8000, 22050, 44100, 48000, 96000, 192000})
    void everyCornerDiesAwayAndStaysFinite(double rate) {
        for (Pattern pattern : Pattern.values()) {
            for (double seconds : new double[] {0.00001, 0.001, 0.3}) {
                for (double wobble : new double[] {0, 50}) {
                    for (double[] band : new double[][] {{0, 1e9}, {20, 3900}, {2000, 500}}) {
                        Echo echo = echo(rate, pattern, seconds, 0.95, band, e -> {
                            e.drive(wobble > 0 ? 24 : 0);
                            e.wobble(wobble);
                            e.duck(24, -60);
                        });
                        // The sound, 0.1 s after it, what the duck takes to look ahead, and 60 repeats.
                        int frames = (int) (rate * 0.4 + Duck.latency(rate) + seconds * rate * 60);
                        double[][] x = {java.util.Arrays.copyOf(noise((int) (rate * 0.3), 4), frames), new double[frames]};
                        double[][] y = run(echo, x, Cell.LENGTH, c -> {});
                        double early = 0, late = 0;
                        for (double[] channel : y) {
                            for (int i = 0; i < frames; i++) assertTrue(Math.abs(channel[i]) < 20, "loud or not finite at " + i);
                            early += rms(channel, 0, frames);
                            late += rms(channel, frames - frames / 50, frames);
                        }
                        assertTrue(late < early, rate + " Hz " + pattern + " " + seconds + " s");
                    }
                }
            }
        }
    }

    @Test
    void silenceStaysSilenceAndAnOldSoundBecomesIt() {
        assertArrayEquals(new double[48000], run(echo(RATE, Pattern.SINGLE, 0.1, 0.9, band(200, 5000), PLAIN), new double[48000]));
        double[] x = java.util.Arrays.copyOf(noise(480, 6), 480000);
        double[] y = run(echo(RATE, Pattern.SINGLE, 0.001, 0.5, band(200, 5000), PLAIN), x);
        for (int i = 470000; i < y.length; i++) assertEquals(0, y[i]);
    }

    @Test
    void aLoopThatWouldNotDieIsRefused() {
        Echo echo = new Echo(RATE, Pattern.SINGLE, 0.1, 0, 5000);
        assertThrows(IllegalArgumentException.class, () -> echo.feedback(1));
        assertThrows(IllegalArgumentException.class, () -> echo.feedback(Double.NaN));
    }

    /** One sample at a time: feedback and drive go in straight lines from the border of a cell to the next, wherever it is cut. */
    @ParameterizedTest
    @ValueSource(ints = {7, 480})
    void feedbackAndDriveMoveInStraightLines(int cut) {
        int delay = 700, n = 48_000;
        double[] x = noise(n, 8), line = new double[n], expected = new double[n];
        double from = 0.2, to = 0.2, fromDrive = 0, toDrive = 0;
        for (int i = 0; i < n; i++) {
            int cell = i / Cell.LENGTH;
            if (i % Cell.LENGTH == 0) {
                from = to;
                fromDrive = toDrive;
                if (cell >= 10 && cell < 20) to = 0.2 + 0.05 * (cell - 9);
                if (cell >= 30 && cell < 40) toDrive = Math.pow(10, 1.5 * (cell - 29) / 20) - 1;
                if (cell == 60) toDrive = 0;
            }
            double t = i % Cell.LENGTH / (double) Cell.LENGTH, g = from + t * (to - from), d = fromDrive + t * (toDrive - fromDrive);
            double read = i < delay ? 0 : line[i - delay];
            expected[i] = d > 1e-6 ? Math.tanh(d * read) / d : read;
            line[i] = x[i] + g * expected[i];
        }
        for (boolean stereo : new boolean[] {false, true}) {
            Echo echo = echo(RATE, Pattern.SINGLE, delay / RATE, 0.2, PLAIN);
            double[][] y = run(echo, stereo ? new double[][] {x.clone(), x.clone()} : new double[][] {x.clone()}, cut, cell -> {
                if (cell >= 10 && cell < 20) echo.feedback(0.2 + 0.05 * (cell - 9));
                if (cell >= 30 && cell < 40) echo.drive(1.5 * (cell - 29));
                if (cell == 60) echo.drive(0);
            });
            for (double[] channel : y) assertArrayEquals(expected, channel, 1e-7);
        }
    }

    /** Two channels that are alike are two monos, with filters, drive and duck; and how far it is ducked is told. */
    @Test
    void channelsThatAreAlikeAreTwoMonos() {
        double[] x = noise(24_000, 9);
        Consumer<Echo> set = e -> {
            e.drive(9);
            e.wobble(10);
            e.duck(9, -20);
        };
        Echo mono = echo(RATE, Pattern.SINGLE, 0.05, 0.5, band(200, 5000), set), pair = echo(RATE, Pattern.SINGLE, 0.05, 0.5, band(200, 5000), set);
        double[] alone = run(mono, new double[][] {x.clone()}, Cell.LENGTH, c -> {})[0];
        double[][] both = run(pair, new double[][] {x.clone(), x.clone()}, Cell.LENGTH, c -> {});
        assertArrayEquals(alone, both[0], 1e-12);
        assertArrayEquals(alone, both[1], 1e-12);
        assertEquals(9, pair.reductionDb(), 0.05);
        assertEquals(pair.reductionDb(), mono.reductionDb(), 1e-12);
    }

    /** No repeat comes later than a quarter over the longest time, for the wobble, and the 160 ms in which the filters fade. */
    @Test
    void itRemembersAsLongAsARepeatMayTake() {
        assertEquals((long) (1.25 * 0.5 * 48_000 + 0.16 * 48_000), new Echo(RATE, Pattern.SINGLE, 0.5, 0, 24_000).memory());
    }

    /** What has died away is zeroed on both sides. */
    @Test
    void bothSidesBecomeSilence() {
        double[] x = java.util.Arrays.copyOf(noise(480, 6), 240_000);
        for (Pattern pattern : Pattern.values()) {
            double[][] y = run(echo(RATE, pattern, 0.001, 0.5, band(200, 5000), PLAIN), new double[][] {x.clone(), x.clone()}, Cell.LENGTH, c -> {});
            for (double[] channel : y) for (int i = 230_000; i < channel.length; i++) assertEquals(0, channel[i]);
        }
    }
}
