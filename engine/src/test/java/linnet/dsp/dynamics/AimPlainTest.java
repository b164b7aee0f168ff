package linnet.dsp.dynamics;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.CompletableFuture;
import java.util.function.LongPredicate;
import linnet.dsp.Beside;
import linnet.dsp.Cell;
import linnet.dsp.Samples;
import linnet.dsp.Tape;
import linnet.dsp.dynamics.Compression.Level;
import linnet.dsp.dynamics.Compression.Release;
import linnet.dsp.filter.LinkwitzRiley;
import org.apache.commons.math3.analysis.solvers.BrentSolver;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The search with every level of the key, every hop and every median in lists; silence is heard like anything else. */
class AimPlainTest {
    private static final int C = Cell.LENGTH;

    private static final class Plain {
        final double rate;
        final double[][] x;
        final Compression law;
        final boolean[] counted, heard;
        final double[] levels;
        final List<int[]> stretches = new ArrayList<>();
        final int cells;
        /** Samples in a hop, 24 at 44.1 kHz and in proportion below, of which a whole number fills a cell; and that number. */
        final int hop, per;

        Plain(double rate, double[][] x, LongPredicate counts, Compression law) {
            this.rate = rate;
            this.x = x;
            this.law = law;
            hop = Map.of(48_000.0, 24, 8000.0, 4, 480.0, 1).get(rate);
            per = C / hop;
            int n = x[0].length, hops = (n + hop - 1) / hop;
            cells = (n + C - 1) / C;
            levels = new double[hops];
            Arrays.fill(levels, -1e9);
            counted = new boolean[hops];
            heard = new boolean[hops];
            Key key = new Key(rate, law);
            double[] db = new double[C];
            for (int at = 0; at < n; at += C) {
                int m = Math.min(C, n - at);
                if (x.length == 1) key.process(part(0, at, m), db, m);
                else key.process(part(0, at, m), part(1, at, m), db, m);
                key.settle();
                for (int i = 0; i < m; i++) levels[(at + i) / hop] = Math.max(levels[(at + i) / hop], db[i]);
            }
            int length = (int) (10 * rate / C), inside = 0;
            if (cells >= 12 * length) {
                for (int k = 0; k < 8; k++) {
                    stretches.add(new int[] {(int) ((long) k * (cells - length) / 7), (int) ((long) k * (cells - length) / 7) + length});
                }
            }
            for (int h = 0; h < hops; h++) {
                counted[h] = counts.test((long) hop * h);
                for (int[] s : stretches) heard[h] |= counted[h] && h >= per * s[0] + (int) (2.5 * rate / hop) && h < per * s[1];
                if (heard[h]) inside++;
            }
            if (hop * inside >= 10 * rate) return;
            stretches.clear();
            stretches.add(new int[] {0, cells});
            System.arraycopy(counted, 0, heard, 0, hops);
        }

        double[] part(int c, int at, int n) {
            return Arrays.copyOfRange(x[c], at, at + n);
        }

        /** To a fiftieth of a dB. */
        static double median(List<Double> db) {
            if (db.isEmpty()) return 0;
            double[] sorted = db.stream().mapToDouble(v -> Math.floor(50 * v + 0.5) / 50).sorted().toArray();
            return sorted[(sorted.length - 1) / 2];
        }

        double onTrack(double threshold, boolean[] over, List<int[]> where) {
            GainComputer computer = law.withThreshold(threshold).computer();
            Ballistics ballistics = law.ballistics(rate / hop, per);
            List<Double> all = new ArrayList<>();
            for (int[] s : withTheOneBefore(where)) {
                if (s == AGAIN) {
                    ballistics = law.ballistics(rate / hop, per);
                    continue;
                }
                boolean counts = s.length == 2;
                for (int cell = s[0]; cell < s[1]; cell++) {
                    int from = per * cell, m = Math.min(per, levels.length - from);
                    double[] db = Arrays.copyOfRange(levels, from, from + m);
                    computer.process(db, m);
                    ballistics.process(db, m);
                    ballistics.settle();
                    for (int i = 0; i < m; i++) if (counts && over[from + i]) all.add(db[i]);
                }
            }
            return median(all);
        }

        static final int[] AGAIN = {};

        /** The second half of the stretches is heard by another, who hears the one before them first, uncounted. */
        static List<int[]> withTheOneBefore(List<int[]> all) {
            if (all.size() == 1) return all;
            List<int[]> heard = new ArrayList<>(all);
            heard.add(4, AGAIN);
            heard.add(5, new int[] {all.get(3)[0], all.get(3)[1], 0});
            return heard;
        }

        double toTheSample(double threshold) {
            Detector detector = new Detector(rate, law.withThreshold(threshold));
            List<Double> all = new ArrayList<>();
            for (int[] s : withTheOneBefore(stretches)) {
                if (s == AGAIN) {
                    detector = new Detector(rate, law.withThreshold(threshold));
                    continue;
                }
                boolean counts = s.length == 2;
                for (int at = s[0] * C; at < Math.min(x[0].length, s[1] * C); at += C) {
                    int m = Math.min(C, x[0].length - at);
                    if (x.length == 1) detector.process(part(0, at, m), m);
                    else detector.process(part(0, at, m), part(1, at, m), m);
                    detector.settle();
                    for (int i = 0; i < m; i += hop) if (counts && heard[(at + i) / hop]) all.add(detector.reduction()[i]);
                }
            }
            return median(all);
        }

        Aim.Found threshold(double wanted) {
            List<int[]> whole = new ArrayList<>();
            whole.add(new int[] {0, cells});
            double bias = 0;
            boolean searchWhole = false;
            Aim.Found nearest = null;
            for (int hearing = 0; hearing < 3; hearing++) {
                // Where the stretches are not like the whole, the whole is searched; for 0.02 dB at least.
                boolean[] over = searchWhole ? counted : heard;
                List<int[]> where = searchWhole ? whole : stretches;
                double target = Math.max(0.02, wanted + bias), high = Math.max(-90, Arrays.stream(levels).max().orElse(-90)) + law.kneeDb() / 2,
                        threshold = -90;
                if (high > -90 && onTrack(-90, over, where) > target) {
                    threshold = new BrentSolver(0, 0.01, 0.025).solve(60, t -> onTrack(t, over, where) - target, -90, high);
                    threshold = Math.rint(10 * threshold) / 10;
                }
                double track = onTrack(threshold, heard, stretches), all = onTrack(threshold, counted, whole), median = all - track + toTheSample(threshold);
                if (nearest == null || Math.abs(median - wanted) < Math.abs(nearest.medianDb() - wanted)) {
                    nearest = new Aim.Found(threshold, median, Math.abs(median - wanted) <= 0.3);
                }
                if (Math.abs(median - wanted) <= 0.1) break;
                searchWhole |= Math.abs(all - track) > 0.3;
                bias = (searchWhole ? all : track) - median;
            }
            return nearest;
        }
    }

    /** Swells, pauses of digital silence, and a little noise; seconds as wanted. */
    private static double[][] swells(double rate, double seconds, int channels) {
        Random random = new Random(7);
        double[][] x = new double[channels][(int) (seconds * rate)];
        for (int i = 0; i < x[0].length; i++) {
            double t = i / rate, loud = (0.1 + 0.8 * Math.pow(Math.sin(0.9 * t), 2)) * (0.3 + 0.7 * t / seconds);
            if (t % 9 > 6 || t > 0.5 && t < 0.85) continue;
            for (int c = 0; c < channels; c++) {
                x[c][i] = loud * (Math.sin(2 * Math.PI * 90 * t + c) * (c == 0 ? 1 : 0.6 + 0.5 * Math.sin(t)) + 0.05 * random.nextGaussian());
            }
        }
        return x;
    }

    private static Compression law(int kind) {
        return switch (kind) {
            case 0 -> new Compression(Release.PLAIN, Level.PEAK, 60, 0, 6, 3, 0.5, 60, Compression.NO_BOUND, 0);
            case 1 -> new Compression(Release.PLAIN, Level.RMS, 0, 0, 3, 6, 10, 120, Compression.NO_BOUND, 0);
            case 2 -> new Compression(Release.TWO_STAGE, Level.PEAK, 60, 0, 3, 12, 10, 800, Compression.NO_BOUND, 0);
            default -> new Compression(Release.PLAIN, Level.PEAK, 0, 0, 1.1, 6, 1, 60, Compression.NO_BOUND, 0);
        };
    }

    @ParameterizedTest
    @CsvSource({"8000, 1.3, 1, 0, 4", "8000, 1.3, 2, 1, 2", "8000, 2, 1, 2, 6", "8000, 1, 1, 3, 20", "8000, 1.7, 2, 0, 1", "480, 130, 1, 0, 4",
            "480, 119, 1, 0, 4", "480, 140, 2, 1, 3", "480, 125, 1, 2, 5", "48000, 1.3, 1, 0, 4", "48000, 1.3, 2, 2, 3"})
    void theThresholdIsThatOfTheSearch(double rate, double seconds, int channels, int kind, double wanted) {
        double[][] x = swells(rate, seconds, channels);
        for (LongPredicate counts : List.<LongPredicate>of(i -> true, i -> i / rate % 1.1 < 0.6, i -> i > 0.4 * seconds * rate && i < 0.45 * seconds * rate)) {
            Aim.Found expected = new Plain(rate, x, counts, law(kind)).threshold(wanted),
                    found = AimTest.threshold(Playback.of(new Samples(rate, x)), counts, law(kind), wanted);
            assertEquals(expected.thresholdDb(), found.thresholdDb(), 1e-6);
            assertEquals(expected.medianDb(), found.medianDb(), 1e-6);
            assertEquals(expected.reached(), found.reached());
            Beside threads = (one, other) -> CompletableFuture.allOf(CompletableFuture.runAsync(one), CompletableFuture.runAsync(other)).join();
            Beside backwards = (one, other) -> Beside.ONE_AFTER_THE_OTHER.both(other, one);
            for (Beside b : List.of(threads, backwards)) {
                assertEquals(found, Aim.threshold(Playback.of(new Samples(rate, x)), () -> counts, law(kind), wanted, Tape.IN_MEMORY, b));
            }
        }
    }

    @Test
    void whatIsNeverReachedIsSaid() {
        double[][] x = swells(8000, 1, 1);
        Aim.Found nobody = AimTest.threshold(Playback.of(new Samples(8000, x)), i -> false, law(0), 3),
                silence = AimTest.threshold(Playback.of(new Samples(8000, new double[4800])), i -> true, law(0), 3);
        for (Aim.Found f : new Aim.Found[] {nobody, silence}) {
            assertEquals(-90, f.thresholdDb());
            assertEquals(0, f.medianDb());
            assertFalse(f.reached());
        }
    }

    /** A median to a fiftieth of a dB: of an even number the lower middle; what is beyond 100 dB counts as nearly that. */
    @Test
    void theMedianIsCounted() {
        Median median = new Median();
        assertEquals(0, median.value());
        for (double db : new double[] {3.014, 1, 2.009, 8}) median.add(db);
        assertEquals(2, median.value());
        median.add(3.011);
        assertEquals(3.02, median.value(), 1e-12);
        Median other = new Median();
        for (double db : new double[] {5, 6, 7, 9}) other.add(db);
        assertEquals(5, median.with(other).value());
        median = new Median();
        median.add(-5);
        assertEquals(0, median.value());
        median = new Median();
        median.add(240);
        assertEquals(99.98, median.value(), 1e-12);
    }

    @Test
    void aSoundIsPlayedInCellsWhichMayBeChanged() {
        double[][] x = swells(8000, 0.2, 2);
        Playback playback = Playback.of(new Samples(8000, x));
        assertEquals(8000, playback.rate());
        assertEquals(2, playback.channels());
        assertEquals(1600, playback.frames());
        for (int[] part : new int[][] {{0, 1600}, {480, 1000}, {960, 960}}) {
            List<Integer> sizes = new ArrayList<>();
            int[] at = {part[0]};
            Playback.Listener listener = (b, n) -> {
                for (int c = 0; c < 2; c++) assertArrayEquals(Arrays.copyOfRange(x[c], at[0], at[0] + n), Arrays.copyOf(b[c], n));
                at[0] += n;
                sizes.add(n);
                b[0][0] = 99;
            };
            if (part[1] == 1600) playback.play(listener);
            else playback.play(part[0], part[1], listener);
            assertEquals(part[1] == 1600 ? List.of(480, 480, 480, 160) : part[1] == 1000 ? List.of(480, 40) : List.of(), sizes);
        }
    }

    @Test
    void aBandIsThatOfItsCrossover() {
        double[][] x = swells(8000, 0.2, 2);
        for (int band = 0; band < 3; band++) {
            Playback part = Playback.of(new Samples(8000, x)).band(band, 200, 1500);
            assertEquals(8000, part.rate());
            assertEquals(2, part.channels());
            assertEquals(1600, part.frames());
            int which = band;
            for (int again = 0; again < 2; again++) {
                LinkwitzRiley[] splits = {new LinkwitzRiley(8000, 200, 1500), new LinkwitzRiley(8000, 200, 1500)};
                int[] at = {480};
                part.play(480, 1600, (b, n) -> {
                    for (int c = 0; c < 2; c++) {
                        double[][] bands = new double[3][n];
                        splits[c].split(Arrays.copyOfRange(x[c], at[0], at[0] + n), bands, n);
                        assertArrayEquals(bands[which], Arrays.copyOf(b[c], n), 1e-15);
                    }
                    at[0] += n;
                });
                assertEquals(1600, at[0]);
            }
        }
    }

    /** In a long sound only the stretches are heard to the sample, each time anew, and the one before the second half twice. */
    @Test
    void ofALongSoundOnlyStretchesAreHeard() {
        double[][] x = swells(480, 200, 1);
        Playback whole = Playback.of(new Samples(480, x));
        long[] played = new long[1];
        AimTest.threshold(new Playback() {
            @Override
            public double rate() {
                return 480;
            }

            @Override
            public int channels() {
                return 1;
            }

            @Override
            public long frames() {
                return whole.frames();
            }

            @Override
            public void play(long from, long to, Listener listener) {
                played[0] += to - from;
                whole.play(from, to, listener);
            }
        }, i -> true, law(0), 4);
        assertTrue((played[0] - x[0].length) % (90 * 480) == 0 && played[0] > x[0].length, played[0] + " samples");
    }
}
