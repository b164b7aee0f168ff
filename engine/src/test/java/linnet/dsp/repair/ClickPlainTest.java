package linnet.dsp.repair;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.function.IntPredicate;
import java.util.function.ObjIntConsumer;
import linnet.dsp.Samples;
import linnet.dsp.Stretches;
import linnet.dsp.filter.Biquad;
import linnet.dsp.pitch.Decimator;
import linnet.dsp.repair.ClickFinder.Click;
import linnet.dsp.repair.StandingClicks.Standing;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What stands out of the error of prediction, with all errors at hand at once; and how what is found is mended. */
class ClickPlainTest {
    private static final class Plain {
        final double rate;
        final int hop, factor, cells;
        final double[] errors, peaks;

        Plain(double rate, double[] x) {
            this.rate = rate;
            hop = (int) Math.round(rate / 100);
            factor = (int) Math.max(1, Math.round(rate / 48_000));
            double slowRate = rate / factor;
            int half = (int) (0.0427 * slowRate / 4), slowHop = 2 * half, frame = 4 * half, order = (int) Math.round(0.00067 * slowRate);
            int length = x.length / factor + 4 * frame;
            double[] slow = new double[length + frame];
            if (factor == 1) System.arraycopy(x, 0, slow, 0, x.length);
            else new Decimator(factor, x.length + factor * frame).decimate(Arrays.copyOf(x, x.length + factor * frame), x.length + factor * frame, slow, 0);
            double[] error = new double[length], high = new double[length];
            for (int begin = 0; begin + slowHop <= length - frame; begin += slowHop) {
                double[] w = new double[frame], r = new double[order + 1], a = new double[order + 1];
                for (int i = 0; i < frame; i++) w[i] = Math.pow(Math.sin(Math.PI * (i + 0.5) / frame), 2) * at(slow, begin - half + i);
                for (int k = 0; k <= order; k++) for (int i = k; i < frame; i++) r[k] += w[i] * w[i - k];
                a[0] = 1;
                if (r[0] > 1e-14 * frame) {
                    r[0] *= 1 + 1e-9;
                    Levinson.predict(r, a, new double[order + 1]);
                }
                for (int i = begin; i < begin + slowHop; i++) for (int k = 0; k <= order; k++) error[i] += a[k] * at(slow, i - k);
            }
            Biquad filter = Biquad.highPass(slowRate, 1000, Math.sqrt(0.5));
            double x1 = 0, x2 = 0, y1 = 0, y2 = 0;
            for (int i = 0; i < length; i++) {
                high[i] = filter.b0() * slow[i] + filter.b1() * x1 + filter.b2() * x2 - filter.a1() * y1 - filter.a2() * y2;
                x2 = x1;
                x1 = slow[i];
                y2 = y1;
                y1 = high[i];
            }
            cells = x.length * 40 / hop;
            errors = new double[cells];
            peaks = new double[cells + 2];
            for (int c = 0; c < cells + 2; c++) {
                int from = (int) Math.ceil((double) c * hop / (40 * factor)), to = (int) Math.ceil((c + 1.0) * hop / (40 * factor));
                double sum = 0;
                for (int i = from; i < to; i++) {
                    sum += error[i] * error[i];
                    peaks[c] = (float) Math.max(peaks[c], Math.abs(high[i]));
                }
                if (c < cells) errors[c] = (float) (sum / (to - from));
            }
        }

        static double at(double[] x, int i) {
            return i < 0 ? 0 : x[i];
        }

        double most(int from, int to) {
            double most = 0;
            for (int c = Math.max(0, from); c < Math.min(cells, to); c++) most = Math.max(most, errors[c]);
            return most;
        }

        double db(int c) {
            return 10 * Math.log10(errors[Math.max(0, Math.min(cells - 1, c))] + 1e-14);
        }

        long sample(int cell) {
            return (long) cell * hop / 40;
        }

        List<Click> find(IntPredicate voiced, IntPredicate sung, double least) {
            return find(voiced, sung, least, 0, Long.MAX_VALUE);
        }

        List<Click> find(IntPredicate voiced, IntPredicate sung, double least, long first, long last) {
            List<Click> found = new ArrayList<>();
            for (int c = 90; c < cells - 90; c++) {
                if (sample(c + 1) <= first || sample(c) >= last) continue;
                double here = errors[c];
                if (here <= errors[c - 1] || here < errors[c + 1]
                        || Math.max(Math.max(peaks[c - 1], peaks[c]), Math.max(peaks[c + 1], peaks[c + 2])) <= least) {
                    continue;
                }
                boolean vowel = true, word = false;
                for (int f = c / 40 - 2; f <= c / 40 + 2; f++) vowel &= voiced.test(f);
                for (int f = c / 40 - 4; f <= c / 40 + 15; f++) word |= sung.test(f);
                boolean pause = !vowel && !word;
                // 7 dB in a vowel or near a word, 8 in a pause; only there it may take 40 ms to fade.
                double limit = here / Math.pow(10, pause ? 0.8 : 0.7), before = Math.max(1e-14, most(c - 94, c - 4));
                int longest = 20;
                double beside = Math.max(before, most(c + 21, c + 111));
                if (before <= limit && beside > limit && pause) {
                    longest = 160;
                    beside = Math.max(before, most(c + 161, c + 251));
                }
                if (beside > limit) continue;
                double height = 10 * Math.log10(here / beside), change = 0;
                for (int i = 0; i < 80; i++) change += (db(c + 21 + i) - db(c - 5 - i)) / 80;
                if (!pause && (change > 4.5 || change < -14) && height < 15) continue;
                if (!found.isEmpty() && found.get(found.size() - 1).to() > sample(c)) continue;
                int start = c, end = c + 1;
                for (int i = c - 4; i < c; i++) if (errors[i] > beside && start == c) start = i;
                for (int i = c + 1; i <= Math.min(cells - 1, c + longest); i++) if (errors[i] > Math.max(beside, here / 1000)) end = i + 1;
                found.add(new Click(sample(start - 1), sample(end), height));
            }
            return found;
        }

        List<Standing> within(long from, long to, double neededDb, double longest) {
            int first = (int) Math.max(0, from * 40 / hop), last = (int) Math.min(cells, Math.ceil(to * 40.0 / hop));
            double beside = Math.max(1e-14, Math.max(most(first - 94, first - 4), most(last + 20, last + 110))), usual = 0;
            int count = 0;
            for (int c = Math.max(0, first - 94); c < Math.min(cells, last + 110); c++) {
                if (c >= first - 4 && c < last + 20) continue;
                usual += db(c);
                count++;
            }
            double faint = count == 0 ? 1e-14 : Math.pow(10, (usual / count + 3) / 10);
            List<Standing> found = new ArrayList<>();
            for (int c = first; c < last; c++) {
                if (errors[c] < beside * Math.pow(10, neededDb / 10)) continue;
                // It goes on as long as no more than four cells are no stronger than what is beside.
                int end = c + 1;
                for (int i = c + 1; i < Math.min(last, end + 4); i++) if (errors[i] >= Math.max(beside, most(c, i) / 1000)) end = i + 1;
                double most = most(c, end);
                int faded = end;
                for (int i = end; i < Math.min(Math.min(cells, (int) (c + longest * 40 / hop)), faded + 4); i++) {
                    if (errors[i] > Math.max(faint, most / 1000)) faded = i + 1;
                }
                found.add(new Standing(sample(c), sample(end), sample(faded), 10 * Math.log10(most / beside)));
                c = end + 3;
            }
            return found;
        }
    }

    /** Formants struck by a larynx, a pause with some hiss, a hiss that begins, another vowel; with clicks in all of them. */
    private static double[] take(double rate, long seed) {
        double[] x = new double[(int) (0.9 * rate)];
        Random random = new Random(seed);
        double[] ring = new double[2];
        for (int i = 0; i < x.length; i++) {
            double t = i / rate;
            boolean sung = t < 0.35 || t > 0.7;
            boolean struck = sung && (int) (t * 110) != (int) ((t - 1 / rate) * 110);
            double a = 2 * 0.985 * Math.cos(2 * Math.PI * 700 / rate), y = (struck ? 0.3 : 0) + a * ring[0] - 0.985 * 0.985 * ring[1];
            ring[1] = ring[0];
            ring[0] = y;
            x[i] = 0.5 * y + (t > 0.5 && t < 0.6 ? 0.02 : t > 0.4 && t < 0.44 ? 0 : 0.001) * random.nextGaussian();
        }
        double[][] clicks = {{0.12, 0.3, 0.002}, {0.2, 0.1, 0.001}, {0.3, 0.6, 0.004}, {0.385, 0.01, 0.001}, {0.47, 0.05, 0.02}, {0.545, 0.2, 0.002},
                {0.65, 0.02, 0.003}, {0.654, 0.02, 0.003}, {0.8, 0.4, 0.003}, {0.858, 0.5, 0.002}};
        for (double[] c : clicks) {
            for (int i = (int) (c[0] * rate); i < (c[0] + c[2]) * rate; i++) {
                double t = i / rate - c[0];
                x[i] += c[1] * Math.exp(-4 * t / c[2]) * Math.sin(2 * Math.PI * 2900 * t + 0.1 * seed) + 0.1 * c[1] * random.nextGaussian();
            }
        }
        return x;
    }

    private static void feed(ObjIntConsumer<double[]> into, double[] x, int cut) {
        for (int from = 0; from < x.length; from += cut) {
            into.accept(Arrays.copyOfRange(x, from, Math.min(x.length, from + cut)), Math.min(cut, x.length - from));
        }
    }

    private static void assertClicks(List<Click> expected, List<Click> found, Object what) {
        assertEquals(expected.size(), found.size(), what + ": " + expected + " but " + found);
        for (int i = 0; i < expected.size(); i++) {
            assertEquals(expected.get(i).from(), found.get(i).from(), what + " " + i);
            assertEquals(expected.get(i).to(), found.get(i).to(), what + " " + i);
            assertEquals(expected.get(i).heightDb(), found.get(i).heightDb(), 1e-3);
        }
    }

    @ParameterizedTest
    @CsvSource({"8000, 480", "11025, 333", "16000, 7000", "48000, 480", "96000, 1000"})
    void clicksStandOutOfWhatIsBesideThem(double rate, int cut) {
        int all = 0;
        for (long seed = 1; seed < (rate > 20_000 ? 2 : 4); seed++) {
            double[] x = take(rate, seed);
            Plain plain = new Plain(rate, x);
            IntPredicate sung = f -> f < 35 || f >= 70, voiced = f -> sung.test(f) && f != 29, none = f -> false;
            for (double least : new double[] {0.003, 0.05}) {
                for (IntPredicate[] p : new IntPredicate[][] {{voiced, sung}, {none, none}, {f -> true, none}, {none, f -> f > 20 && f < 50}}) {
                    ClickFinder finder = new ClickFinder(rate, null, p[0], p[1], least);
                    feed(finder::add, x, cut);
                    List<Click> expected = plain.find(p[0], p[1], least);
                    assertClicks(expected, finder.find(), "seed " + seed);
                    all += expected.size();
                }
            }
            for (long[] s : new long[][] {{28, 34}, {29, 40}, {64, 66}, {2, 4}, {84, 88}, {84, 90}, {0, 90}, {40, 44}, {46, 52}}) {
                for (double needed : new double[] {3, 9}) {
                    PredictionError prediction = new PredictionError(rate);
                    feed(prediction::add, x, cut);
                    prediction.finish();
                    StandingClicks clicks = new StandingClicks(prediction);
                    long from = (long) (s[0] * rate / 100) + 3, to = (long) (s[1] * rate / 100);
                    List<Standing> expected = plain.within(from, to, needed, 0.012 * rate), there = clicks.within(from, to, needed, 0.012 * rate);
                    assertEquals(expected.size(), there.size(), s[0] + " needed " + needed + ": " + expected + " but " + there);
                    for (int i = 0; i < expected.size(); i++) {
                        assertEquals(expected.get(i).from(), there.get(i).from());
                        assertEquals(expected.get(i).to(), there.get(i).to());
                        assertEquals(expected.get(i).faded(), there.get(i).faded());
                        assertEquals(expected.get(i).heightDb(), there.get(i).heightDb(), 1e-3);
                    }
                }
            }
        }
        assertTrue(all > 8, all + " clicks");
    }

    /** Asked for places only, it tells of them what it would tell in the whole. */
    @Test
    void placesAreHeardAsInTheWhole() {
        double rate = 8000;
        int some = 0;
        for (long seed = 1; seed < 4; seed++) {
            double[] x = take(rate, seed);
            Plain plain = new Plain(rate, x);
            for (long at = 0; at < x.length; at += 90) {
                ClickFinder finder = new ClickFinder(rate, new Stretches(new long[] {at}, new long[] {at + 100}), f -> true, f -> true, 0.003);
                feed(finder::add, x, 480);
                List<Click> expected = plain.find(f -> true, f -> true, 0.003, at, at + 100);
                assertClicks(expected, finder.find(), "at " + at);
                some += expected.size();
            }
        }
        assertTrue(some > 4, some + " clicks");
    }

    /** More cells than there is room for at first, in silence but for a click. */
    @Test
    void aLongTakeIsHeardWhole() {
        double rate = 8000;
        double[] x = new double[5 * 8000];
        Random random = new Random(3);
        for (int i = 0; i < x.length; i++) x[i] = 1e-4 * random.nextGaussian();
        for (int i = 38_000; i < 38_020; i++) x[i] = 0.1 * Math.cos(2.8 * i);
        ClickFinder finder = new ClickFinder(rate, null, f -> false, f -> false, 0.003);
        feed(finder::add, x, 480);
        List<Click> found = finder.find();
        assertEquals(1, found.size());
        assertEquals(38_000, found.get(0).from(), 8);
    }

    private static final double AROUND = 0.1;

    /**
     * Mending as it is described, for a rate that is not brought down: where it stands out, the model of each channel, the click, its faint ends, and again.
     */
    private static ClickRepair.Outcome plain(double rate, double[][] sound, long from, long to, double hz, double longestSeconds, double neededDb) {
        int around = (int) (AROUND * rate), near = (int) (0.0015 * rate), n = (int) (to - from) + 2 * around;
        long at = from - around;
        double[][] x = new double[sound.length][n];
        double[] middle = new double[n];
        for (int c = 0; c < x.length; c++) for (int i = 0; i < n; i++) {
            x[c][i] = at + i < 0 || at + i >= sound[c].length ? 0 : sound[c][(int) at + i];
            middle[i] += x[c][i] / x.length;
        }
        double longest = (longestSeconds + 0.0012) * rate;
        List<Standing> there = new ArrayList<>();
        for (Standing s : new Plain(rate, middle).within(around - near, n - around + near, neededDb, longest)) {
            Standing last = there.isEmpty() ? null : there.get(there.size() - 1);
            if (last != null && s.to() - last.from() <= longest) {
                there.set(there.size() - 1, new Standing(last.from(), s.to(), s.faded(), Math.max(last.heightDb(), s.heightDb())));
            }
            else there.add(s);
        }
        List<Click> tooLong = new ArrayList<>();
        boolean[] damaged = new boolean[n];
        List<int[]> spans = new ArrayList<>();
        List<Standing> mendable = there.stream().filter(s -> longestSeconds > 0 && s.to() - s.from() <= longest).toList();
        for (Standing s : there) {
            if (mendable.contains(s)) continue;
            tooLong.add(new Click(s.from() + at, s.to() + at, s.heightDb()));
            if (!mendable.isEmpty()) Arrays.fill(damaged, (int) s.from(), (int) Math.min(n, s.to() + 1), true);
        }
        for (int i = 0; i < mendable.size(); i++) {
            int begin = (int) Math.max(1, mendable.get(i).from() - 0.0006 * rate);
            int end = (int) Math.min(n - 1, Math.min(begin + (0.0012 + longestSeconds) * rate, mendable.get(i).faded() + 0.00075 * rate));
            if (i + 1 < mendable.size()) end = Math.min(end, (int) (mendable.get(i + 1).from() - 0.0006 * rate));
            if (end > begin) {
                spans.add(new int[] {begin, end});
                Arrays.fill(damaged, begin, end, true);
            }
        }
        List<Patch> patches = new ArrayList<>();
        Separation separation = new Separation(rate);
        for (int[] span : spans) {
            Autoregression[] voice = new Autoregression[x.length];
            double[] envelope = new double[span[1] - span[0]];
            for (int c = 0; c < x.length; c++) {
                int period = period(rate, x[c], damaged, span, hz), beside = (int) (0.031 * rate) + period;
                int[] lags = Autoregression.lags((int) Math.round(0.00067 * rate), period, (int) Math.round(0.00034 * rate));
                voice[c] = Autoregression.fit(x[c], Math.max(0, span[0] - beside), Math.min(n, span[1] + beside), damaged, lags);
                double[] click = voice[c] == null ? null : separation.click(x[c], span[0], span[1], voice[c], 3);
                if (click == null) continue;
                double[] own = separation.envelope(click);
                for (int i = 0; i < own.length; i++) envelope[i] = Math.max(envelope[i], own[i]);
            }
            double peak = Arrays.stream(envelope).max().orElse(0);
            if (peak == 0) continue;
            int edge = (int) (0.0003 * rate) / 2, first = 0, last = envelope.length;
            while (envelope[first] < 0.04 * peak) first++;
            while (envelope[last - 1] < 0.04 * peak) last--;
            int begin = Math.max(span[0], span[0] + first - edge), end = Math.min(span[1], span[0] + last + edge);
            double[][] mended = new double[x.length][];
            for (int c = 0; c < x.length; c++) {
                double[] click = voice[c] == null ? null : separation.click(x[c], begin, end, voice[c], 2);
                for (int i = begin; click != null && i < end; i++) x[c][i] -= click[i - begin];
                mended[c] = Arrays.copyOfRange(x[c], begin, end);
            }
            patches.add(new Patch(at + begin, mended));
        }
        return new ClickRepair.Outcome(patches, tooLong);
    }

    private static int period(double rate, double[] x, boolean[] damaged, int[] span, double hz) {
        int best = 0, reach = (int) (0.012 * rate);
        double most = 0;
        for (int lag = 1; hz > 0 && lag < x.length; lag++) {
            if (lag < (int) (rate / hz * 0.93) || lag > rate / hz * 1.07 + 1) continue;
            double both = 0, one = 0, other = 0;
            for (int i = Math.max(lag, span[0] - reach); i < Math.min(x.length, span[1] + reach + lag); i++) {
                if (damaged[i] || damaged[i - lag]) continue;
                both += x[i] * x[i - lag];
                one += x[i] * x[i];
                other += x[i - lag] * x[i - lag];
            }
            double like = both > 0 ? both * both / (one * other) : 0;
            if (like > most) {
                most = like;
                best = lag;
            }
        }
        return best;
    }

    @ParameterizedTest
    @CsvSource({"8000, 1, 0.11, 0.13, 110, 0.008, 4", "8000, 2, 0.29, 0.31, 110, 0.008, 4", "8000, 1, 0.64, 0.67, 0, 0.004, 6",
            "8000, 2, 0.64, 0.67, 0, 0.02, 6", "16000, 1, 0.19, 0.21, 110, 0.004, 3",
        "8000, 1, 0.29, 0.31, 0, 0, 4", "8000, 1, 0.46, 0.5, 0, 0.005, 4", "8000, 1, 0.795, 0.81, 112, 0.008, 6", "8000, 1, 0.38, 0.39, 0, 0.008, 6",
                "16000, 2, 0.535, 0.56, 0, 0.008, 3",
        "8000, 1, 0.1, 0.32, 110, 0.008, 3", "8000, 1, 0.0, 0.05, 110, 0.008, 3", "8000, 1, 0.885, 0.9, 110, 0.01, 3", "8000, 1, 0.405, 0.43, 0, 0.008, 3",
                "8000, 1, 0.46, 0.67, 0, 0.008, 4"})
    void aClickIsTakenOutOfTheVoice(double rate, int channels, double from, double to, double hz, double longest, double needed) {
        double[][] x = new double[channels][];
        for (int c = 0; c < channels; c++) x[c] = take(rate, 1 + c);
        long begin = (long) (from * rate), end = (long) (to * rate);
        ClickRepair.Outcome mended = new ClickRepair(new Samples(rate, x), longest, needed).mend(begin, end, hz),
                expected = plain(rate, x, begin, end, hz, longest, needed);
        assertClicks(expected.tooLong(), mended.tooLong(), "too long");
        assertEquals(expected.patches().size(), mended.patches().size());
        for (int p = 0; p < expected.patches().size(); p++) {
            assertEquals(expected.patches().get(p).from(), mended.patches().get(p).from());
            for (int c = 0; c < channels; c++) assertArrayEquals(expected.patches().get(p).samples()[c], mended.patches().get(p).samples()[c], 1e-6);
        }
    }

    /** At a high rate a click is told at a lower one: what is left of it is as weak as there. */
    @Test
    void atAHighRateItIsTakenOutTheSame() {
        double rate = 96_000;
        double[] x = new double[30_000], clean;
        for (int i = 0; i < x.length; i++) for (int h = 1; h < 8; h++) x[i] += 0.1 / h * Math.sin(2 * Math.PI * 210 * h * i / rate + h * h);
        Random random = new Random(2);
        for (int i = 0; i < x.length; i++) x[i] += 1e-5 * random.nextGaussian();
        clean = x.clone();
        for (int i = 15_000; i < 15_200; i++) x[i] += 0.1 * Math.sin(Math.PI * (i - 15_000) / 200) * Math.sin(2 * Math.PI * 5000 * i / rate);
        ClickRepair.Outcome mended = new ClickRepair(new Samples(rate, x), 0.008, 6).mend(14_900, 15_300, 210);
        assertEquals(1, mended.patches().size());
        Patch patch = mended.patches().get(0);
        assertTrue(patch.from() > 14_800 && patch.from() <= 15_005 && patch.to() >= 15_195 && patch.to() < 15_500, patch.from() + " to " + patch.to());
        double was = 0, is = 0;
        for (int i = 14_800; i < 15_500; i++) {
            double now = i >= patch.from() && i < patch.to() ? patch.samples()[0][(int) (i - patch.from())] : x[i];
            was += Math.pow(x[i] - clean[i], 2);
            is += Math.pow(now - clean[i], 2);
        }
        assertTrue(10 * Math.log10(is / was) < -30, 10 * Math.log10(is / was) + " dB are left");
    }
}
