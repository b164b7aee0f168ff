package linnet.dsp.align;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Optional;
import java.util.Random;
import java.util.function.LongPredicate;
import linnet.dsp.Samples;
import linnet.dsp.pitch.Decimator;
import linnet.dsp.spectral.Fft;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Cepstra, ways, offsets and pieces from their definitions, short sounds at low rates. */
class AlignPlainTest {
    private static double[] noise(int n, long seed) {
        Random random = new Random(seed);
        double[] x = new double[n];
        for (int i = 0; i < n; i++) x[i] = 0.1 * random.nextGaussian();
        return x;
    }

    /** Syllables: noise through changing resonances, with pauses. */
    private static double[] babble(double rate, double seconds, long seed) {
        double[] x = noise((int) (seconds * rate), seed);
        Random random = new Random(seed);
        double hz = 500, loud = 1, y1 = 0, y2 = 0;
        for (int i = 0; i < x.length; i++) {
            if (i % (int) (0.06 * rate) == 0) {
                hz = 300 + 2500 * random.nextDouble();
                loud = random.nextInt(4) == 0 ? 0.003 : 0.3 + random.nextDouble();
            }
            double y = loud * x[i] + 2 * 0.97 * Math.cos(2 * Math.PI * hz / rate) * y1 - 0.97 * 0.97 * y2;
            y2 = y1;
            x[i] = y1 = y;
        }
        return x;
    }

    /** S. Davis and P. Mermelstein, 1980: triangles evenly wide in mel, logarithms, cosines; and what the class says of floors and means. */
    private static final class Plain {
        final int hop, frames;
        final double[] db;
        final double[][] feature;

        Plain(double rate, double[][] x, LongPredicate wanted) {
            int factor = Math.max(1, (int) Math.round(rate / 24_000)), step = (int) Math.round(0.005 * rate / factor);
            double slowRate = rate / factor;
            int length = Integer.highestOneBit((int) (slowRate / 45)), n = x[0].length;
            hop = step * factor;
            frames = n / hop + 1;
            double[] mean = new double[n + factor * length * 4];
            for (double[] channel : x) for (int i = 0; i < n; i++) mean[i] += channel[i] / x.length;
            double[] slow = new double[mean.length];
            new Decimator(factor, mean.length).decimate(mean, mean.length, slow, 0);
            double low = mel(150), width = (mel(Math.min(6000, 0.45 * slowRate)) - low) / 21, squares = 0;
            double[] hann = new double[length], re = new double[length / 2 + 1], im = new double[length / 2 + 1];
            for (int i = 0; i < length; i++) squares += Math.pow(hann[i] = Math.pow(Math.sin(Math.PI * (i + 0.5) / length), 2), 2);
            Fft fft = new Fft(length);
            db = new double[frames];
            double[][] bands = new double[frames][20];
            for (int f = 0; f < frames; f++) {
                db[f] = -150;
                if (!wanted.test((long) f * hop)) continue;
                double[] frame = new double[length];
                for (int i = 0; i < length; i++) {
                    int at = f * step - length / 2 + i;
                    frame[i] = at < 0 ? 0 : hann[i] * slow[at];
                }
                fft.forward(frame, re, im);
                double all = 1e-15;
                for (int k = 0; k <= length / 2; k++) {
                    double place = (mel(k * slowRate / length) - low) / width, power = 2 * (re[k] * re[k] + im[k] * im[k]) / (length * squares);
                    if (place < 0 || place >= 21) continue;
                    all += power;
                    // Band b has its top at b + 1.
                    for (int b = 0; b < 20; b++) bands[f][b] += Math.max(0, 1 - Math.abs(place - b - 1)) * power;
                }
                db[f] = 10 * Math.log10(all);
            }
            double[] sorted = db.clone();
            Arrays.sort(sorted);
            double loud = sorted[(int) (0.9f * (frames - 1))] - 15;
            double[] usual = new double[20];
            int count = 0;
            for (int f = 0; f < frames; f++) {
                if (db[f] < loud) continue;
                for (int b = 0; b < 20; b++) usual[b] += bands[f][b];
                count++;
            }
            double strongest = Math.max(1e-30, Arrays.stream(usual).max().orElseThrow() / count);
            feature = new double[frames][13];
            double[] means = new double[6];
            for (int f = 0; f < frames; f++) {
                for (int k = 0; k < 6; k++) {
                    for (int b = 0; b < 20; b++) {
                        double floor = Math.pow(10, -4.5) * Math.max(usual[b] / count, 0.003 * strongest);
                        feature[f][k] += Math.sqrt(0.1) * Math.cos(Math.PI * (k + 1) * (b + 0.5) / 20) * Math.log(bands[f][b] + floor) / Math.log(2);
                    }
                    if (db[f] >= loud) means[k] += feature[f][k] / count;
                }
                feature[f][12] = 0.15 * Math.max(-40, Math.min(5, db[f] - loud - 15));
            }
            for (double[] row : feature) for (int k = 0; k < 6; k++) row[k] -= means[k];
            for (int f = 0; f < frames; f++) {
                for (int k = 0; k < 6; k++) feature[f][6 + k] = feature[Math.min(frames - 1, f + 3)][k] - feature[Math.max(0, f - 3)][k];
            }
        }

        static double mel(double hz) {
            return 2595 * Math.log10(1 + hz / 700);
        }
    }

    @ParameterizedTest
    @CsvSource({"8000, 1", "8000, 2", "24000, 1", "48000, 2", "44100, 1"})
    void cepstraAreThoseOfTheirDefinition(double rate, int channels) {
        double[][] x = new double[channels][], y = {babble(rate, 0.8, 9)};
        for (int c = 0; c < channels; c++) x[c] = babble(rate, 1.05, 3 + c);
        for (int i = 0; i < 0.2 * rate; i++) x[0][i] *= 0.001;
        LongPredicate wanted = s -> s < 0.5 * rate || s > 0.6 * rate;
        Plain one = new Plain(rate, x, wanted), two = new Plain(rate, y, s -> true);
        Cepstra own = new Cepstra(new Samples(rate, x), wanted), other = new Cepstra(new Samples(rate, y), s -> true);
        assertEquals(one.hop, own.hop());
        assertEquals(one.frames, own.frames());
        for (int f = 0; f < one.frames; f++) {
            assertEquals(one.db[f], own.db(f), 1e-4, "frame " + f);
            for (int g = f % 7; g < two.frames; g += 7) {
                double sum = 0;
                for (int k = 0; k < 13; k++) sum += Math.pow(one.feature[f][k] - two.feature[g][k], 2);
                assertEquals(Math.sqrt(sum), own.distance(f, other, g), 1e-3, f + " and " + g);
            }
        }
    }

    @Test
    void ofSilenceThereIsNoDistance() {
        Cepstra silent = new Cepstra(new Samples(8000, new double[4000]), s -> true);
        assertEquals(0, silent.distance(3, silent, 20));
        assertEquals(-150, silent.db(7), 1e-4);
        Cepstra unwanted = new Cepstra(new Samples(8000, babble(8000, 0.5, 1)), s -> false);
        assertEquals(0, unwanted.distance(3, silent, 20), 1e-6);
    }

    /** H. Sakoe and S. Chiba, 1978, in whole tables of costs and steps. */
    private static final class Way {
        final Cepstra own, other;
        final int first;
        final int[] way;
        final double strangers;

        Way(Cepstra own, int from, int to, Cepstra other, int reach) {
            this.own = own;
            this.other = other;
            first = from;
            double sum = 0;
            int count = 0, n = to - from + 1;
            for (int i = from; i <= to; i += 7) {
                for (int j = i - reach; j <= i + reach; j += 11) {
                    if (j < 0 || j >= other.frames()) continue;
                    sum += own.distance(i, other, j);
                    count++;
                }
            }
            strangers = count == 0 ? 0 : sum / count;
            int coarse = (n + 3) / 4;
            int[] low = new int[coarse], near = new int[n];
            for (int i = 0; i < coarse; i++) low[i] = (int) Math.floor((from + 4.0 * i - reach) / 4);
            int[] rough = cheapest(coarse, 4, low, 2 * reach / 4 + 1);
            for (int i = 0; i < n; i++) {
                int k = i / 4;
                near[i] = 4 * rough[k] - 10 + (k + 1 < coarse ? (rough[k + 1] - rough[k]) * (i - 4 * k) : 0);
            }
            way = cheapest(n, 1, near, 21);
        }

        double far(int i, int j) {
            return own.distance(Math.min(i, own.frames() - 1), other, Math.max(0, Math.min(other.frames() - 1, j)));
        }

        int[] cheapest(int n, int grid, int[] low, int width) {
            double[][] cost = new double[n][width];
            int[][] step = new int[n][width];
            for (int i = 0; i < n; i++) {
                for (int w = 0; w < width; w++) {
                    int j = low[i] + w;
                    double here = far(first + i * grid, j * grid);
                    if (i == 0) {
                        cost[i][w] = here;
                        continue;
                    }
                    double straight = at(cost, low, i - 1, j - 1) + here, best = 1e30;
                    double two = w == 0 ? 1e30 : at(cost, low, i - 1, j - 2) + (here + far(first + i * grid, (j - 1) * grid)) / 2 + 0.05 * strangers;
                    boolean inside = i > 1 && j >= low[i - 1] && j < low[i - 1] + width;
                    double half = !inside ? 1e30 : at(cost, low, i - 2, j - 1) + far(first + (i - 1) * grid, j * grid) + here + 0.05 * strangers;
                    for (int k = 1; k <= 3; k++) {
                        double sum = k == 1 ? straight : k == 2 ? two : half;
                        if (sum >= best) continue;
                        best = sum;
                        step[i][w] = k;
                    }
                    cost[i][w] = best;
                }
            }
            int w = 0;
            for (int k = 1; k < width; k++) if (cost[n - 1][k] < cost[n - 1][w]) w = k;
            int[] found = new int[n];
            int i = n - 1, j = low[n - 1] + w;
            while (i >= 0) {
                found[i] = j;
                int k = step[i][j - low[i]];
                if (k == 0) {
                    for (int rest = 0; rest < i; rest++) found[rest] = j;
                    break;
                }
                if (k == 3) found[i - 1] = j;
                j -= k == 2 ? 2 : 1;
                i -= k == 3 ? 2 : 1;
            }
            return found;
        }

        static double at(double[][] cost, int[] low, int i, int j) {
            return j < low[i] || j >= low[i] + cost[i].length ? 1e30 : cost[i][j - low[i]];
        }

        double smooth(int i) {
            int reach = Math.min(2, Math.min(i, way.length - 1 - i));
            return Arrays.stream(way, i - reach, i + reach + 1).average().orElseThrow();
        }

        double at(double sample) {
            double place = sample / own.hop() - first;
            int n = way.length;
            double held = Math.max(0, Math.min(n - 1, place));
            int i = (int) Math.min(n - 2, Math.floor(held));
            return other.hop() * (smooth(i) + (held - i) * (smooth(i + 1) - smooth(i)) + place - held);
        }

        double unlikeness(int from, int to) {
            double sum = 0;
            for (int i = from; i < to; i++) sum += far(first + i, way[i]);
            return sum / (to - from) / strangers;
        }
    }

    /** The second says the same sooner and later than the first, at times twice as fast and half as fast, and something else at its end. */
    @ParameterizedTest
    @CsvSource({"5, 300, 40, 8000", "0, 150, 25, 8000", "20, 21, 12, 8000", "200, 399, 60, 8000", "100, 330, 7, 8000", "0, 399, 90, 8000",
            "30, 203, 30, 16000"})
    void theWayIsTheCheapest(int from, int to, int reach, double otherRate) {
        double rate = 8000;
        double[] x = babble(rate, 2, 4), y = new double[(int) (2.2 * rate)];
        for (int i = 0; i < y.length; i++) {
            double t = i / rate, there = t < 0.5 ? t + 0.03 : t < 0.8 ? 0.53 + 1.7 * (t - 0.5) : t < 1.3 ? 1.04 + 0.6 * (t - 0.8) : t;
            int at = (int) (there * rate);
            y[i] = at < x.length ? x[at] : 0;
        }
        Cepstra own = new Cepstra(new Samples(rate, x), s -> true), other = new Cepstra(new Samples(otherRate, y), s -> true);
        TimeWarp warp = TimeWarp.all(own, from, to, 0, other, reach, 40).get(0);
        Way plain = new Way(own, from, to, other, reach);
        assertEquals(plain.unlikeness(0, to - from + 1), warp.unlikeness(), 1e-9);
        for (int s = -800; s < 18_000; s += 37) assertEquals(plain.at(s), warp.at(s), 1e-6, "at " + s);
        for (int[] part : new int[][] {{0, 5}, {3, to - from}, {(to - from) / 2, to - from + 1}}) {
            if (part[1] <= part[0]) continue;
            assertEquals(plain.unlikeness(part[0], Math.min(to - from + 1, part[1])),
                    warp.unlikeness((from + part[0]) * 40L, (from + part[1] - 1) * 40L), 1e-9);
        }
        assertEquals(1, warp.unlikeness((to + 5) * 40L, (to + 9) * 40L));
        assertEquals(1, warp.unlikeness(to * 40L, (to - 1) * 40L));
    }

    /** Cross-correlation with the phase transform (C. Knapp, G. Carter, 1976), by the definition of the transform. */
    private static Optional<Offset> offset(double rate, double[][] one, double[][] other) {
        int farthest = (int) Math.round(rate), length = Math.max(one[0].length, other[0].length), size = 1;
        while (2 * size <= 2 * (length + farthest) - 1) size *= 2;
        Fft fft = new Fft(size);
        int bins = size / 2 + 1;
        double[][] a = new double[2][bins], b = new double[2][bins];
        fft.forward(faded(rate, one, size), a[0], a[1]);
        fft.forward(faded(rate, other, size), b[0], b[1]);
        double[] re = new double[bins], im = new double[bins], x = new double[size];
        double strongest = 0;
        for (int k = 0; k < bins; k++) {
            re[k] = a[0][k] * b[0][k] + a[1][k] * b[1][k];
            im[k] = a[0][k] * b[1][k] - a[1][k] * b[0][k];
            strongest = Math.max(strongest, Math.hypot(re[k], im[k]));
        }
        for (int k = 0; k < bins; k++) {
            double size2 = Math.hypot(re[k], im[k]);
            re[k] = size2 > 1e-10 * strongest ? re[k] / size2 : 0;
            im[k] = size2 > 1e-10 * strongest ? im[k] / size2 : 0;
        }
        fft.inverse(re, im, x);
        int width = (int) Math.round(0.002 * rate), peak = 0;
        double most = -1, next = 0, upright = 0;
        for (int lag = -farthest; lag <= farthest; lag++) {
            if (Math.abs(x[Math.floorMod(lag, size)]) <= most) continue;
            most = Math.abs(x[Math.floorMod(lag, size)]);
            peak = lag;
        }
        for (int lag = -farthest; lag <= farthest; lag++) if (Math.abs(lag - peak) > width) next = Math.max(next, Math.abs(x[Math.floorMod(lag, size)]));
        for (int lag = peak - width; lag <= peak + width; lag++) upright = Math.max(upright, x[Math.floorMod(lag, size)]);
        return most > 0 && next <= 0.5 * most ? Optional.of(new Offset(peak, upright < 0.5 * most)) : Optional.empty();
    }

    private static double[] faded(double rate, double[][] x, int size) {
        int n = x[0].length, fade = (int) Math.min(n / 2, Math.round(0.05 * rate));
        double[] y = new double[size];
        for (int i = 0; i < n; i++) {
            double edge = Math.min(1, (Math.min(i, n - 1 - i) + 0.5) / fade);
            y[i] = Math.pow(Math.sin(Math.PI / 2 * edge), 2) * (x.length == 2 ? x[0][i] + x[1][i] : x[0][i]);
        }
        return y;
    }

    /** Noise beside noise with a share in common: from none to all; the other may be upside down, and so may one of its channels. */
    @Test
    void offsetsAreThoseOfTheirDefinition() {
        double rate = 2000;
        int found = 0, none = 0;
        for (int seed = 0; seed < 40; seed++) {
            int n = 1200 + 100 * seed, by = 97 * seed - 1900;
            double share = seed % 8 / 7.0, sign = seed % 3 == 0 ? -1 : 1;
            double[] origin = noise(9000, seed), x = Arrays.copyOfRange(origin, 2000, 2000 + n), y = noise(n - 5 * seed, 100 + seed);
            for (int i = 0; i < y.length; i++) y[i] = (1 - share) * y[i] + sign * share * origin[2000 + i - Math.min(1999, by)];
            double[][] one = seed % 4 == 1 ? new double[][] {x, noise(n, 7)} : new double[][] {x},
                    other = seed % 5 == 2 ? new double[][] {y, y.clone()} : new double[][] {y};
            if (seed % 6 == 4) for (int i = 3; i < y.length; i++) y[i] += 0.9 * y[i - 3];
            Optional<Offset> expected = offset(rate, one, other);
            assertEquals(expected, Offset.between(new Samples(rate, one), new Samples(rate, other)), "seed " + seed);
            if (expected.isPresent()) found++;
            else none++;
        }
        assertTrue(found > 10 && none > 10, found + " found");
        for (int n : new int[] {0, 1, 2, 50}) {
            assertEquals(Optional.empty(), Offset.between(new Samples(rate, new double[Math.max(1, n)]), new Samples(rate, noise(300, 1))));
        }
        // As far as it looks, and one further.
        double[] x = noise(6000, 3);
        for (int by : new int[] {2000, -2000, 2001, -2001}) {
            double[] moved = new double[6000 + 2001];
            for (int i = 0; i < moved.length; i++) moved[i] = i - by >= 0 && i - by < 6000 ? x[i - by] : 0;
            double[] whole = Arrays.copyOfRange(moved, 0, 6000 + Math.max(0, by));
            assertEquals(offset(rate, new double[][] {x}, new double[][] {whole}), Offset.between(new Samples(rate, x), new Samples(rate, whole)), "by " + by);
        }
    }

    /** Sample by sample: which piece, or which share of two, at a level that keeps their power. */
    @Test
    void piecesAreWhatTheyAreJoinedFrom() {
        double[][] take = {noise(900, 1), noise(900, 2)}, other = {noise(300, 3), noise(300, 4)};
        Samples sound = new Samples(8000, take), insert = new Samples(8000, other);
        Pieces.Builder builder = new Pieces.Builder(sound);
        assertEquals(0, builder.shift());
        long[] at = {200, 400, 461, 700}, shift = {30, 350, -20, 60};
        int[] width = {51, 40, 81, 100};
        double[] alike = {0.4, 0, 1.7, -3};
        assertThrows(IllegalArgumentException.class, () -> new Pieces.Builder(sound).join(200, 51, 30, 0).join(245, 40, 0, 0));
        builder.join(200, 51, 30, 0.4);
        assertEquals(226, builder.end());
        assertEquals(30, builder.shift());
        builder.join(400, 40, insert, 350, 0);
        builder.join(461, 81, -20, 1.7).join(700, 100, 60, -3);
        assertEquals(750, builder.end());
        Pieces pieces = builder.build();
        assertEquals(960, pieces.frames());
        assertEquals(900, new Pieces.Builder(sound).join(200, 50, -70, 0).build().frames());
        assertEquals(8000, pieces.rate());
        assertEquals(2, pieces.channels());
        assertEquals(5, pieces.count());
        for (int cut : new int[] {1000, 1, 33}) {
            for (int from = -20; from < 980; from += cut) {
                double[][] y = new double[2][cut];
                pieces.read(from, y, cut);
                for (int i = 0; i < cut; i++) {
                    int t = from + i, k = -1;
                    while (k + 1 < 4 && t >= at[k + 1] - width[k + 1] / 2) k++;
                    for (int c = 0; c < 2; c++) {
                        double expected = piece(take, other, shift, k, c, t);
                        if (k >= 0 && t < at[k] - width[k] / 2 + width[k]) {
                            double in = Math.pow(Math.sin(Math.PI / 2 * (t - at[k] + width[k] / 2 + 0.5) / width[k]), 2), out = 1 - in,
                                    r = Math.max(0, Math.min(1, alike[k]));
                            expected = (in * expected + out * piece(take, other, shift, k - 1, c, t)) / Math.sqrt(in * in + out * out + 2 * r * in * out);
                            assertEquals(expected, y[c][i], 1e-14, "at " + t);
                        } else {
                            assertEquals(expected, y[c][i], 0, "at " + t);
                        }
                    }
                }
            }
        }
        // In the first piece that has it, or at the beginning of what comes after it.
        assertEquals(100, pieces.place(100));
        assertEquals(169, pieces.place(169));
        assertEquals(230, pieces.place(200));
        assertEquals(399, pieces.place(369));
        assertEquals(461, pieces.place(370));
        assertEquals(461, pieces.place(480));
        assertEquals(480, pieces.place(500));
        assertEquals(699, pieces.place(719));
        assertEquals(780, pieces.place(720));
        assertEquals(-50, pieces.place(-50));
        Pieces ends = new Pieces.Builder(sound).join(400, 40, insert, 350, 0).build();
        assertEquals(399, ends.place(399));
        assertEquals(400, ends.place(400));
        assertEquals(400, ends.place(700));
    }

    /** Piece k of the sounds; the first, -1, is the sound itself. */
    private static double piece(double[][] take, double[][] other, long[] shift, int k, int c, int t) {
        double[] x = k == 1 ? other[c] : take[c];
        long at = t - (k < 0 ? 0 : shift[k]);
        return at < 0 || at >= x.length ? 0 : x[(int) at];
    }
}
