package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import linnet.dsp.Samples;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Butterworth;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Every sample of a bent voice from the definition: which grains there are, and each read between its samples by the formula of the sinc. */
class ResynthesisPlainTest {
    private record Grain(double out, double source, double period, double speed, boolean far, boolean still) {}

    /** Grains of the passages, from marks (E. Moulines, F. Charpentier, Speech Communication 9, 1990); the rest is the sound itself. */
    private static final class Plain {
        final double rate;
        final double[][] x;
        final Bend bend, formants;
        final PitchTrack pitch;
        final List<List<Grain>> passages = new ArrayList<>();
        final List<long[]> refused = new ArrayList<>();
        double fastest = 1;

        Plain(double rate, double[][] x, PitchTrack pitch, Bend bend, Bend formants) {
            this.rate = rate;
            this.x = x;
            this.bend = bend;
            this.pitch = pitch;
            this.formants = formants;
            MarkTracker tracker = new MarkTracker(new Samples(rate, x), pitch);
            for (int f = 0, to; f < pitch.frames(); f = to + 1) {
                for (to = f; pitch.voiced(to); to++) {}
                // Gaps of up to 60 ms are the voice's.
                for (int gap = 1; gap * pitch.hop() <= 0.06 * rate && to > f; gap++) {
                    if (!pitch.voiced(to + gap)) continue;
                    to += gap;
                    gap = 0;
                    while (pitch.voiced(to)) to++;
                }
                long from = (long) f * pitch.hop(), end = Math.min(x[0].length, (long) to * pitch.hop());
                if (to == f || !bends(from, end)) continue;
                PitchMarks marks = new PitchMarks();
                tracker.follow(from, end, marks);
                double sure = from;
                for (int r = 0; r < marks.runs(); r++) {
                    double[] run = marks.run(r);
                    refuse(sure, run[0]);
                    sure = run[run.length - 1];
                    int next = to;
                    while (next < pitch.frames() && !pitch.voiced(next)) next++;
                    run(run, r + 1 < marks.runs() ? (long) marks.run(r + 1)[0] : Math.min(x[0].length, (long) next * pitch.hop()));
                }
                refuse(sure, end);
            }
            for (List<Grain> p : passages) for (Grain g : p) fastest = Math.max(fastest, g.speed);
        }

        boolean bends(long from, long to) {
            for (long t = from; t < to; t += 64) if (bend.ratio(t) != 1 || formants.ratio(t) != 1) return true;
            return false;
        }

        void refuse(double from, double to) {
            if (to - from >= 0.03 * rate && bends((long) from, (long) to)
                    && java.util.stream.IntStream.range((int) (from / pitch.hop()), (int) Math.ceil(to / pitch.hop())).filter(pitch::voiced)
                    .count() * pitch.hop() >= 0.03 * rate) {
                refused.add(new long[] {(long) from, (long) to});
            }
        }

        void run(double[] marks, long again) {
            int n = marks.length - 1;
            double[] ratio = new double[n], tract = new double[n];
            for (int i = 0; i < n; i++) {
                long middle = Math.round((marks[i] + marks[i + 1]) / 2);
                ratio[i] = Math.min(2, Math.max(0.5, bend.ratio(middle)));
                tract[i] = Math.min(2, Math.max(0.5, formants.ratio(middle)));
            }
            for (int i = 0; i < n; ) {
                if (ratio[i] == 1 && tract[i] == 1) {
                    i++;
                    continue;
                }
                // A passage goes on where the next bent period begins less than 80 ms after the last.
                int end = i + 1;
                for (int k = end; k < n && marks[k] - marks[end] < 0.08 * rate; k++) if (ratio[k] != 1 || tract[k] != 1) end = k + 1;
                passages.add(passage(marks, Arrays.copyOfRange(ratio, i, end), Arrays.copyOfRange(tract, i, end), i, again));
                i = end;
            }
        }

        List<Grain> passage(double[] marks, double[] ratio, double[] tract, int from, long again) {
            int n = ratio.length, to = from + n, home = n - 1;
            boolean ends = to == marks.length - 1;
            if (!ends) while (home > 0 && marks[to] - marks[from + home] < 0.15 * rate) home--;
            double[] wanted = ratio.clone();
            double sum = Arrays.stream(ratio).sum(), periods = Math.max(1, Math.round(sum)), off = periods - sum;
            // Where the voice ends, nothing is made up for: what follows is so many samples later, up to where it is least unlike itself.
            int late = (int) Math.round(off / ratio[n - 1] * (marks[to] - marks[to - 1]));
            long back = ends ? back(marks[to], marks[to] - marks[to - 1], late, again) : -1;
            if (back >= 0) off = 0;
            // Or over as few of the last as leave none off by more than 7 %, under a parabola of one and a half times its mean.
            if (ends && bend.slidesHome()) while (home > 0 && 1.5 * Math.abs(off) > 0.07 * (n - home)) home--;
            double most = ends ? 0 : 0.00144, even = Math.max(-most, Math.min(most, off / n));
            double[] bump = new double[n];
            for (int i = home; i < n; i++) bump[i] = (i + 0.5 - home) * (n - i - 0.5);
            double weight = Arrays.stream(bump).sum();
            for (int i = 0; i < n; i++) ratio[i] += even + (off - even * n) * bump[i] / weight;
            List<Grain> grains = new ArrayList<>();
            double[] place = new double[(int) periods + 1], reading = new double[(int) periods];
            int[] mark = new int[(int) periods + 1];
            boolean[] far = new boolean[(int) periods];
            for (int j = 0; j < periods; j++) {
                double passed = 0;
                int i = 0;
                while (i + 1 < n && passed + ratio[i] < j) passed += ratio[i++];
                double way = Math.max(0, Math.min(1, (j - passed) / ratio[i]));
                place[j] = marks[from + i] + way * (marks[from + i + 1] - marks[from + i]);
                mark[j] = way < 0.5 ? from + i : from + i + 1;
                reading[j] = j == 0 ? 1 : tract[i];
                far[j] = wanted[i] < 0.6;
            }
            place[(int) periods] = marks[to];
            mark[(int) periods] = to;
            strikeOnce(marks, place, mark);
            for (int j = 0; j < periods; j++) grains.add(grain(place[j], marks, mark[j], reading[j], far[j]));
            if (back < 0) {
                grains.add(grain(marks[to], marks, to, 1, false));
                return grains;
            }
            Grain last = grain(marks[to] + late, marks, to, 1, false);
            grains.add(new Grain(last.out, last.source, last.period, 1, false, true));
            int width = (int) (0.015 * rate);
            grains.add(new Grain(back, back - late, width, 1, false, true));
            grains.add(new Grain(back + width, back + width, width, 1, false, true));
            return grains;
        }

        int struck;

        /** A burst is heard by the grain that is set nearest to its mark, and by no other; one on the border of two periods by two grains. */
        void strikeOnce(double[] marks, double[] place, int[] mark) {
            double[] bursts = bursts(marks);
            int last = place.length - 1, first = mark[0], to = mark[last];
            for (int m = first; m <= to; m++) {
                if (Double.isNaN(bursts[m])) continue;
                struck++;
                int own = 0;
                for (int j = 1; j <= last && Math.abs(place[j] - marks[m]) < Math.abs(place[j - 1] - marks[m]); j++) own = j;
                boolean pair = m < to && !Double.isNaN(bursts[m + 1]);
                boolean wide = place[Math.min(own + 1, last)] - place[Math.max(own - 1, 0)] > 1.25 * (marks[m + 1] - marks[m - 1]);
                // Set far apart, a grain holds what is late in the period before it and what is early in the one after it.
                int latest = wide && bursts[m] < marks[m] ? m - 2 : m - 1, soonest = pair || wide && bursts[m] > marks[m] ? m + 2 : m + 1;
                for (int j = 1; j < last; j++) {
                    if (j < own && mark[j] > latest) mark[j] = latest;
                    if (j == own) mark[j] = m;
                    int least = pair && !wide && j == own + 1 ? m + 1 : soonest;
                    if (j > own && mark[j] < least) mark[j] = least;
                }
                // Above 4.5 kHz the take's own is heard from the mark before to the mark after, there and where the grain would have it.
                int after = pair ? m + 2 : m + 1;
                double moved = place[own] - marks[m], edge = 0.25 * (marks[after] - marks[m - 1]) / (after - m + 1);
                around.add(new double[] {marks[m - 1] + Math.min(0, moved), marks[after] + Math.max(0, moved), edge});
                if (pair) m++;
            }
        }

        final List<double[]> around = new ArrayList<>();

        /** Of a sample that is bent between two grains, with their weights and what is taken from it as their mean. */
        double withBursts(int c, long t, double bent, Grain a, Grain b, double[] w, double off) {
            double y = bent;
            for (double[] burst : around) {
                double share = half(Math.min(t - burst[0], burst[1] - t) / burst[2] - 0.5);
                if (share == 0) continue;
                double below = w[0] * belowOnceRead(c, a, t) + w[1] * belowOnceRead(c, b, t) - off, high = x[c][(int) t] - below(c, t, 64);
                y = below + (1 - share) * (y - below) + share * high;
            }
            return y;
        }

        /** What of a grain lies below 4.5 kHz when it is read at its speed, to an eighth of an octave. */
        double belowOnceRead(int c, Grain g, long t) {
            double eighths = Math.round(8 * Math.log(g.speed) / Math.log(2));
            return Sinc.read(x[c], g.source + (t - g.out) * g.speed, Math.min(0.9, 9000 * Math.pow(2, -eighths / 8) / rate), 64, 40);
        }

        /** What lies below 4.5 kHz, by so many samples on either side. */
        double below(int c, double at, int side) {
            return Sinc.read(x[c], at, Math.min(0.9, 9000 / rate), side, 40);
        }

        /** Middles of bursts: above 4.5 kHz a period has over eight times the energy of the second before it and the second after. */
        double[] bursts(double[] marks) {
            int n = marks.length;
            double[] at = new double[n], energy = new double[n];
            Arrays.fill(at, Double.NaN);
            if (rate < 10_000) return at;
            double[][] high = Arrays.stream(x).map(this::high).toArray(double[][]::new);
            for (int m = 0; m < n; m++) {
                double begin = m == 0 ? marks[0] : marks[m - 1] + 0.6 * (marks[m] - marks[m - 1]);
                double end = m == n - 1 ? Math.floor(marks[m]) : marks[m] + 0.6 * (marks[m + 1] - marks[m]), sum = 0;
                for (double[] h : high) {
                    for (int t = (int) Math.ceil(begin); t < end; t++) {
                        energy[m] += h[t] * h[t];
                        sum += t * h[t] * h[t];
                    }
                }
                at[m] = sum / energy[m];
            }
            for (int m = 0; m < n; m++) if (m < 2 || m > n - 3 || energy[m] <= 8 * energy[m - 2] || energy[m] <= 8 * energy[m + 2]) at[m] = Double.NaN;
            return at;
        }

        /** Fourth-order Butterworth, straight from the difference equation. */
        double[] high(double[] in) {
            double[] high = in.clone();
            for (Biquad q : Butterworth.highPass(rate, 4500, 4)) {
                double x1 = 0, x2 = 0, y1 = 0, y2 = 0;
                for (int i = 0; i < high.length; i++) {
                    double now = high[i], y = q.b0() * now + q.b1() * x1 + q.b2() * x2 - q.a1() * y1 - q.a2() * y2;
                    x2 = x1;
                    x1 = now;
                    y2 = y1;
                    y1 = high[i] = y;
                }
            }
            return high;
        }

        /**
         * Where what comes after a voice comes back into time, from one period after it to 150 ms; -1 where it is more than a third as unlike itself as the
         * voice was loud.
         */
        long back(double last, double period, int late, long again) {
            int width = (int) (0.015 * rate);
            double voice = 0, least = Double.POSITIVE_INFINITY;
            for (long t = (long) last - width; t < (long) last; t++) for (double[] c : x) voice += c[(int) t] * c[(int) t];
            long best = -1;
            for (long q = (long) Math.ceil(last + period + Math.max(0, late)); q + width <= Math.min(again, (long) (last + 0.15 * rate)); q++) {
                double unlike = 0;
                for (long t = q; t < q + width; t++) {
                    for (double[] c : x) {
                        double d = late == 0 ? c[(int) t] : c[(int) t] - (t - late < c.length ? c[(int) t - late] : 0);
                        unlike += d * d;
                    }
                }
                if (unlike < least) {
                    least = unlike;
                    best = q;
                }
            }
            if (best < 0) return again == x[0].length ? again : -1;
            return least > voice / 3 ? -1 : best;
        }

        Grain grain(double place, double[] marks, int mark, double speed, boolean far) {
            double period = mark == 0 ? marks[1] - marks[0] : mark == marks.length - 1 ? marks[mark] - marks[mark - 1]
                    : (marks[mark + 1] - marks[mark - 1]) / 2;
            double out = Math.rint(place * 65536) / 65536, source = Math.rint(marks[mark] * 65536) / 65536;
            return new Grain(out, source, period, speed, far, out == source && speed == 1);
        }

        /** Weight of a grain where it gives way to the next, and of the next. */
        double[] weights(Grain a, Grain b, long t) {
            double space = b.out - a.out, whole = Math.min(a.period / a.speed, b.period / b.speed);
            // A pulse of the sound lies between: one grain ends one period after its mark, the next begins two thirds of one before its own.
            boolean parted = a.far && space > whole / 0.6;
            double width = parted ? 0.2 * whole : 0.6 * Math.max(whole / 4, Math.min(space, 2 * whole - space));
            double over = half((t - a.out - (parted ? whole : 0.6 * space)) / width);
            return new double[] {1 - over, parted ? half((t - b.out + 2 / 3.0 * whole) / width) : over};
        }

        double half(double z) {
            return 0.5 + 0.5 * Math.sin(Math.PI * Math.max(-0.5, Math.min(0.5, z)));
        }

        final Map<Grain, double[]> means = new IdentityHashMap<>();

        /** What a grain, read on straight lines between samples, averages to, less what the sound does under a raised cosine of two periods at its mark. */
        double mean(int c, List<Grain> p, int k) {
            if (k < 0 || k >= p.size() || p.get(k).still) return 0;
            double[] known = means.computeIfAbsent(p.get(k), g -> {
                double[] m = new double[x.length];
                Arrays.fill(m, Double.NaN);
                return m;
            });
            if (!Double.isNaN(known[c])) return known[c];
            Grain g = p.get(k);
            double sum = 0, weights = 0, slow = 0, cosines = 0;
            for (long t = (long) Math.ceil(p.get(k - 1).out); t < p.get(k + 1).out; t++) {
                double w = t < g.out ? weights(p.get(k - 1), g, t)[1] : weights(g, p.get(k + 1), t)[0];
                double at = g.source + (t - g.out) * g.speed, before = Math.floor(at);
                sum += w * ((1 - at + before) * sample(c, (int) before) + (at - before) * sample(c, (int) before + 1));
                weights += w;
            }
            for (long t = (long) Math.ceil(g.source - g.period); t < g.source + g.period; t++) {
                double w = 0.5 + 0.5 * Math.cos(Math.PI * (t - g.source) / g.period);
                slow += w * sample(c, (int) t);
                cosines += w;
            }
            return known[c] = sum / weights - slow / cosines;
        }

        double sample(int c, int t) {
            return t < 0 || t >= x[c].length ? 0 : x[c][t];
        }

        /** Evened over five grains. */
        double offset(int c, List<Grain> p, int k) {
            if (p.get(k).still) return 0;
            return (mean(c, p, k - 2) + 2 * mean(c, p, k - 1) + 3 * mean(c, p, k) + 2 * mean(c, p, k + 1) + mean(c, p, k + 2)) / 9;
        }

        /** Whether the last sample is the sound's own. */
        boolean own;

        double at(int c, long t) {
            own = true;
            for (List<Grain> p : passages) {
                for (int k = 0; k + 1 < p.size(); k++) {
                    Grain a = p.get(k), b = p.get(k + 1);
                    if (t < a.out || t >= b.out) continue;
                    own = false;
                    double[] w = weights(a, b, t);
                    double all = w[0] * grainAt(c, a, t, 0) + w[1] * grainAt(c, b, t, 0);
                    double off = w[0] * offset(c, p, k) + w[1] * offset(c, p, k + 1);
                    boolean parted = a.far && b.out - a.out > Math.min(a.period / a.speed, b.period / b.speed) / 0.6;
                    if (parted) return withBursts(c, t, all - off, a, b, w, off);
                    own = a.out == a.source && b.out == b.source && a.speed == 1 && b.speed == 1;
                    if (own) return x[c][(int) t];
                    double in = w[1], middle = a.out + 0.6 * (b.out - a.out);
                    double apart = Math.abs(b.source + (middle - b.out) * b.speed - a.source - (middle - a.out) * a.speed);
                    double alike = Math.max(0, 1 - apart / (60e-6 * rate));
                    double low = w[0] * grainAt(c, a, t, 16) + w[1] * grainAt(c, b, t, 16);
                    return withBursts(c, t, low - off + (all - low) / Math.sqrt(1 - 2 * in * (1 - in) * (1 - alike)), a, b, w, off);
                }
            }
            return x[c][(int) t];
        }

        /** All of it, or what lies below 4.5 kHz by so many samples on either side. */
        double grainAt(int c, Grain g, long t, int side) {
            double at = g.source + (t - g.out) * g.speed;
            if (side > 0) return below(c, at, side);
            return g.speed > 1 ? Sinc.read(x[c], at, 1 / fastest, (int) Math.ceil(16 * fastest), 80) : Sinc.read(x[c], at, 1, 16, 80);
        }
    }

    /** Noise, a hoarse vowel with a vibrato, noise; in two channels it is the same and a little else. */
    private static double[][] sound(double rate, double hz, int channels) {
        double[][] x = new double[channels][(int) (0.4 * rate)];
        Random random = new Random(4);
        for (int c = 0; c < channels; c++) {
            double turn = 0;
            for (int i = 0; i < x[c].length; i++) {
                double t = i / rate;
                turn += hz(hz, t) / rate;
                x[c][i] = 0.01 * random.nextGaussian();
                if (t < 0.06 || t > 0.36) continue;
                for (int h = 1; h * hz < 3000; h++) x[c][i] += 0.2 / h * Math.sin(2 * Math.PI * h * turn + 0.3 * h * h);
                // A tick at another part of the period each time, now and then over two.
                int tick = i % (int) (0.031 * rate);
                if (tick < 6) x[c][i] += 0.3 * (tick % 2 == 0 ? 1 : -1);
                // A breath in which no period is sure.
                if (t > 0.22 && t < 0.27) x[c][i] = 0.2 * random.nextGaussian();
            }
        }
        return x;
    }

    private static double hz(double hz, double t) {
        return hz * (1 + 0.02 * Math.sin(2 * Math.PI * 5 * t));
    }

    private static PitchTrack track(double rate, double hz) {
        float[] track = new float[40];
        for (int f = 6; f < 36; f++) track[f] = (float) hz(hz, (f + 0.5) / 100);
        return new PitchTrack((int) Math.round(rate / 100), track);
    }

    private static double cents(double cents) {
        return Math.pow(2, cents / 1200);
    }

    private static Bend bend(String name, double rate) {
        return switch (name) {
            case "up" -> s -> cents(180);
            case "down" -> s -> cents(-250);
            case "far" -> s -> 5;
            case "deep" -> s -> 0.1;
            case "low" -> s -> 0.57;
            case "glide" -> s -> cents(-100 + 300 * s / (0.4 * rate));
            // Bent near 0.1 s, again 50 ms later and not again for more than 80 ms; the voice goes on.
            case "pieces" -> s -> s > 0.08 * rate && s < 0.105 * rate || s > 0.155 * rate && s < 0.17 * rate || s > 0.3 * rate && s < 0.32 * rate
                    ? cents(70) : 1;
            case "early" -> s -> s > 0.07 * rate && s < 0.09 * rate ? cents(-60) : 1;
            case "slow" -> s -> 0.8;
            case "fast" -> s -> 1.25;
            case "home" -> new Bend() {
                @Override
                public double ratio(long sample) {
                    return cents(30);
                }

                @Override
                public boolean slidesHome() {
                    return true;
                }
            };
            case "late" -> s -> s > 0.3 * rate ? 1.1 : 1;
            default -> s -> 1;
        };
    }

    @ParameterizedTest
    @CsvSource({"16000, 200, 1, up, none, 480", "16000, 200, 2, down, none, 100", "24000, 330, 1, glide, none, 480", "16000, 200, 1, pieces, none, 480",
            "16000, 150, 1, none, fast, 480",
        "16000, 150, 1, up, slow, 7", "24000, 220, 1, early, late, 480", "16000, 200, 1, far, none, 480", "16000, 200, 2, deep, none, 480",
                "16000, 160, 1, low, fast, 100", "16000, 160, 1, low, slow, 480", "8000, 200, 1, up, none, 480", "16000, 200, 1, home, none, 480",
                "16000, 150, 1, home, none, 480"})
    void eachSampleIsThatOfTheDefinition(double rate, double hz, int channels, String bend, String formants, int cut) {
        double[][] x = sound(rate, hz, channels);
        PitchTrack track = track(rate, hz);
        Plain plain = new Plain(rate, x, track, bend(bend, rate), bend(formants, rate));
        Resynthesis r = new Resynthesis(new Samples(rate, x), track, bend(bend, rate), bend(formants, rate));
        assertTrue(plain.struck > 0 || rate < 10_000, "ticks are struck");
        assertEquals(plain.refused.size(), r.refused().size());
        for (int k = 0; k < plain.refused.size(); k++) {
            assertEquals(plain.refused.get(k)[0], r.refused().get(k).from());
            assertEquals(plain.refused.get(k)[1], r.refused().get(k).to());
        }
        int n = x[0].length, bent = 0;
        double[][] block = new double[channels][cut];
        for (int from = 0; from < n; from += cut) {
            int m = Math.min(cut, n - from);
            r.read(from, block, m);
            for (int c = 0; c < channels; c++) {
                for (int i = Math.floorMod(-from, 7); i < m; i += 7) {
                    double expected = plain.at(c, from + i);
                    if (expected != x[c][from + i]) bent++;
                    // Weights on straight lines between 256 places, periods and speeds in short numbers, a sine within 4e-6.
                    assertEquals(expected, block[c][i], plain.own ? 0 : 2e-5, "channel " + c + ", sample " + (from + i));
                }
            }
        }
        assertTrue(plain.passages.size() > 0 && bent > 0.003 * rate, bent + " of every 7th sample bent");
    }

    /** Read from anywhere: each call on its own. */
    @Test
    void timeMayBeReadInAnyOrder() {
        double[][] x = sound(16000, 200, 1);
        PitchTrack track = track(16000, 200);
        Resynthesis r = new Resynthesis(new Samples(16000, x), track, s -> cents(120), 1);
        double[][] whole = new double[1][x[0].length], piece = new double[1][300];
        r.read(0, whole, x[0].length);
        for (int from : new int[] {6000, 1000, 1100, 5000, 5900, 0, 6100, 1300}) {
            r.read(from, piece, 300);
            for (int i = 0; i < 300; i++) assertEquals(whole[0][from + i], piece[0][i], 0, from + " + " + i);
        }
    }

    /** A long passage in a longer voice: what is over of a period is made up for in its last 0.15 s, after a beginning that is never sure. */
    @Test
    void aLongPassageComesHome() {
        double rate = 8000;
        double[] x = new double[8000];
        Random random = new Random(9);
        double turn = 0;
        for (int i = 0; i < x.length; i++) {
            turn += hz(190, i / rate) / rate;
            for (int h = 1; h < 9; h++) x[i] += 0.2 / h * Math.sin(2 * Math.PI * h * turn + h * h);
            if (i < 700) x[i] = 0.2 * random.nextGaussian();
        }
        float[] hz = new float[100];
        for (int f = 0; f < 100; f++) hz[f] = (float) hz(190, (f + 0.5) / 100);
        PitchTrack track = new PitchTrack(80, hz);
        for (double ratio : new double[] {1.103, 0.931, 1.0005, 0.633}) {
            Bend bend = s -> s < 6000 ? ratio + 0.003 * Math.sin(s / 900.0) : 1;
            Plain plain = new Plain(rate, new double[][] {x}, track, bend, s -> 1);
            Resynthesis r = new Resynthesis(new Samples(rate, x), track, bend, 1);
            assertEquals(plain.refused.size(), r.refused().size());
            assertTrue(plain.refused.size() > 0 && plain.refused.get(0)[0] == r.refused().get(0).from(), "the beginning is told");
            double[][] y = new double[1][x.length];
            r.read(0, y, x.length);
            for (int i = 0; i < x.length; i += 7) {
                double expected = plain.at(0, i);
                assertEquals(expected, y[0][i], plain.own ? 0 : 2e-5, ratio + ", sample " + i);
            }
        }
    }

    /** More passages and grains than there is room for at first. */
    @Test
    void aLongVoiceOfManyPassagesIsLaidWhole() {
        double rate = 8000;
        double[] x = new double[16 * 8000];
        for (int i = 0; i < x.length; i++) for (int h = 1; h < 6; h++) x[i] += 0.1 * Math.sin(2 * Math.PI * h * 200 * i / rate + h * h);
        float[] hz = new float[1600];
        Arrays.fill(hz, 200);
        PitchTrack track = new PitchTrack(80, hz);
        // Bent for 60 ms of every 150.
        Bend bend = s -> s % 1200 < 480 ? 1.05 : 1;
        Plain plain = new Plain(rate, new double[][] {x}, track, bend, s -> 1);
        assertTrue(plain.passages.size() > 100);
        Resynthesis r = new Resynthesis(new Samples(rate, x), track, bend, 1);
        double[][] y = new double[1][x.length];
        r.read(0, y, x.length);
        for (int i = 0; i < x.length; i += 97) assertEquals(plain.at(0, i), y[0][i], 2e-5, "sample " + i);
    }
}
