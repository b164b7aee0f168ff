package linnet.dsp.repair;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import linnet.dsp.Excerpt;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.dsp.resample.Resampled;

/**
 * Mends clicks of the mouth in a neighbourhood that is known to hold some. {@link StandingClicks} says where they stand out of what is beside it; the
 * click is parted from the voice in its place ({@link Separation}), and where nothing of it is left the take stays as it is. What stands
 * out for too long is not mended but told.
 *
 * <p>The limit is how far a voice can be told from what is beside it. Of a click inside a sung vowel whose peak is 6 dB over what the voice
 * has there above 1 kHz, a rest 16 dB weaker stays (median on five real voices); of one 18 dB over it, 29 dB. Longer clicks leave more. Hiss
 * nobody can foretell: there a rest stays that is as strong as the hiss under the click.
 */
public final class ClickRepair {
    /** What became of a neighbourhood: its patches, and the stretches that stand out for too long. */
    public record Outcome(List<Patch> patches, List<ClickFinder.Click> tooLong) {}

    private static final double SLOW_RATE = 48_000;
    private static final double AROUND_SECONDS = 0.1, FIT_SECONDS = 0.031, ORDER_SECONDS = 0.00067, REACH_SECONDS = 0.00034;
    /** What is searched beside a mark, whose borders are those of an ear; and before where a click stands out, where it may begin. */
    private static final double NEAR_SECONDS = 0.0015, ONSET_SECONDS = 0.0006, EDGE_SECONDS = 0.0003;
    /** What it leaves after it has faded into the voice. */
    private static final double TAIL_SECONDS = 0.00075;
    /** Of the peak of the click's envelope: what is weaker than that is left. */
    private static final double FAINT = 0.04;
    private static final int ROUNDS = 3, LAST_ROUNDS = 2;
    /** How far a period may be from what the pitch track says, as a share. */
    private static final double PITCH_OFF = 0.07;
    private static final double PERIODIC_SECONDS = 0.012;

    private final Sound sound;
    private final double rate, slowRate, longestSeconds, neededDb;
    private final int factor;
    private final Separation separation;

    /**
     * @param longestSeconds the longest that is mended
     * @param neededDb how far a click must stand out of what is beside it
     */
    public ClickRepair(Sound sound, double longestSeconds, double neededDb) {
        this.sound = sound;
        this.longestSeconds = longestSeconds;
        this.neededDb = neededDb;
        rate = sound.rate();
        // A click ends at 10 kHz: at a high rate it is told apart at a lower one.
        factor = Math.max(1, (int) Math.round(rate / SLOW_RATE));
        slowRate = rate / factor;
        separation = new Separation(slowRate);
    }

    /**
     * Mends what stands out at {@code from … to - 1} or right beside.
     *
     * @param hz pitch of the voice there, 0 where there is none
     */
    public Outcome mend(long from, long to, double hz) {
        long around = (long) (AROUND_SECONDS * rate), near = (long) (NEAR_SECONDS * rate);
        Excerpt excerpt = new Excerpt(sound, from - around, to - from + 2 * around);
        double[][] x = new double[sound.channels()][(int) excerpt.frames()];
        excerpt.read(0, x, x[0].length);
        PredictionError prediction = new PredictionError(rate);
        prediction.add(middle(x), x[0].length);
        prediction.finish();
        List<StandingClicks.Standing> there = joined(new StandingClicks(prediction).within(around - near, to - from + around + near, neededDb, longest()));
        List<StandingClicks.Standing> tooLong = new ArrayList<>(), mendable = new ArrayList<>();
        for (StandingClicks.Standing c : there) (longestSeconds == 0 || c.to() - c.from() > longest() ? tooLong : mendable).add(c);
        List<Patch> patches = mendable.isEmpty() ? List.of() : patches(x, excerpt.from(), mendable, tooLong, hz);
        return new Outcome(patches, tooLong.stream().map(c -> new ClickFinder.Click(c.from() + excerpt.from(), c.to() + excerpt.from(), c.heightDb()))
                .toList());
    }

    /** The prediction rings, and cells are coarse: what stands out is longer than the click by up to this. */
    private double longest() {
        return (longestSeconds + 2 * ONSET_SECONDS) * rate;
    }

    /** What may be one click struck twice is mended as one. */
    private List<StandingClicks.Standing> joined(List<StandingClicks.Standing> clicks) {
        List<StandingClicks.Standing> joined = new ArrayList<>();
        for (StandingClicks.Standing c : clicks) {
            StandingClicks.Standing last = joined.isEmpty() ? null : joined.get(joined.size() - 1);
            if (last == null || c.to() - last.from() > longest()) {
                joined.add(c);
            } else {
                joined.set(joined.size() - 1, new StandingClicks.Standing(last.from(), c.to(), c.faded(), Math.max(last.heightDb(), c.heightDb())));
            }
        }
        return joined;
    }

    private static double[] middle(double[][] x) {
        double[] middle = x[0].clone();
        if (x.length == 2) for (int i = 0; i < middle.length; i++) middle[i] = 0.5 * (middle[i] + x[1][i]);
        return middle;
    }

    private List<Patch> patches(double[][] x, long at, List<StandingClicks.Standing> clicks, List<StandingClicks.Standing> tooLong, double hz) {
        double[][] slow = factor == 1 ? x : resampled(x, factor, 1);
        double ratio = slowRate / rate;
        int length = slow[0].length;
        boolean[] damaged = new boolean[length];
        int[][] spans = new int[clicks.size()][];
        for (int i = 0; i < spans.length; i++) {
            int from = (int) Math.max(1, clicks.get(i).from() * ratio - ONSET_SECONDS * slowRate);
            int to = (int) Math.min(length - 1,
                    Math.min(from + (2 * ONSET_SECONDS + longestSeconds) * slowRate, clicks.get(i).faded() * ratio + TAIL_SECONDS * slowRate));
            if (i + 1 < spans.length) to = Math.min(to, (int) (clicks.get(i + 1).from() * ratio - ONSET_SECONDS * slowRate));
            spans[i] = new int[] {from, to};
            if (to > from) Arrays.fill(damaged, from, to, true);
        }
        for (StandingClicks.Standing c : tooLong) Arrays.fill(damaged, (int) (c.from() * ratio), (int) Math.min(length, c.to() * ratio + 1), true);
        List<Patch> patches = new ArrayList<>();
        for (int[] span : spans) {
            if (span[1] <= span[0]) continue;
            double[][] taken = clicks(slow, span, damaged, hz);
            if (taken != null) patches.add(patch(x, at, taken, span[0]));
        }
        return patches;
    }

    /** The click of each channel from {@code span[0]}, which it moves; null where there is none. What is mended is mended in {@code x} too. */
    private double[][] clicks(double[][] x, int[] span, boolean[] damaged, double hz) {
        int from = span[0], to = span[1];
        Autoregression[] voice = new Autoregression[x.length];
        double[] envelope = new double[to - from];
        for (int c = 0; c < x.length; c++) {
            int period = period(x[c], damaged, from, to, hz);
            int beside = (int) (FIT_SECONDS * slowRate) + period;
            int[] lags = Autoregression.lags((int) Math.round(ORDER_SECONDS * slowRate), period, (int) Math.round(REACH_SECONDS * slowRate));
            voice[c] = Autoregression.fit(x[c], Math.max(0, from - beside), Math.min(x[c].length, to + beside), damaged, lags);
            double[] click = voice[c] == null ? null : separation.click(x[c], from, to, voice[c], ROUNDS);
            if (click == null) continue;
            double[] own = separation.envelope(click);
            for (int i = 0; i < own.length; i++) envelope[i] = Math.max(envelope[i], own[i]);
        }
        double faint = FAINT * Separation.peak(envelope);
        if (!(faint > 0)) return null;
        int first = 0, last = envelope.length, edge = (int) (EDGE_SECONDS * slowRate) / 2;
        while (envelope[first] < faint) first++;
        while (envelope[last - 1] < faint) last--;
        span[0] = Math.max(from, from + first - edge);
        span[1] = Math.min(to, from + last + edge);
        double[][] clicks = new double[x.length][span[1] - span[0]];
        for (int c = 0; c < x.length; c++) {
            double[] click = voice[c] == null ? null : separation.click(x[c], span[0], span[1], voice[c], LAST_ROUNDS);
            if (click == null) continue;
            clicks[c] = click;
            for (int i = 0; i < click.length; i++) x[c][span[0] + i] -= click[i];
        }
        return clicks;
    }

    /** Near what the pitch track says, the lag at which what is whole here is most like itself. */
    private int period(double[] x, boolean[] damaged, int from, int to, double hz) {
        if (hz == 0) return 0;
        double expected = slowRate / hz;
        int reach = (int) (PERIODIC_SECONDS * slowRate), best = 0;
        double most = 0;
        for (int lag = (int) (expected * (1 - PITCH_OFF)); lag <= expected * (1 + PITCH_OFF) + 1; lag++) {
            double product = 0, here = 0, there = 0;
            for (int n = Math.max(lag, from - reach); n < Math.min(x.length, to + reach + lag); n++) {
                if (damaged[n] || damaged[n - lag]) continue;
                product += x[n] * x[n - lag];
                here += x[n] * x[n];
                there += x[n - lag] * x[n - lag];
            }
            double likeness = product > 0 ? product * product / (here * there) : 0;
            if (likeness > most) {
                most = likeness;
                best = lag;
            }
        }
        return best;
    }

    /** {@code taken} was cut out already where the rate is not high: {@code x} itself is mended. */
    private Patch patch(double[][] x, long at, double[][] taken, int from) {
        int length = taken[0].length;
        if (factor == 1) return new Patch(at + from, Arrays.stream(x).map(c -> Arrays.copyOfRange(c, from, from + length)).toArray(double[][]::new));
        int before = Math.min(from, (int) (EDGE_SECONDS * slowRate));
        double[][] wide = new double[taken.length][length + 2 * before];
        for (int c = 0; c < wide.length; c++) System.arraycopy(taken[c], 0, wide[c], before, length);
        double[][] fast = resampled(wide, 1, factor);
        int first = (int) Math.round((from - before) * rate / slowRate), n = Math.min(fast[0].length, x[0].length - first);
        double[][] mended = new double[x.length][n];
        for (int c = 0; c < mended.length; c++) for (int i = 0; i < n; i++) mended[c][i] = x[c][first + i] - fast[c][i];
        return new Patch(at + first, mended);
    }

    /** From one multiple of a rate to another; whatever that is, the filters are the same, and it need not be whole. */
    private static double[][] resampled(double[][] x, int from, int to) {
        Resampled resampled = new Resampled(new Samples(from * SLOW_RATE, x), to * SLOW_RATE);
        double[][] y = new double[x.length][(int) resampled.frames()];
        resampled.read(0, y, y[0].length);
        return y;
    }
}
