package linnet.dsp.reverb;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import linnet.dsp.Cell;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The network in its block form against the same written down sample by sample: delay lines as whole histories, the matrix as a matrix. */
class NetworkTest {
    /**
     * J.-M. Jot's structure (AES 1991): lines of prime length, the loss of each, the orthogonal matrix, here Hadamard's by its own
     * definition, (-1)^(bits that i and j share) / sqrt(N), and pair by pair a rotation that grows with time.
     */
    private static final class Plain {
        final int lines;
        final int[] length;
        final double[] gain, pole, state;
        final double[][] line;
        final double[][][] pass;
        final int[] passLength = new int[5];
        final double rate, input;

        Plain(double rate, double size, double decay, double damping, int frames) {
            this.rate = rate;
            double scale = size * Math.sqrt(Math.min(1, decay / 1.5));
            lines = decay / scale >= 2.2 ? 16 : 8;
            length = new int[lines];
            gain = new double[lines];
            pole = new double[lines];
            state = new double[lines];
            line = new double[lines][frames];
            pass = new double[2][5][frames];
            double squares = 0;
            for (int k = 0; k < lines; k++) {
                int d = (int) Math.round(scale * rate * 0.029 * Math.pow(0.097 / 0.029, (double) k / (lines - 1)));
                if (k > 0) d = Math.max(d, length[k - 1] + 1);
                while (!prime(d)) d++;
                length[k] = d;
                Absorption loss = Absorption.of(rate, d, decay, damping);
                gain[k] = loss.gain();
                pole[k] = loss.pole();
                squares += Math.pow(loss.mid(rate), 2);
            }
            // A network without loss fills for ever: there is no level to match.
            input = squares == lines ? 1 : Math.sqrt((1 - squares / lines) / (squares / 2));
            double[] seconds = {0.00083, 0.00171, 0.00361, 0.00733, 0.0127};
            for (int k = 0; k < 5; k++) passLength[k] = Math.max(1, (int) Math.round(seconds[k] * Math.min(1, scale) * rate));
        }

        private static boolean prime(int n) {
            if (n < 2) return false;
            for (int d = 2; d < n; d++) if (n % d == 0) return false;
            return true;
        }

        private static double before(double[] history, int t, int by) {
            return t < by ? 0 : history[t - by];
        }

        /** What comes out on both sides at time t. */
        double[] next(int t, double l, double r) {
            double[] in = {input * l, input * r};
            for (int side = 0; side < 2; side++) {
                for (int k = 0; k < 5; k++) {
                    double old = before(pass[side][k], t, passLength[k]), kept = in[side] + 0.65 * old;
                    pass[side][k][t] = kept;
                    in[side] = old - 0.65 * kept;
                }
            }
            double[] out = new double[2];
            for (int k = 0; k < lines; k++) {
                state[k] = gain[k] * (1 - pole[k]) * before(line[k], t, length[k]) + pole[k] * state[k];
                out[k % 2] += k / 2 % 2 == 0 ? state[k] : -state[k];
            }
            double[] mixed = new double[lines];
            for (int i = 0; i < lines; i++) {
                for (int j = 0; j < lines; j++) mixed[i] += (Integer.bitCount(i & j) % 2 == 0 ? 1 : -1) * state[j] / Math.sqrt(lines);
            }
            for (int k = 0; k < lines / 2; k++) {
                double angle = 2 * Math.PI * (k < lines / 4 ? 0.36 : 0.58) * t / rate, c = Math.cos(angle), s = Math.sin(angle);
                double u = mixed[k], v = mixed[k + lines / 2];
                // Odd pairs change places and turn backwards.
                line[k][t] = in[k % 2] + (k % 2 == 0 ? c * u + s * v : -c * v - s * u);
                line[k + lines / 2][t] = in[k % 2] + (k % 2 == 0 ? c * v - s * u : c * u - s * v);
            }
            return out;
        }

        double energy(int now) {
            double sum = 0;
            for (int k = 0; k < lines; k++) for (int t = now - length[k]; t < now; t++) sum += line[k][t] * line[k][t];
            return sum;
        }
    }

    private static double[][] noise(int length, int from, int to) {
        Random random = new Random(3);
        double[][] x = new double[2][length];
        for (int i = from; i < to; i++) for (double[] channel : x) channel[i] = random.nextDouble() - 0.5;
        return x;
    }

    private static double[][] plain(Plain network, double[][] x) {
        double[][] y = new double[2][x[0].length];
        for (int t = 0; t < x[0].length; t++) {
            double[] out = network.next(t, x[0][t], x[1][t]);
            y[0][t] = out[0];
            y[1][t] = out[1];
        }
        return y;
    }

    /** Eight lines and sixteen; lines shorter than a cell and longer; sound that begins in the middle of a cell; any cut. */
    @ParameterizedTest
    @CsvSource({"8000, 1, 1.4, 0.35, 480", "8000, 1, 3, 0.35, 480", "8000, 0.5, 0.4, 0, 7", "8000, 1, 3, 0.8, 7", "24000, 1.5, 1, 0.2, 480",
            "24000, 2, 6, 0.35, 64",
        "8000, 1, 2.2, 0.35, 480", "8000, 1, Infinity, 0, 480", "8000, 0.5, 2, 0.35, 480", "2000, 0.25, 0.1, 0.35, 480", "48000, 0.25, 0.1, 0.5, 480"})
    void theBlockFormIsTheStructure(double rate, double size, double decay, double damping, int cut) {
        int length = 6 * Cell.LENGTH + (int) (0.2 * rate);
        double[][] x = noise(length, 700, 1900), expected = plain(new Plain(rate, size, decay, damping, length), x);
        Measured.run(new Network(rate, size, decay, damping), x, cut);
        assertArrayEquals(expected[0], x[0], 1e-12);
        assertArrayEquals(expected[1], x[1], 1e-12);
    }

    @ParameterizedTest
    @CsvSource({"8000, 1, 1.4", "8000, 1, 3", "24000, 2, 1"})
    void itTellsItsLinesAndItsEnergy(double rate, double size, double decay) {
        Plain plain = new Plain(rate, size, decay, 0.35, 6000);
        Network network = new Network(rate, size, decay, 0.35);
        assertEquals(plain.length[0], network.firstArrival());
        assertEquals(plain.length[plain.lines - 1], network.longestLine());
        double[][] x = noise(6000, 0, 6000);
        plain(plain, x);
        Measured.run(network, x, 333);
        // 6000 is in the middle of a cell.
        assertEquals(plain.energy(6000), network.energy(), 1e-9 * network.energy());
    }

    /** One channel for both sides: the same bits, through silence, sound and silence, in any cut. */
    @ParameterizedTest
    @CsvSource({"3, 480", "1.4, 7"})
    void aMonoSoundIsTwoEqualSides(double decay, int cut) {
        double[] x = noise(4800, 700, 1900)[0];
        Network mono = new Network(8000, 1, decay, 0.35), stereo = new Network(8000, 1, decay, 0.35);
        for (int from = 0, n; from < x.length; from += n) {
            n = Math.min(cut, Cell.LENGTH - from % Cell.LENGTH);
            double[] l = new double[n], r = new double[n], left = new double[n], right = new double[n];
            java.util.Arrays.fill(r, 9);
            System.arraycopy(x, from, l, 0, n);
            System.arraycopy(x, from, left, 0, n);
            System.arraycopy(x, from, right, 0, n);
            mono.processMono(l, r, n);
            stereo.process(left, right, n);
            assertArrayEquals(left, l);
            assertArrayEquals(right, r);
            if ((from + n) % Cell.LENGTH == 0) {
                mono.settle();
                stereo.settle();
            }
        }
    }

    /** It rests before the first sound and after the last has died away, not between; and its matrix turns on meanwhile. */
    @Test
    void itRestsWhenAllHasDiedAwayAndTurnsOn() {
        int again = 30 * 960;
        double[][] x = noise(again + 2400, 480, 960);
        for (int i = 0; i < 480; i++) x[0][again + i] = x[1][again + i] = x[0][480 + i];
        Network network = new Network(8000, 0.25, 0.1, 0.35);
        double[][] expected = plain(new Plain(8000, 0.25, 0.1, 0.35, x[0].length), x);
        assertTrue(network.rests());
        int rested = 0;
        double[] l = new double[Cell.LENGTH], r = new double[Cell.LENGTH];
        for (int at = 0; at < x[0].length; at += Cell.LENGTH) {
            System.arraycopy(x[0], at, l, 0, Cell.LENGTH);
            System.arraycopy(x[1], at, r, 0, Cell.LENGTH);
            boolean still = network.rests();
            if (at > 480 && at < 4800) assertFalse(still, "at " + at);
            if (still && at > 480) rested++;
            network.process(l, r, Cell.LENGTH);
            network.settle();
            for (int i = 0; i < Cell.LENGTH; i++) {
                assertEquals(expected[0][at + i], l[i], 1e-12);
                assertEquals(expected[1][at + i], r[i], 1e-12);
            }
        }
        assertTrue(rested > 5, rested + " cells at rest");
        assertNotEquals(expected[0][1200], expected[0][again + 720], "the matrix has turned");
    }
}
