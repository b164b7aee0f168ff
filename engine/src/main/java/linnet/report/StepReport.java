package linnet.report;

import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import java.util.OptionalDouble;
import java.util.stream.IntStream;
import linnet.dsp.Decibels;
import linnet.step.Curve;

/**
 * What one step did in a render.
 *
 * @param number place among the steps of the chain, from 1
 * @param name what the text calls it; any text at all
 * @param word the step
 * @param given what the text says of it
 * @param found numbers found by hearing
 * @param curves as they stood at the end
 * @param workSeconds time spent at its work
 * @param hearingSeconds time spent on what it heard before
 * @param seen what its meter saw
 */
public record StepReport(
        int number, String name, String word, Given given, List<Found> found, List<Curve> curves, double workSeconds, double hearingSeconds,
                StepMeter.Seen seen) {
    /**
     * What the text says.
     *
     * @param text in canonical form
     * @param inBranch one of several paths that are added up
     * @param mix share of the processed signal from 0 to 1; empty where it moves
     * @param aimDb reduction wanted, where the text tells
     * @param makesUp the level is set again after a reduction
     * @param atLevel a level in dBFS is given as a number, whatever voice arrives
     * @param mayRest a limiter or a repair, which is as it should be where it has nothing to do
     */
    public record Given(String text, boolean inBranch, OptionalDouble mix, OptionalDouble aimDb, boolean makesUp, boolean atLevel, boolean mayRest) {}

    /**
     * A number found by hearing.
     *
     * @param given the words of the text that it comes from, if any
     * @param value with its unit, and what is told beside it
     * @param advised whether that is something to look at
     */
    public record Found(String setting, String given, String value, boolean advised) {}

    /** What is this far under the loudest band can hardly be heard beside it. */
    private static final double HEARD_DB = 40;
    /** Below this a cell is empty. */
    private static final double EMPTY_DBFS = -90;
    private static final double LEAST_REDUCTION_DB = 0.05;
    private static final double SAME_DB = 0.01;

    public StepReport {
        found = List.copyOf(found);
        curves = List.copyOf(curves);
    }

    public double lufsBefore() {
        return seen.before().lufs();
    }

    public double lufsAfter() {
        return seen.after().lufs();
    }

    /** By how many LU it is louder after the step; not a number where one side has no loudness. */
    public double changeLu() {
        double change = lufsAfter() - lufsBefore();
        return Double.isInfinite(change) ? Double.NaN : change;
    }

    public double crestBefore() {
        return seen.before().crestDb();
    }

    public double crestAfter() {
        return seen.after().crestDb();
    }

    double[] bandsBefore() {
        return seen.before().bandsDb();
    }

    double[] bandsAfter() {
        return seen.after().bandsDb();
    }

    float[] reductionDb() {
        return seen.reductionDb();
    }

    /** The level that arrives, in dBFS, in each cell. */
    float[] arrivingDb() {
        return seen.before().levelsDb();
    }

    /** Whether it turned down anywhere. */
    public boolean reduces() {
        for (float r : reductionDb()) if (r > LEAST_REDUCTION_DB) return true;
        return false;
    }

    double deepestDb() {
        return IntStream.range(0, reductionDb().length).mapToDouble(c -> reductionDb()[c]).max().orElse(0);
    }

    /**
     * The reduction that is not passed in a share of the cells.
     *
     * @param share 0.5 for the median
     * @param where which cells count; all of them where none do
     */
    double reductionDb(double share, BitSet where) {
        BitSet within = where.get(0, reductionDb().length);
        IntStream cells = within.isEmpty() ? IntStream.range(0, reductionDb().length) : within.stream();
        double[] sorted = cells.mapToDouble(c -> reductionDb()[c]).sorted().toArray();
        return sorted.length == 0 ? 0 : sorted[(int) Math.round((sorted.length - 1) * share)];
    }

    /** How many LU the processed sound lies under the dry one; empty where nothing is mixed, the share moves or one has no loudness. */
    public OptionalDouble wetUnderDryLu() {
        if (given.mix.isEmpty() || given.mix.getAsDouble() == 1) return OptionalDouble.empty();
        double wet = seen.made().lufs() + Decibels.ofGain(given.mix.getAsDouble());
        // A mono sound mixed with a stereo one stands in both channels.
        double both = seen.channelsBefore() < seen.channelsMade() ? Decibels.ofPower(2) : 0;
        double under = lufsBefore() + both + Decibels.ofGain(1 - given.mix.getAsDouble()) - wet;
        return Double.isFinite(under) ? OptionalDouble.of(under) : OptionalDouble.empty();
    }

    /** How much it changed, apart from loudness: the mean over the third octaves that are heard, plus that over all cells of time, in dB. */
    double changedDb() {
        double loudest = Arrays.stream(bandsBefore()).max().orElse(0);
        double[] bands = IntStream.range(0, bandsBefore().length).filter(k -> bandsBefore()[k] > loudest - HEARD_DB)
                .mapToDouble(k -> bandsAfter()[k] - bandsBefore()[k]).toArray();
        return spread(bands) + spread(levelChanges());
    }

    private double[] levelChanges() {
        float[] was = arrivingDb(), is = seen.after().levelsDb();
        return IntStream.range(0, Math.min(was.length, is.length)).filter(c -> was[c] > EMPTY_DBFS && Float.isFinite(is[c])).mapToDouble(c -> is[c] - was[c])
                .toArray();
    }

    /** Whether level and spectrum are the same after it as before, everywhere. */
    boolean didNothing() {
        return seen.channelsBefore() == seen.channelsMade() && Math.abs(lufsAfter() - lufsBefore()) < SAME_DB
                && Arrays.stream(levelChanges()).allMatch(db -> Math.abs(db) < SAME_DB)
                && IntStream.range(0, bandsBefore().length).allMatch(k -> bandsBefore()[k] < -120 || Math.abs(bandsAfter()[k] - bandsBefore()[k]) < SAME_DB);
    }

    /** Mean distance from the mean. */
    private static double spread(double[] values) {
        double mean = Arrays.stream(values).filter(Double::isFinite).average().orElse(0);
        return Arrays.stream(values).filter(Double::isFinite).map(v -> Math.abs(v - mean)).average().orElse(0);
    }
}
