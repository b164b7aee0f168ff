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
                List<Periods.SelfJoin> joins = new Periods(new Samples(RATE, x), track(hz), 0.1).joins(List.<long[]>of(new long[] {4000, 44_000}), by);
                assertEquals(Math.abs(by), joins.stream().mapToInt(Periods.SelfJoin::lag).sum(), 0.55 * RATE / hz, hz + " Hz by " + by);
                for (Periods.SelfJoin j : joins) assertTrue(j.alike() > 0.97, hz + " Hz: " + j);
            }
        }
    }

    /** What a joined voice differs by from one that was sung so: nothing that could be heard as a click. */
    @Test
    void aJoinIsSmooth() {
        double[] x = voice(220, new double[N]);
        Samples sound = new Samples(RATE, x);
        Pieces.Builder pieces = new Pieces.Builder(sound);
        for (Periods.SelfJoin j : new Periods(sound, track(220), 0.1).joins(List.<long[]>of(new long[] {4000, 44_000}), 1500)) {
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
        int most = new Periods(sound, track(220), 0.1).joins(List.<long[]>of(new long[] {10_000, 20_000}), 5000).stream().mapToInt(Periods.SelfJoin::lag).sum();
        assertTrue(most > 800 && most <= 1000, "gained " + most);
        SplittableRandom random = new SplittableRandom(1);
        double[] noise = random.doubles(N, -1, 1).toArray();
        assertTrue(new Periods(new Samples(RATE, noise), track(220), 0.1).joins(List.<long[]>of(new long[] {4000, 44_000}), 1500).isEmpty());
    }

    /** The joins by their definition, with the whole sound at hand: parts as long as a lag wants, the best place in each, and the best parts first. */
    private record Plain(double rate, double[] x, PitchTrack pitch, double most) {
        record Part(long from, long to, double period, Periods.SelfJoin best) {}

        double period(long from, long to) {
            return java.util.stream.IntStream.range((int) (from / pitch.hop()), pitch.frames()).filter(f -> f * pitch.hop() < to && pitch.voiced(f))
                    .mapToDouble(f -> rate / pitch.hz()[f]).average().orElse(Double.NaN);
        }

        double alike(int centre, int lag, int side, int step) {
            double both = 0, one = 0, other = 0;
            for (int i = centre - side; i < centre + side; i += step) {
                double a = at(i), b = at(i + lag);
                both += a * b;
                one += a * a;
                other += b * b;
            }
            // As like as they point the same way, and as loud.
            return both / Math.max(one, other);
        }

        double at(int i) {
            return i < 0 || i >= x.length ? 0 : x[i];
        }

        Periods.SelfJoin join(int t, double lag, double period) {
            int side = (int) Math.max(period, 0.004 * rate), range = (int) Math.max(2, 0.08 * lag), wanted = (int) Math.round(lag), near = wanted, best;
            for (int d = wanted - range; d <= wanted + range; d += 4) if (d == wanted - range || alike(t, d, side, 4) > alike(t, near, side, 4)) near = d;
            best = near - 3;
            for (int d = near - 3; d <= near + 3; d++) if (alike(t, d, side, 1) > alike(t, best, side, 1)) best = d;
            return new Periods.SelfJoin(t, best, (int) Math.max(period, 0.007 * rate), alike(t, best, side, 1));
        }

        Periods.SelfJoin best(long from, long to, double lag, double period) {
            Periods.SelfJoin best = null;
            int cross = (int) Math.max(period, 0.007 * rate) / 2 + 1;
            for (int t = (int) from + cross; t + lag + cross <= to; t += (int) (0.005 * rate)) {
                if (!pitch.voiced(t / pitch.hop())) continue;
                Periods.SelfJoin here = join(t, lag, period);
                if (best == null || here.alike() > best.alike()) best = here;
            }
            return best;
        }

        List<Periods.SelfJoin> joins(List<long[]> voiced, long samples) {
            long left = Math.abs(samples);
            List<Part> parts = new java.util.ArrayList<>();
            for (long[] v : voiced) {
                long length = v[1] - v[0];
                double period = period(v[0], v[1]);
                if (Double.isNaN(period) || left < period / 2) continue;
                double lag = Math.max(1, Math.floor(Math.min(0.009 * rate / period, Math.max(1, left / period + 0.5)))) * period;
                if (length < lag / most) lag = Math.floor(length * most / period) * period;
                int count = lag > 0 ? (int) (length * most / lag) : 0;
                for (int k = 0; k < count; k++) {
                    long from = v[0] + length * k / count, to = v[0] + length * (k + 1) / count;
                    double own = period(from, to);
                    Periods.SelfJoin best = best(from, to, Math.max(1, Math.floor(1.02 * lag / own)) * own, own);
                    if (best != null && best.alike() >= 0.8) parts.add(new Part(from, to, own, best));
                }
            }
            parts.sort(java.util.Comparator.comparingDouble((Part p) -> p.best.alike()).reversed());
            List<Periods.SelfJoin> joins = new java.util.ArrayList<>();
            for (Part p : parts) {
                if (left < p.period / 2) continue;
                Periods.SelfJoin join = p.best.lag() <= left + p.period / 2 ? p.best
                        : best(p.from, p.to, Math.max(1, Math.round(left / p.period)) * p.period, p.period);
                if (join == null || join.alike() < 0.8) continue;
                joins.add(join);
                left -= join.lag();
            }
            joins.sort(java.util.Comparator.comparingLong(Periods.SelfJoin::at));
            return joins;
        }
    }

    @Test
    void joinsAreThoseOfTheirDefinition() {
        double rate = 8000;
        int some = 0;
        for (double hz : new double[] {70, 120, 205, 330}) {
            float[] track = new float[100];
            double[][] x = new double[2][8000];
            java.util.Random random = new java.util.Random(6);
            double turn = 0;
            for (int i = 0; i < 8000; i++) {
                double t = i / rate, now = hz * (1 + 0.1 * t + 0.02 * Math.sin(2 * Math.PI * 5 * t));
                turn += now / rate;
                track[i / 80] = (float) now;
                for (int h = 1; h < 9; h++) x[0][i] += (0.3 + 0.2 * Math.sin(9 * t)) / h * Math.sin(2 * Math.PI * h * turn + t * h * h);
                x[0][i] += (t > 0.3 && t < 0.5 ? 0.4 : 0.02) * random.nextGaussian();
                x[1][i] = 0.5 * x[0][i] + 0.01 * random.nextGaussian();
            }
            for (int f : new int[] {20, 21, 22, 55, 70, 71}) track[f] = 0;
            PitchTrack pitch = new PitchTrack(80, track);
            double[] mean = new double[8000];
            for (int i = 0; i < 8000; i++) mean[i] = x[0][i] / 2 + x[1][i] / 2;
            for (double most : new double[] {0.1, 0.3}) {
                for (int by : new int[] {5, 30, -100, 200, -700, 3000}) {
                    for (List<long[]> voiced : List.of(List.of(new long[] {0, 8000}),
                            List.of(new long[] {300, 1000}, new long[] {1850, 4300}, new long[] {5000, 7900}),
                            List.of(new long[] {7000, 7200}, new long[] {1600, 1800}, new long[] {4410, 4470}))) {
                        List<Periods.SelfJoin> expected = new Plain(rate, mean, pitch, most).joins(voiced, by),
                                joins = new Periods(new Samples(rate, x), pitch, most).joins(voiced, by);
                        String what = hz + " Hz by " + by + ": " + expected + " but " + joins;
                        assertEquals(expected.size(), joins.size(), what);
                        for (int k = 0; k < joins.size(); k++) {
                            assertEquals(expected.get(k).at(), joins.get(k).at(), what);
                            assertEquals(expected.get(k).lag(), joins.get(k).lag(), what);
                            assertEquals(expected.get(k).width(), joins.get(k).width(), what);
                            assertEquals(expected.get(k).alike(), joins.get(k).alike(), 1e-9);
                        }
                        some += joins.size();
                    }
                }
            }
        }
        assertTrue(some > 100, some + " joins");
    }
}
