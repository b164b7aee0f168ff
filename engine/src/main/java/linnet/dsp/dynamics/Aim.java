package linnet.dsp.dynamics;

import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.DoubleUnaryOperator;
import java.util.function.LongPredicate;
import java.util.function.Supplier;
import java.util.stream.IntStream;
import linnet.dsp.Beside;
import linnet.dsp.Cell;
import linnet.dsp.Decibels;
import linnet.dsp.Silence;
import linnet.dsp.Tape;
import org.apache.commons.math3.analysis.solvers.BrentSolver;

/**
 * Finds the threshold at which a compressor takes off a wanted number of dB from a signal: the median over the time that
 * counts. The search runs on a coarse track of the key's level; the compressor's own detector then hears the signal and
 * says how far the track was wrong, at most {@link #HEARINGS} times. The threshold comes in {@link Decibels#tenths}. Of a long signal both keep to a minute, in
 * stretches spread evenly over the whole; what that is off by, the whole track tells, and is searched itself where the stretches are not like it. Each half of
 * them is heard by a detector of its own, so that both can be heard at once.
 */
public final class Aim {
    /** Lowest threshold tried, in dBFS. */
    public static final double LOWEST_DB = -90;
    /** How near the median must come to count as reached, in dB. */
    public static final double NEAR_DB = 0.3;
    /** Near enough to stop hearing. */
    private static final double NEAREST_DB = 0.1;
    /** Whatever the track is wrong by, it is asked for as much as this: at 0 all thresholds above the signal are alike. */
    private static final double LEAST_DB = 0.02;
    private static final int HEARINGS = 3;
    /** Each stretch of a long signal, and the part at its beginning that does not count, while the detector finds its way; in s. */
    private static final double STRETCH = 10, LEAD = 2.5;
    private static final int STRETCHES = 8;
    /** Cells of the track that are read at a time. */
    private static final int READ = 50;

    private final Playback arriving;
    private final Compression law;
    /** Samples from one level of the track to the next, as of the look-ahead: a whole number of them fills a cell. */
    private final int hop;
    private final int hopsPerCell;
    /** Of each hop. */
    private final Tape levels;
    private final Beside beside;
    private int hops;
    /** By how many hops the reduction is later than what it is meant for. */
    private final int late;
    private final BitSet counted = new BitSet();
    /** What is heard: two halves of many stretches, the second with the stretch before it, or the whole and nothing. */
    private final List<Stretch> stretches, others;
    /** From which hop on the others count: a slow detector comes from the stretch before as it would if one heard all. */
    private final int othersFrom;
    /** The medians of the track where it is heard, and of all of it, by the threshold: each search asks for some once more. */
    private final Map<Double, Double> tried = new HashMap<>(), triedOnWhole = new HashMap<>();
    /** Those of the counted hops that the detector hears. */
    private final BitSet heard;
    private double highest = LOWEST_DB;

    /**
     * @param medianDb what the compressor takes off with that threshold
     * @param reached false if no threshold comes within {@link #NEAR_DB} of what was wanted; this one then comes nearest
     */
    public record Found(double thresholdDb, double medianDb, boolean reached) {}

    /** Cells, from the first to before the last. */
    private record Stretch(int from, int to) {}

    private Aim(Playback arriving, Supplier<LongPredicate> counts, Compression law, Tape levels, Beside beside) {
        this.arriving = arriving;
        this.law = law;
        this.levels = levels;
        hop = Lookahead.hop(arriving.rate());
        hopsPerCell = Cell.LENGTH / hop;
        late = Compression.latency(arriving.rate(), law.lookaheadMs()) / hop;
        this.beside = beside;
        LongPredicate[] asked = {null};
        beside.both(() -> asked[0] = counts.get(), () -> arriving.play(track()));
        levels.finish();
        for (int h = 0; h < hops; h++) counted.set(h, asked[0].test((long) h * hop));
        List<Stretch> spread = spread();
        BitSet inside = inside(spread);
        boolean enough = inside.cardinality() * hop >= STRETCH * arriving.rate();
        int half = spread.size() / 2;
        stretches = enough ? spread.subList(0, half) : whole();
        others = enough ? spread.subList(half - 1, spread.size()) : List.of();
        othersFrom = enough ? spread.get(half).from * hopsPerCell : 0;
        heard = enough ? inside : counted;
    }

    /**
     * @param arriving what lies within the look-ahead of its end does not count, as what is taken off there is not heard: silence is to follow what counts
     * @param counts tells for a sample's index whether its time counts, usually whether someone sings; asked once, and beside it the signal is played
     * @param law everything but the threshold
     * @param tapes where the track of the level is kept meanwhile
     * @param beside what can be heard in halves is heard by both, to the same bits; then two play the signal at once
     */
    public static Found threshold(Playback arriving, Supplier<LongPredicate> counts, Compression law, double wantedDb, Tape.Maker tapes, Beside beside) {
        try (Tape levels = tapes.tape(arriving.rate() / Lookahead.hop(arriving.rate()), 1)) {
            return new Aim(arriving, counts, law, levels, beside).threshold(wantedDb);
        }
    }

    private Found threshold(double wantedDb) {
        double bias = 0;
        Found nearest = null;
        DoubleUnaryOperator track = this::onTrack;
        for (int k = 0; k < HEARINGS; k++) {
            // At its bound the track says nothing of the threshold any more.
            double threshold = Decibels.tenths(search(track, Math.max(LEAST_DB, Math.min(wantedDb + bias, law.mostDb() - NEAREST_DB))));
            double here = onTrack(threshold), median = hear(threshold, here);
            double miss = Math.abs(median - wantedDb);
            if (nearest == null || miss < Math.abs(nearest.medianDb() - wantedDb)) {
                nearest = new Found(threshold, median, miss <= NEAR_DB);
            }
            if (miss <= NEAREST_DB) break;
            // As where the median of the stretches lies in a soft verse and that of the whole in a loud chorus.
            if (Math.abs(onWhole(threshold) - here) > NEAR_DB) track = this::onWhole;
            bias = track.applyAsDouble(threshold) - median;
        }
        return nearest;
    }

    /** The threshold that gives this median on a track: the higher it is, the less is taken off. */
    private double search(DoubleUnaryOperator track, double wantedDb) {
        double high = highest + law.kneeDb() / 2;
        if (high <= LOWEST_DB || track.applyAsDouble(LOWEST_DB) <= wantedDb) return LOWEST_DB;
        // Near enough: the detector is heard afterwards.
        return new BrentSolver(0, 0.01, NEAREST_DB / 4).solve(60, t -> track.applyAsDouble(t) - wantedDb, LOWEST_DB, high);
    }

    /** The median of what the detector takes off, on the track, where it is heard. */
    private double onTrack(double thresholdDb) {
        return tried.computeIfAbsent(thresholdDb, t -> {
            Median median = new Median(), other = new Median();
            beside.both(() -> follow(t, stretches, 0, heard, median), () -> follow(t, others, othersFrom, heard, other));
            return median.with(other).value();
        });
    }

    /** The same over all that counts. */
    private double onWhole(double thresholdDb) {
        return triedOnWhole.computeIfAbsent(thresholdDb, t -> {
            Median median = new Median();
            follow(t, whole(), 0, counted, median);
            return median.value();
        });
    }

    /**
     * The median of what the detector takes off over all that counts: that of the whole track, and what the track is wrong by where it is heard to the sample.
     */
    private double hear(double thresholdDb, double track) {
        Median median = new Median(), other = new Median();
        beside.both(() -> hear(thresholdDb, stretches, 0, median), () -> {
            hear(thresholdDb, others, othersFrom, other);
            onWhole(thresholdDb);
        });
        return onWhole(thresholdDb) - (track - median.with(other).value());
    }

    /** Counts what the detector takes off, on the track: these hops in these stretches, from one on. */
    private void follow(double thresholdDb, List<Stretch> where, int from, BitSet over, Median median) {
        Follow follow = new Follow(thresholdDb);
        for (Stretch stretch : where) {
            int first = stretch.from * hopsPerCell, end = Math.min(hops, stretch.to * hopsPerCell);
            for (int at = first; at < end; at += hopsPerCell) {
                int within = (at - first) % follow.read[0].length;
                if (within == 0) levels.read(at, follow.read, Math.min(follow.read[0].length, end - at));
                follow.cell(at, within, from, over, median);
            }
        }
    }

    /** The detector on the track. */
    private final class Follow {
        private final GainComputer computer;
        private final Ballistics ballistics = law.ballistics(arriving.rate() / hop, hopsPerCell);
        private final Lookahead lookahead = law.lookahead(arriving.rate());
        private final double[][] read = new double[1][READ * hopsPerCell];
        private final double[] db = new double[hopsPerCell];

        Follow(double thresholdDb) {
            computer = law.withThreshold(thresholdDb).computer();
        }

        /** Counts over the hops of a cell, of which this is the first; they lie there in what was read. */
        void cell(int at, int within, int from, BitSet over, Median median) {
            int n = Math.min(hopsPerCell, hops - at);
            System.arraycopy(read[0], within, db, 0, n);
            computer.process(db, n);
            ballistics.process(db, n);
            ballistics.settle();
            if (lookahead != null) for (int i = 0; i < n; i++) db[i] = lookahead.next(db[i]);
            for (int i = 0, h = at - late; i < n; i++, h++) if (h >= from && over.get(h)) median.add(db[i]);
        }
    }

    /** Counts what the detector takes off, to the sample, at the hops that are heard in these stretches, from one on. */
    private void hear(double thresholdDb, List<Stretch> where, int from, Median median) {
        Detector detector = new Detector(arriving.rate(), law.withThreshold(thresholdDb));
        for (Stretch stretch : where) {
            int[] h = {stretch.from * hopsPerCell};
            long to = Math.min(arriving.frames(), (long) stretch.to * Cell.LENGTH);
            arriving.play((long) stretch.from * Cell.LENGTH, to, (x, n) -> {
                if (detector.rests() && isSilentCell(x, n)) {
                    detector.rest();
                } else {
                    if (arriving.channels() == 1) detector.process(x[0], n);
                    else detector.process(x[0], x[1], n);
                    detector.settle();
                }
                double[] reduction = detector.reduction();
                for (int i = 0; i < n; i += hop, h[0]++) if (h[0] - late >= from && heard.get(h[0] - late)) median.add(reduction[i]);
            });
        }
    }

    private static boolean isSilentCell(double[][] x, int n) {
        if (n < Cell.LENGTH) return false;
        for (double[] channel : x) if (!Silence.in(channel, n)) return false;
        return true;
    }

    private List<Stretch> whole() {
        return List.of(new Stretch(0, cells()));
    }

    /** Evenly over the whole; none if it is not much longer. */
    private List<Stretch> spread() {
        int length = (int) (STRETCH * arriving.rate() / Cell.LENGTH);
        if (cells() < 1.5 * STRETCHES * length) return List.of();
        return IntStream.range(0, STRETCHES)
                .map(k -> (int) ((long) k * (cells() - length) / (STRETCHES - 1)))
                .mapToObj(from -> new Stretch(from, from + length))
                .toList();
    }

    /** The counted hops in these stretches, but for their leads. */
    private BitSet inside(List<Stretch> stretches) {
        BitSet inside = new BitSet();
        int lead = (int) (LEAD * arriving.rate() / hop);
        for (Stretch s : stretches) inside.set(s.from * hopsPerCell + lead, s.to * hopsPerCell);
        inside.and(counted);
        return inside;
    }

    private int cells() {
        return (hops + hopsPerCell - 1) / hopsPerCell;
    }

    /** Writes down the highest level of the key in each hop. */
    private Playback.Listener track() {
        Key key = new Key(arriving.rate(), law);
        double[] db = new double[Cell.LENGTH];
        boolean[] silent = {false};
        double[][] most = new double[1][hopsPerCell];
        return (x, n) -> {
            boolean rests = key.rests() && isSilentCell(x, n);
            // One silent cell has the levels of the one before.
            if (!rests || !silent[0]) {
                if (arriving.channels() == 1) key.process(x[0], db, n);
                else key.process(x[0], x[1], db, n);
                key.settle();
            }
            silent[0] = rests;
            int count = 0;
            for (int from = 0; from < n; from += hop) {
                double here = db[from];
                for (int i = from + 1; i < Math.min(n, from + hop); i++) here = db[i] > here ? db[i] : here;
                most[0][count++] = here;
                highest = Math.max(highest, here);
            }
            levels.append(most, count);
            hops += count;
        };
    }
}
