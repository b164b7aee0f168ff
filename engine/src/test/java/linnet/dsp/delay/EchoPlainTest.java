package linnet.dsp.delay;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import linnet.dsp.Cell;
import linnet.dsp.delay.Echo.Pattern;
import linnet.dsp.dynamics.Duck;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.Cascade;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** An echo sample by sample: lines as whole histories, read through Lagrange's formula at a distance that is worked out for each cell. */
class EchoPlainTest {
    private static final int C = Cell.LENGTH;

    /** The distance over time: a glide whose speed falls with the way that is left, and two sines, joined by Hermite's cubic from cell to cell. */
    private static final class Plain {
        final double rate, glide;
        double place, speed, lean, leanSpeed, swing;
        final double[] hz = {0.43, 0.71};
        double[] distance = new double[C];

        Plain(double rate, double start, double cents) {
            this.rate = rate;
            glide = Math.max(0.1 * rate, 4 * C);
            place = start;
            swing = Math.pow(2, cents / 1200) - 1;
        }

        void cell(int number, double target) {
            double d0 = place + lean, s0 = speed + leanSpeed;
            double wanted = Math.max(-1 / 3.0, Math.min(1 / 3.0, (target - place) / glide));
            place += C * (speed + wanted) / 2;
            speed = wanted;
            if (Math.abs(target - place) < 1e-6 && C * Math.abs(speed) < 1e-6) {
                place = target;
                speed = 0;
            }
            double most = 0, bend = swing / 2, t = (number + 1.0) * C / rate;
            for (double f : hz) most += bend * rate / (2 * Math.PI * f);
            if (most > place / 4) bend *= place / 4 / most;
            lean = leanSpeed = 0;
            for (double f : hz) {
                lean += bend * rate / (2 * Math.PI * f) * Math.sin(2 * Math.PI * f * t);
                leanSpeed += bend * Math.cos(2 * Math.PI * f * t);
            }
            double d1 = place + lean, s1 = speed + leanSpeed;
            for (int i = 0; i < C; i++) {
                double u = (double) i / C, v = 1 - u;
                distance[i] = d0 * v * v * (1 + 2 * u) + d1 * u * u * (1 + 2 * v) + C * (s0 * u * v * v - s1 * u * u * v);
            }
        }
    }

    private static double lagrange(double[] x, int now, double distance) {
        int whole = (int) distance;
        double d = distance - whole + 2, sum = 0;
        for (int n = 0; n <= 5; n++) {
            double h = 1;
            for (int k = 0; k <= 5; k++) if (k != n) h *= (d - k) / (n - k);
            int at = now - whole + 2 - n;
            sum += at < 0 ? 0 : h * x[at];
        }
        return sum;
    }

    /** The filters' group delay by its definition: the phase between 999 and 1001 Hz, or about an eighth of a low rate. */
    private static double groupDelay(double rate, double[] band) {
        Cascade cascade = new Cascade(Butterworth.band(rate, band[0], band[1]));
        double hz = Math.min(1000, rate / 8);
        double turn = cascade.response(hz - 1).phase() - cascade.response(hz + 1).phase();
        while (turn < -Math.PI) turn += 2 * Math.PI;
        while (turn > Math.PI) turn -= 2 * Math.PI;
        return turn / (2 * Math.PI * 2) * rate;
    }

    private static double[] noise(int n, long seed) {
        Random random = new Random(seed);
        double[] x = new double[n];
        for (int i = 0; i < n; i++) x[i] = random.nextDouble() - 0.5;
        return x;
    }

    @ParameterizedTest
    @CsvSource({
        "8000, SINGLE, 2, 0.02, 0.05, 0, 0, 0, 0, 480", "8000, SINGLE, 1, 0.003, 0.006, 20, 200, 3000, 9, 480",
                "8000, PING_PONG, 2, 0.004, 0.09, 30, 100, 0, 0, 7",
        "48000, PING_PONG, 2, 0.001, 0.0002, 10, 200, 5000, 6, 480", "48000, SINGLE, 1, 0.02, 0.03, 0, 0, 4000, 0, 100",
                "8000, SINGLE, 2, 0.3, 0.1, 0, 60, 900, 0, 480",
        "8000, SINGLE, 1, 0.5, 0.5, 50, 0, 0, 0, 480", "8000, PING_PONG, 2, 0.05, 0.05, 0, 0, 0, 12, 64"})
    void theBlockFormIsTheLoop(double rate, Pattern pattern, int channels, double seconds, double later, double cents, double highPass, double lowPass,
            double duckDb, int cut) {
        double longest = 1.1 * Math.max(seconds, later), feedback = 0.6, drive = 9;
        double[] band = {highPass, lowPass == 0 ? 1e9 : lowPass};
        int cells = 14, n = cells * C;
        Echo echo = new Echo(rate, pattern, longest, band[0], band[1]);
        echo.time(seconds);
        echo.feedback(feedback);
        echo.wobble(cents);
        if (duckDb > 0) echo.duck(duckDb, -14);
        double held = groupDelay(rate, band), target = Math.max(6, Math.rint(seconds * rate - held)), d = Math.pow(10, drive / 20) - 1;
        Plain plain = new Plain(rate, target, cents);
        Duck duck = new Duck(rate, 0);
        if (duckDb > 0) duck.set(duckDb, -14);
        Cascade filter = new Cascade(Butterworth.band(rate, band[0], band[1])), other = new Cascade(Butterworth.band(rate, band[0], band[1]));
        double[][] x = {noise(n, 1), noise(n, 2)};
        double[] left = new double[n], right = new double[n], a = new double[1], b = new double[1];
        double[] l = new double[C], r = new double[C];
        for (int cell = 0; cell < cells; cell++) {
            if (cell == 2) {
                echo.time(later);
                target = Math.max(6, Math.rint(later * rate - held));
            }
            if (cell == 8) echo.drive(drive);
            if (cell == 5) echo.feedback(0.9);
            plain.cell(cell, target);
            double[] outL = new double[C], outR = new double[C];
            for (int i = 0; i < C; i++) {
                int t = cell * C + i;
                double dist = plain.distance[i], curve = cell < 8 ? 0 : cell == 8 ? d * i / C : d;
                double round = cell < 5 ? feedback : cell == 5 ? feedback + (0.9 - feedback) * i / C : 0.9;
                a[0] = lagrange(left, t, dist);
                b[0] = lagrange(right, t, dist);
                for (double[] y : new double[][] {a, b}) if (curve > 1e-6) y[0] = Math.tanh(curve * y[0]) / curve;
                filter.process(a, 1);
                other.process(b, 1);
                boolean crossed = pattern == Pattern.PING_PONG;
                left[t] = (crossed ? (x[0][t] + x[1][t]) / 2 : x[0][t]) + round * (crossed ? b[0] : a[0]);
                right[t] = (crossed ? 0 : x[1][t]) + round * (crossed ? a[0] : b[0]);
                double key = channels == 2 ? Math.max(Math.abs(x[0][t]), Math.abs(x[1][t])) : x[0][t];
                double[] wetL = {a[0]}, wetR = {b[0]};
                if (duckDb > 0) {
                    duck.hear(new double[] {key}, new double[] {key}, 1);
                    duck.lower(wetL, wetR, 1);
                }
                outL[i] = wetL[0];
                outR[i] = wetR[0];
            }
            for (int from = 0; from < C; from += cut) {
                int m = Math.min(cut, C - from);
                System.arraycopy(x[0], cell * C + from, l, 0, m);
                System.arraycopy(x[1], cell * C + from, r, 0, m);
                if (channels == 2) echo.process(l, r, m);
                else echo.process(l, m);
                for (int i = 0; i < m; i++) {
                    assertEquals(outL[from + i], l[i], 1e-7, "left, " + (cell * C + from + i));
                    if (channels == 2) assertEquals(outR[from + i], r[i], 1e-7, "right, " + (cell * C + from + i));
                }
            }
            if (duckDb > 0) assertEquals(duck.reductionDb(), echo.reductionDb(), 1e-9);
            echo.settle();
        }
        assertFalse(echo.rests());
    }

    /** A ramp shows where it is read: what comes out is the time less the distance. */
    @ParameterizedTest
    @CsvSource({"8000, 900, 1500, 15", "8000, 1500, 700, 0", "48000, 800, 820, 0", "8000, 3000, 3000.4, 50", "8000, 700, 700.6, 0"})
    void theCourseIsItsFormula(double rate, double from, double to, double cents) {
        Course course = new Course(rate);
        course.aim(from, cents);
        Line line = new Line(4000);
        double[] ramp = new double[C], y = new double[C];
        for (int i = 0; i < 10 * C; i += C) {
            for (int k = 0; k < C; k++) ramp[k] = i + k;
            line.write(ramp, C);
        }
        Plain plain = new Plain(rate, Math.rint(from), cents);
        double target = Math.rint(from);
        for (int cell = 0; cell < 40; cell++) {
            if (cell == 3) {
                course.aim(to, cents);
                target = Math.rint(to);
            }
            plain.cell(cell, target);
            course.advance(200);
            course.read(line, 0, y, 200);
            for (int i = 0; i < 200; i++) assertEquals((10 + cell) * C + i - plain.distance[i], y[i], 1e-6, "cell " + cell + ", " + i);
            boolean still = cents == 0 && plain.distance[0] == target && plain.distance[C - 1] == target && plain.speed == 0;
            assertEquals(still ? (int) target : (int) ((plain.distance[50] - 3) / 1.5), course.span(50), still ? 0 : 1);
            course.advance(C - 200);
            course.read(line, 0, y, C - 200);
            for (int i = 200; i < C; i++) assertEquals((10 + cell) * C + i - 200 - plain.distance[i], y[i - 200], 1e-6, "cell " + cell + ", " + i);
            course.settle();
            for (int k = 0; k < C; k++) ramp[k] = (10 + cell) * C + k;
            line.write(ramp, C);
        }
    }

    /**
     * In a glide that shortens the way fastest, what may be read at once is already written: a whole distance to the sample, another with three more beside it.
     */
    @Test
    void neverReadsWhatIsNotYetWritten() {
        Course course = new Course(8000);
        course.aim(2000, 0);
        course.advance(C);
        course.settle();
        course.aim(1, 0);
        Plain plain = new Plain(8000, 2000, 0);
        plain.cell(0, 2000);
        for (int cell = 1; cell < 110; cell++) {
            plain.cell(cell, 6);
            course.advance(C);
            for (int i = 0; i < C; i++) {
                int span = course.span(i);
                assertTrue(span >= 1);
                for (int k = i; k < Math.min(C, i + span); k++) {
                    assertTrue(plain.distance[k] >= k - i + (Math.abs(plain.distance[k] - 6) < 1e-9 ? 1 : 3) - 1e-9, "cell " + cell + ", " + k);
                }
            }
            course.settle();
        }
        assertEquals(6, course.span(0), "the shortest way is 6 samples");
    }

    @Test
    void pingPongWantsTwoChannels() {
        assertThrows(IllegalStateException.class, () -> new Echo(8000, Pattern.PING_PONG, 0.1, 0, 1e9).process(new double[4], 4));
    }

    /** Resting is running through silence, to the bit: wobble, glide and duck go on. */
    @ParameterizedTest
    @CsvSource({"SINGLE, 0", "PING_PONG, 1", "SINGLE, 1"})
    void restingIsRunningThroughSilence(Pattern pattern, int side) {
        Echo[] pair = new Echo[2];
        for (int k = 0; k < 2; k++) {
            pair[k] = new Echo(8000, pattern, 0.06, 200, 3000);
            pair[k].feedback(0.2);
            pair[k].wobble(20);
            pair[k].duck(9, -20);
            assertTrue(pair[k].rests());
        }
        double[] silence = new double[C];
        int rested = 0;
        for (int cell = 0; cell < 120; cell++) {
            boolean sounds = cell < 2 || cell > 110;
            double[][] x = new double[2][C], y = new double[2][C];
            if (sounds) for (int i = 0; i < C; i++) x[side][i] = y[side][i] = Math.sin(cell + i);
            if (cell == 2) assertFalse(pair[1].rests());
            if (cell == 100 || cell == 112) for (Echo e : pair) e.time(cell == 100 ? 0.04 : 0.05);
            if (cell == 101) for (Echo e : pair) e.feedback(0.7);
            if (!sounds && pair[1].rests()) {
                pair[1].rest(silence);
                rested++;
            } else {
                pair[1].process(y[0], y[1], C);
                pair[1].settle();
            }
            pair[0].process(x[0], x[1], C);
            pair[0].settle();
            for (int i = 0; i < C; i++) for (int c = 0; c < 2; c++) assertEquals(x[c][i], y[c][i], 0, "cell " + cell);
            assertEquals(pair[0].reductionDb(), pair[1].reductionDb(), 0);
        }
        assertTrue(rested > 20, rested + " cells");
        assertEquals(0, Arrays.stream(silence).sum());
    }

    /** What is in the line is zeroed where it has died away, and only what came since is looked at. */
    @Test
    void aLineSettles() {
        Line line = new Line(20);
        assertTrue(line.isSilent());
        double[] y = new double[8];
        line.write(new double[] {1, 1e-31, 1e-29, -1e-31}, 4);
        line.settle(4);
        line.read(4, y, 4);
        assertEquals("[1.0, 0.0, 1.0E-29, 0.0]", Arrays.toString(Arrays.copyOf(y, 4)));
        line.write(new double[] {1e-31, 2e-30}, 2);
        line.settle(2);
        line.read(2, y, 1);
        assertEquals(1e-31, y[0], 0, "while the newest sounds nothing is looked at");
        assertFalse(line.isSilent());
    }
}
