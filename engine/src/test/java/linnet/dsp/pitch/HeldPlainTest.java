package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** All that is told of a note, from its definition: each step over whole lists, nothing kept from one to the next. */
class HeldPlainTest {
    private static final int HOP = 480;
    private static final double RATE = 48_000, PER_SECOND = 100;

    private static final class Plain {
        final double[] pitch;
        int first, last;
        double mean, cycle, swing, unrest;
        double[] line;

        Plain(double[] pitch) {
            this.pitch = pitch;
            int n = pitch.length;
            double level = median(n / 5, n - n / 6);
            if (Double.isNaN(level)) level = median(0, n);
            List<Double> off = new ArrayList<>();
            for (double p : pitch) if (!Double.isNaN(p)) off.add(Math.abs(p - level));
            off.sort(null);
            double wide = Math.max(0.35, 1.2 * Math.min(1.5, off.get((int) (0.8 * (off.size() - 1)))));
            // What has arrived begins in the first two fifths and ends in the last two.
            while (first < n * 2 / 5 && !(Math.abs(pitch[first] - level) <= wide)) first++;
            last = n;
            while (last > n * 3 / 5 && !(Math.abs(pitch[last - 1] - level) <= wide)) last--;
            last = Math.max(first + 1, last);
            double[] x = bridged(), quick = without(x, 0.18 * PER_SECOND);
            double period = vibrato(quick);
            if (period == 0) period = vibrato(Arrays.copyOfRange(quick, x.length * 2 / 5, x.length));
            cycle = period;
            mean = mean(x);
            line = line(x);
            double sum = 0;
            for (int i = 0; i < x.length; i++) sum += Math.pow((cycle > 0 ? over(x, i, cycle) : x[i]) - line[i], 2);
            unrest = Math.sqrt(sum / x.length);
        }

        double median(int from, int to) {
            double[] sorted = Arrays.stream(pitch, from, Math.max(from, to)).filter(p -> !Double.isNaN(p)).sorted().toArray();
            return sorted.length == 0 ? Double.NaN : sorted[sorted.length / 2];
        }

        /** The held part, with straight lines where there is no pitch and level ones before the first and after the last. */
        double[] bridged() {
            double[] x = new double[last - first];
            for (int i = 0; i < x.length; i++) {
                int before = i, after = i;
                while (before >= 0 && Double.isNaN(pitch[first + before])) before--;
                while (after < x.length && Double.isNaN(pitch[first + after])) after++;
                double a = before >= 0 ? pitch[first + before] : 0, b = after < x.length ? pitch[first + after] : 0;
                x[i] = before == after ? a : before < 0 ? b : after == x.length ? a : a + (b - a) * (i - before) / (after - before);
            }
            return x;
        }

        /** The mean over a stretch around a place, as long as a cycle or as there is room on both sides, with a share of the outermost. */
        static double over(double[] x, int i, double period) {
            double half = Math.min(period / 2, Math.min(i, x.length - 1 - i) + 0.5), sum = 0, weights = 0;
            for (int k = 0; k < x.length; k++) {
                double w = Math.max(0, Math.min(1, half + 0.5 - Math.abs(k - i)));
                sum += w * x[k];
                weights += w;
            }
            return sum / weights;
        }

        static double[] without(double[] x, double period) {
            double[] y = new double[x.length];
            for (int i = 0; i < x.length; i++) y[i] = x[i] - over(x, i, period);
            return y;
        }

        static double like(double[] x, int lag) {
            double both = 0, one = 0, other = 0;
            for (int i = lag; i < x.length; i++) {
                both += x[i - lag] * x[i];
                one += x[i - lag] * x[i - lag];
                other += x[i] * x[i];
            }
            return one > 0 && other > 0 ? both / Math.sqrt(one * other) : 0;
        }

        static double peak(double[] x, int lag) {
            double a = like(x, lag - 1), b = like(x, lag), c = like(x, lag + 1);
            return a - 2 * b + c < 0 ? lag + (a - c) / (2 * (a - 2 * b + c)) : lag;
        }

        /** The length of a cycle in frames, 4.5 to 8.5 of them a second, or 0. */
        double vibrato(double[] x) {
            if (x.length < 28) return 0;
            int best = 0;
            for (int k = 12; k <= Math.min(23, x.length - 12); k++) {
                double here = like(x, k);
                if (here > (best == 0 ? 0.45 : like(x, best)) && here >= like(x, k - 1) && here >= like(x, k + 1)) best = k;
            }
            if (best == 0) return 0;
            double period = peak(x, best);
            int twice = (int) Math.round(2 * period);
            if (twice + 12 <= x.length && like(x, twice) > 0.45) {
                for (int k = twice - 1; k <= twice + 1; k++) if (like(x, k) >= Math.max(like(x, k - 1), like(x, k + 1))) period = peak(x, k) / 2;
            }
            double[] quick = without(bridged(), period), power = new double[quick.length];
            double[] squares = Arrays.stream(quick).map(v -> v * v).toArray();
            for (int i = 0; i < power.length; i++) power[i] = over(squares, i, period);
            Arrays.sort(power);
            double far = Math.sqrt(2 * power[(int) (0.75 * (power.length - 1))]);
            if (far < 0.15) return 0;
            swing = far;
            return period;
        }

        double mean(double[] all) {
            double spare = Math.max(0, all.length - 20);
            double[] x = Arrays.copyOfRange(all, (int) Math.round(Math.min(10, spare / 2)), all.length - (int) Math.round(Math.min(3, spare / 5)));
            double width = cycle > 0 ? Math.min(cycle, x.length) : Math.min(18, x.length / 4.0);
            int edge = (int) Math.max(0, Math.ceil(width / 2 - 0.5));
            List<Double> means = new ArrayList<>();
            for (int i = 0; i < Math.max(1, x.length - 2 * edge); i++) means.add(over(x, Math.min(x.length - 1, edge + i), width));
            means.sort(null);
            int quarter = means.size() / 4;
            return means.subList(quarter, means.size() - quarter).stream().mapToDouble(v -> v).average().orElseThrow();
        }

        double[] line(double[] x) {
            int n = x.length;
            double[] y = new double[n];
            Arrays.fill(y, mean);
            if (n < 70) return y;
            int reach = (int) Math.round(Math.max(40, 1.5 * cycle));
            for (int i = 0; i < n; i++) {
                int low = Math.max(0, Math.min(i - reach, n - 1 - 2 * reach)), high = Math.min(n - 1, Math.max(i + reach, 2 * reach));
                double middle = (low + high) / 2.0, half = (high - low) / 2.0 + 1;
                // A straight line by least squares under a Hann window, Cramer's rule about the middle.
                double[][] a = new double[2][2];
                double[] b = new double[2];
                for (int k = low; k <= high; k++) {
                    double t = k - middle, w = Math.pow(Math.cos(Math.PI / 2 * t / half), 2);
                    a[0][0] += w;
                    a[0][1] += w * t;
                    a[1][1] += w * t * t;
                    b[0] += w * x[k];
                    b[1] += w * t * x[k];
                }
                double det = a[0][0] * a[1][1] - a[0][1] * a[0][1];
                y[i] = (a[1][1] * b[0] - a[0][1] * b[1]) / det + (i - middle) * (a[0][0] * b[1] - a[0][1] * b[0]) / det;
            }
            double off = mean - mean(y);
            for (int i = 0; i < n; i++) y[i] += off;
            return y;
        }

        double slide(int from, int to) {
            double most = 0;
            // The outermost of those that are as far off counts; they are heard from the outside.
            for (int i = from; i < to; i++) if (!Double.isNaN(pitch[i]) && Math.abs(pitch[i] - mean) > Math.abs(most)) most = pitch[i] - mean;
            return Math.abs(most) < 0.3 ? 0 : 100 * most;
        }
    }

    private static void check(double[] pitch, int before) {
        float[] hz = new float[before + pitch.length + 3];
        for (int i = 0; i < pitch.length; i++) hz[before + i] = Double.isNaN(pitch[i]) ? 0 : (float) Semitones.hz(pitch[i]);
        for (int i = 0; i < pitch.length; i++) if (hz[before + i] > 0) pitch[i] = Semitones.of(hz[before + i]);
        Held held = new Held(new PitchTrack(HOP, hz), RATE, before, before + pitch.length);
        Plain plain = new Plain(pitch);
        assertEquals(before + plain.first, held.first());
        assertEquals(before + plain.last, held.last());
        assertEquals(plain.mean, held.mean(), 1e-9);
        assertEquals(plain.cycle == 0 ? 0 : PER_SECOND / plain.cycle, held.vibratoHz(), 1e-9);
        assertEquals(plain.cycle == 0 ? 0 : 100 * plain.swing, held.vibratoCents(), 1e-9);
        assertEquals(100 * plain.unrest, held.unrestCents(), 1e-9);
        assertEquals(plain.slide(0, plain.first), held.scoopCents(), 1e-9);
        assertEquals(plain.slide(plain.last, pitch.length), held.fallCents(), 1e-9);
        assertEquals(Arrays.stream(pitch).filter(p -> !Double.isNaN(p)).count() / (double) pitch.length, held.voiced());
        assertTrue(held.sounds());
        for (int f = 0; f < hz.length; f++) {
            int i = f - before, inside = Math.max(0, Math.min(plain.line.length - 1, i - plain.first));
            assertEquals(100 * (plain.line[inside] - plain.mean), held.driftCents(f), 1e-9, "frame " + f);
            boolean swings = plain.cycle > 0 && i >= plain.first && i < plain.last && !Double.isNaN(pitch[i]);
            assertEquals(swings ? 100 * (pitch[i] - plain.line[i - plain.first]) : 0, held.swingCents(f), 1e-9, "frame " + f);
        }
    }

    /** Notes of every length, with and without vibrato, slides, gaps and unrest. */
    @ParameterizedTest
    @ValueSource(ints = {0, 1, 2, 3, 4, 5, 6, 7})
    void whatIsToldIsTheDefinition(int kind) {
        Random random = new Random(kind);
        for (int n : new int[] {1, 2, 3, 5, 9, 17, 20, 24, 27, 28, 29, 31, 35, 41, 50, 69, 70, 71, 83, 90, 120, 171}) {
            double rate = 4.3 + 4.5 * random.nextDouble(), far = 0.1 + 0.6 * random.nextDouble(), at = 50 + 20 * random.nextDouble();
            double[] pitch = new double[n];
            for (int i = 0; i < n; i++) {
                double t = i / PER_SECOND, late = Math.max(0, Math.min(1, 3 * (t - 0.3)));
                pitch[i] = at + 0.02 * random.nextGaussian() + (kind == 6 ? 0.3 * random.nextGaussian() : 0) + 0.3 * t;
                if (kind % 2 == 1) pitch[i] += far * (kind == 5 ? late : 1) * Math.sin(2 * Math.PI * rate * t + kind);
                if (kind >= 2 && kind != 6) pitch[i] -= 1.5 * Math.exp(-t / 0.05);
                if (kind >= 3 && i > 0.85 * n) pitch[i] -= 12 * (t - 0.0085 * n);
                // The mouth is shut now and then, also at either end.
                if (kind >= 4 && (i % 23 > 20 || i < n / 12 || i >= n - n / 12) && n > 2) pitch[i] = Double.NaN;
            }
            check(pitch, kind % 3);
        }
    }

    /** A third of its frames at the least, an eighth higher at its end: what leaps, what is hardly there, and what is there only outside the middle. */
    @Test
    void oddNotesAreToldTheSame() {
        double[] leaps = new double[60], hardly = new double[40], outside = new double[30], twice = new double[80];
        for (int i = 0; i < 60; i++) leaps[i] = i < 25 ? 60 : i < 33 ? 65 : 60.2;
        Arrays.fill(hardly, Double.NaN);
        hardly[17] = hardly[30] = 55;
        hardly[31] = 55.4;
        Arrays.fill(outside, Double.NaN);
        outside[1] = 58;
        outside[2] = 58.2;
        outside[28] = 59;
        for (int i = 0; i < 80; i++) twice[i] = 62 + 0.4 * Math.signum(Math.sin(2 * Math.PI * i / 18.5));
        for (double[] pitch : new double[][] {leaps, hardly, outside, twice}) check(pitch, 2);
    }

    /** From samples to the nearest frames; what lies outside the track is cut off. */
    @Test
    void aNoteBetweenSamplesIsThatOfItsFrames() {
        float[] hz = new float[100];
        for (int f = 0; f < 100; f++) hz[f] = 200 + f;
        PitchTrack track = new PitchTrack(HOP, hz);
        Held between = Held.between(track, RATE, 10 * HOP + 239, 60 * HOP + 240), frames = new Held(track, RATE, 10, 61);
        assertEquals(frames.mean(), between.mean());
        assertEquals(frames.first(), between.first());
        assertEquals(frames.last(), between.last());
        assertEquals(new Held(track, RATE, 0, 40).mean(), new Held(track, RATE, -5, 40).mean());
        assertEquals(new Held(track, RATE, 60, 100).mean(), new Held(track, RATE, 60, 180).mean());
        assertEquals(0, new Held(track, RATE, 120, 130).voiced());
        assertEquals(0, new Held(track, RATE, 120, 130).swingCents(125));
    }
}
