package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The track as the cheapest of all ways (A. Viterbi, 1967), with everything at hand at once: the slow signal, the frames, their choices. */
class TrackPlainTest {
    /** Tones, leaps, noise and silence, short of half a second. */
    private static double[] sound(double rate) {
        double[] x = new double[(int) (0.45 * rate)];
        Random random = new Random(5);
        double[] hz = {0, 131, 262, 262, 0, 700, 90, 95, 0, 400};
        double turn = 0;
        for (int i = 0; i < x.length; i++) {
            double f = hz[(int) (i * (double) hz.length / x.length)];
            turn += f / rate;
            if (f > 0) for (int h = 1; h < 6; h++) x[i] += Math.sin(2 * Math.PI * h * turn) / h;
            x[i] += 0.2 * random.nextGaussian();
        }
        return x;
    }

    @ParameterizedTest
    @CsvSource({"8000, 480", "12000, 100", "24000, 1000", "44100, 77"})
    void theTrackIsTheCheapestWay(double rate, int cut) {
        double[] x = sound(rate);
        int hop = (int) Math.round(rate / 100), factor = Math.max(1, (int) Math.round(rate / 12000));
        WholeTrack tracker = new WholeTrack(rate, f -> f != 7);
        for (int from = 0; from < x.length; from += cut) {
            tracker.add(Arrays.copyOfRange(x, from, Math.min(x.length, from + cut)), Math.min(cut, x.length - from));
        }
        PitchTrack track = tracker.finish();

        int frames = (x.length + hop - 1) / hop;
        assertEquals(frames, track.frames());
        assertEquals(hop, track.hop());
        Yin yin = new Yin(rate / factor, 55, 1200);
        double[] slow = new double[x.length / factor + 20000];
        new Decimator(factor, x.length + 10000 * factor).decimate(Arrays.copyOf(x, x.length + 10000 * factor), x.length + 10000 * factor, slow, 0);
        double[][] octave = new double[frames][7], fine = new double[frames][7], price = new double[frames][7], cost = new double[frames][7];
        for (int f = 0; f < frames; f++) {
            Arrays.fill(price[f], Double.POSITIVE_INFINITY);
            price[f][0] = 0.3;
            if (f == 7) continue;
            double[] frame = new double[yin.length()], o = new double[6], c = new double[6];
            int first = (int) (Math.round((f + 0.5) * hop / factor) - yin.centre(200));
            for (int i = 0; i < frame.length; i++) frame[i] = first + i < 0 ? 0 : slow[first + i];
            yin.hear(frame, 0);
            int found = yin.periods(0.5, 0.05, o, c);
            for (int k = 0; k < found; k++) {
                octave[f][k + 1] = (float) o[k];
                fine[f][k + 1] = yin.fine(o[k]);
                price[f][k + 1] = c[k];
            }
        }
        int[][] from = new int[frames][7];
        for (int f = 0; f < frames; f++) {
            for (int to = 0; to < 7; to++) {
                double best = Double.POSITIVE_INFINITY;
                for (int was = 0; was < 7; was++) {
                    double before = f > 0 ? cost[f - 1][was] : was == 0 ? 0 : Double.POSITIVE_INFINITY;
                    if (before == Double.POSITIVE_INFINITY) continue;
                    double move = was == 0 && to == 0 ? 0 : was == 0 || to == 0 ? 0.1 : Math.min(0.6, Math.abs(octave[f][to] - octave[f - 1][was]));
                    if (before + move < best) {
                        best = before + move;
                        from[f][to] = was;
                    }
                }
                cost[f][to] = best + price[f][to];
            }
        }
        int choice = 0;
        for (int c = 1; c < 7; c++) if (cost[frames - 1][c] < cost[frames - 1][choice]) choice = c;
        float[] hz = new float[frames], finer = new float[frames];
        int voiced = 0;
        for (int f = frames - 1; f >= 0; f--) {
            if (choice > 0) {
                hz[f] = (float) Math.pow(2, octave[f][choice]);
                finer[f] = (float) Math.pow(2, fine[f][choice]);
                voiced++;
            }
            choice = from[f][choice];
        }
        assertTrue(voiced > 15 && voiced < frames - 5, voiced + " of " + frames);
        assertArrayEquals(hz, track.hz(), 1e-3f);
        assertArrayEquals(finer, track.fine(), 1e-3f);
    }

    /** The difference function read at every sixteenth of a lag through a sinc under a Hann window, and a parabola through the least three. */
    @Test
    void finePitchIsTheMinimumBetweenTheLags() {
        double rate = 12000;
        Yin yin = new Yin(rate, 55, 1200);
        int longest = 220, window = 512 - longest;
        assertEquals(Math.round((window + 12000 / 200.0) / 2), yin.centre(200));
        for (double hz : new double[] {150, 417, 880, 1100, 61}) {
            double[] x = new double[512];
            for (int i = 0; i < x.length; i++) for (int h = 1; h < 5; h++) x[i] += Math.sin(2 * Math.PI * h * hz * i / rate + h) / h;
            double[] d = new double[longest + 1];
            for (int lag = 1; lag <= longest; lag++) for (int j = 0; j < window; j++) d[lag] += (x[j] - x[j + lag]) * (x[j] - x[j + lag]);
            yin.hear(x, 0);
            double[] octave = new double[6], cost = new double[6];
            int found = yin.periods(0.5, 0, octave, cost);
            for (int k = 0; k < found; k++) {
                double near = rate / Math.pow(2, octave[k]), expected = octave[k];
                int at = (int) Math.round(16 * near);
                if (at >= 16 * 9 && at <= 16 * (longest - 9)) {
                    for (int step = 0; step < 8; step++) {
                        at += read(d, at - 1) < Math.min(read(d, at), read(d, at + 1)) ? -1 : read(d, at + 1) < read(d, at) ? 1 : 0;
                    }
                    double a = read(d, at - 1), b = read(d, at), c = read(d, at + 1);
                    if (a >= b && c >= b && a - 2 * b + c > 0) expected = Math.log(16 * rate / (at + (a - c) / (2 * (a - 2 * b + c)))) / Math.log(2);
                }
                assertEquals(expected, yin.fine(octave[k]), 1e-6, hz + " Hz, " + near);
            }
            assertTrue(found > 0);
            // Asked a little beside it, it comes to the same; far from any it stays where it was asked.
            double right = yin.fine(octave[0]);
            double lag = rate / Math.pow(2, octave[0]);
            if (lag > 12 && lag < 200) {
                for (double off : new double[] {-0.3, 0.3}) assertEquals(right, yin.fine(Math.log(rate / (lag + off)) / Math.log(2)), 1e-6);
            }
            for (double far : new double[] {8.9, 211.2}) assertEquals(Math.log(rate / far) / Math.log(2), yin.fine(Math.log(rate / far) / Math.log(2)));
        }
    }

    private static double read(double[] d, int sixteenths) {
        double sum = 0, at = sixteenths / 16.0;
        for (int lag = (int) Math.floor(at) - 7; lag <= Math.floor(at) + 8; lag++) {
            double far = lag - at;
            sum += d[lag] * (far == 0 ? 1 : Math.sin(Math.PI * far) / (Math.PI * far) * (0.5 + 0.5 * Math.cos(Math.PI * far / 8)));
        }
        return sum;
    }
}
