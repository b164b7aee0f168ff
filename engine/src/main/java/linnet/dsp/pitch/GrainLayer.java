package linnet.dsp.pitch;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import linnet.dsp.Sound;

/**
 * Lays the grains of a voice that is set anew, once: follows the marks of each of its stretches, finds what is bent in them, and sets there as many periods as
 * the new pitch wants, so that what comes after is in its place again. How, and by how much something may be off, says {@link Resynthesis}.
 */
final class GrainLayer {
    private static final double LOWEST = 0.5, HIGHEST = 2, APART_S = 0.08, HOME_S = 0.15;
    /** What comes after a voice comes back into time within so many seconds of its last mark, and in so many. */
    private static final double AFTER_S = 0.15, BACK_S = 0.015;
    /** By how much of itself a period may be off where a voice that sounds on comes home. */
    private static final double MOST = 0.07;
    /** As unlike itself, beside the voice before it, a place may be for that. */
    private static final double UNLIKE = 1 / 3.0;
    /** By how much a whole passage may be off, so that whole periods fill it: 2.5 cents. */
    private static final double EVENLY = 0.00144;
    /** What is told of, in seconds. */
    private static final double WORTH_TELLING = 0.03;
    /** Grains that are set so much further apart than they were sung hold much of the periods beside them. */
    private static final double WIDE = 1.25;
    /** In how much of a period it becomes the take's own above {@link Grains#BREATH} around a burst, and in how much the voice's again. */
    private static final double AROUND = 0.25;
    /** Samples between two questions whether anything is bent. */
    private static final int STEP = 64;

    private final Sound sound;
    private final PitchTrack pitch;
    private final Bend bend, formants;
    private final Grains grains = new Grains();
    private final List<Resynthesis.Refused> refused = new ArrayList<>();

    /**
     * @param sound silent before its beginning and after its end
     * @param formants where the formants shall go: wanted over heard, as for the pitch
     */
    GrainLayer(Sound sound, PitchTrack pitch, Bend bend, Bend formants) {
        this.sound = sound;
        this.pitch = pitch;
        this.bend = bend;
        this.formants = formants;
        MarkTracker tracker = new MarkTracker(sound, pitch);
        for (int f = pitch.again(0), end; f < pitch.frames(); f = pitch.again(end)) {
            end = pitch.end(f);
            lay((long) f * pitch.hop(), Math.min(sound.frames(), (long) end * pitch.hop()), Math.min(sound.frames(), (long) pitch.again(end) * pitch.hop()),
                    tracker);
        }
    }

    Grains grains() {
        return grains;
    }

    /** Where it left alone what should have been bent, because the periods are not sure, in order of time. */
    List<Resynthesis.Refused> refused() {
        return List.copyOf(refused);
    }

    /** One stretch of voice; the next begins {@code again}. */
    private void lay(long from, long to, long again, MarkTracker tracker) {
        if (!bends(from, to)) return;
        PitchMarks marks = new PitchMarks();
        tracker.follow(from, to, marks);
        double sure = from;
        for (int r = 0; r < marks.runs(); r++) {
            double[] run = marks.run(r);
            tell(sure, run[0]);
            sure = run[run.length - 1];
            lay(run, r + 1 < marks.runs() ? (long) marks.run(r + 1)[0] : again);
        }
        tell(sure, to);
    }

    private void tell(double from, double to) {
        int voiced = 0;
        for (int f = (int) (from / pitch.hop()); f < to / pitch.hop(); f++) if (pitch.voiced(f)) voiced++;
        // A gap that is none of the voice's is not missed.
        if (Math.min(to - from, voiced * pitch.hop()) < WORTH_TELLING * sound.rate() || !bends((long) from, (long) to)) return;
        refused.add(new Resynthesis.Refused((long) from, (long) to));
    }

    private boolean bends(long from, long to) {
        for (long t = from; t < to; t += STEP) if (bend.ratio(t) != 1 || formants.ratio(t) != 1) return true;
        return false;
    }

    /** A run of marks: finds its bent passages. Another run begins {@code again}. */
    private void lay(double[] marks, long again) {
        int n = marks.length - 1;
        double[] ratio = new double[n], tract = new double[n];
        for (int i = 0; i < n; i++) {
            long middle = Math.round(0.5 * (marks[i] + marks[i + 1]));
            ratio[i] = held(bend.ratio(middle));
            tract[i] = held(formants.ratio(middle));
        }
        double apart = APART_S * sound.rate();
        double[] bursts = null;
        for (int i = 0; i < n; ) {
            int end = i;
            for (int k = i; k < n && marks[k] - marks[end] < apart; k++) if (ratio[k] != 1 || tract[k] != 1) end = k + 1;
            if (end == i || ratio[i] == 1 && tract[i] == 1) {
                i++;
                continue;
            }
            if (bursts == null) bursts = Bursts.at(marks, Grains.LATE, sound, Grains.BREATH);
            passage(marks, ratio, tract, bursts, i, end, again);
            i = end;
        }
    }

    private static double held(double ratio) {
        return Math.max(LOWEST, Math.min(HIGHEST, ratio));
    }

    /** Sets the grains from mark {@code from} to mark {@code to}, both of which stay where they are, or the last is where the voice has ended. */
    private void passage(double[] marks, double[] ratio, double[] tract, double[] bursts, int from, int to, long again) {
        double[] rise = Arrays.copyOfRange(ratio, from, to);
        boolean ends = to == marks.length - 1;
        Shifted after = ends ? shifted(marks, rise, again) : null;
        int home = rise.length - 1;
        while (home > 0 && (ends ? bend.slidesHome() && astray(rise, home) > MOST : marks[to] - marks[from + home] < HOME_S * sound.rate())) home--;
        int periods = after != null ? periods(rise) : fill(rise, home, ends ? 0 : EVENLY);
        grains.begin(periods + (after == null ? 1 : 3));
        int[] mark = new int[periods + 1];
        double[] place = new double[periods + 1], reading = new double[periods];
        boolean[] far = new boolean[periods];
        int interval = from;
        double passed = 0;
        for (int j = 0; j < periods; j++) {
            // The place at which j new periods have passed, as a mark and part of the way to the next.
            while (j - passed > rise[interval - from] && interval + 1 < to) passed += rise[interval++ - from];
            double way = Math.max(0, Math.min(1, (j - passed) / rise[interval - from]));
            mark[j] = way < 0.5 ? interval : interval + 1;
            place[j] = marks[interval] + way * (marks[interval + 1] - marks[interval]);
            reading[j] = j == 0 ? 1 : tract[interval];
            far[j] = ratio[interval] < Grains.LATE;
        }
        mark[periods] = to;
        place[periods] = marks[to];
        once(bursts, mark, place, marks);
        for (int j = 0; j < periods; j++) grains.grain(place[j], marks, mark[j], reading[j], far[j]);
        if (after == null) {
            grains.grain(marks[to], marks, to, 1, false);
            return;
        }
        grains.grain(marks[to] + after.late, marks, to, 1, false);
        grains.keepMean();
        grains.piece(after.until, after.late, width());
        grains.piece(after.until + width(), 0, width());
    }

    /**
     * Has each burst struck once: of the grains the nearest takes its mark, those before it an earlier one, those after it a later one. The first grain and the
     * last stay what they are. Around the burst and around where that grain would bring it, above {@link Grains#BREATH} only the take's own is heard.
     */
    private void once(double[] bursts, int[] mark, double[] place, double[] marks) {
        int last = mark.length - 1;
        for (int m = mark[0]; m <= mark[last]; m++) {
            if (bursts[m] != bursts[m]) continue;
            int at = 0;
            while (at < last && Math.abs(place[at + 1] - marks[m]) < Math.abs(place[at] - marks[m])) at++;
            // One on the border of two periods is in both; grains that are set far apart hold all of it, and some of it if it is in the period beside theirs.
            boolean wide = place[Math.min(last, at + 1)] - place[Math.max(0, at - 1)] > WIDE * (marks[m + 1] - marks[m - 1]);
            int end = m < mark[last] && bursts[m + 1] == bursts[m + 1] ? m + 1 : m;
            int before = wide && bursts[m] < marks[m] ? m - 2 : m - 1, after = wide && end == m && bursts[m] > marks[m] ? m + 2 : end + 1;
            for (int j = 1; j < last; j++) {
                if (j < at) mark[j] = Math.min(mark[j], before);
                else if (j == at) mark[j] = m;
                else mark[j] = Math.max(mark[j], !wide && j == at + 1 ? m + 1 : after);
            }
            double length = (marks[end + 1] - marks[m - 1]) / (end + 2 - m), moved = place[at] - marks[m];
            grains.strike(new Grains.Struck(marks[m - 1] + Math.min(0, moved), marks[end + 1] + Math.max(0, moved), AROUND * length));
            m = end;
        }
    }

    /**
     * What comes after a voice that has ended, and is later by a part of a period.
     *
     * @param late whole samples, so that its bits are the sound's own
     * @param until from where on it comes back into its own time, within some milliseconds
     */
    private record Shifted(int late, long until) {}

    /**
     * Finds where what comes after the last mark can best come back into time: where it is quiet, or most like itself. Null where it is as loud and as unlike
     * itself as a voice that sounds on.
     */
    private Shifted shifted(double[] marks, double[] rise, long again) {
        double rate = sound.rate(), last = marks[marks.length - 1], period = last - marks[marks.length - 2];
        // The last period is as long as those before it; what is over of the sum is how much sooner or later it ends.
        int late = (int) Math.round((periods(rise) - sum(rise)) / rise[rise.length - 1] * period);
        int width = width();
        long from = (long) Math.ceil(last + Math.max(0, late) + period), to = Math.min(again, (long) (last + AFTER_S * rate)) - width;
        if (to < from) return again == sound.frames() ? new Shifted(late, again) : null;
        long begin = (long) last - width - Math.abs(late);
        double[][] x = new double[sound.channels()][(int) (to + width - begin) + Math.abs(late)];
        sound.read(begin, x, x[0].length);
        double voice = 0, unlike = 0;
        for (int i = 0; i < width; i++) voice += squared(x, (int) (last - begin) - width + i, 0);
        for (int i = 0; i < width; i++) unlike += squared(x, (int) (from - begin) + i, late);
        long where = from;
        double least = unlike;
        for (long at = from; at < to; at++) {
            int i = (int) (at - begin);
            unlike += squared(x, i + width, late) - squared(x, i, late);
            if (unlike >= least) continue;
            least = unlike;
            where = at + 1;
        }
        return least > UNLIKE * voice ? null : new Shifted(late, where);
    }

    /** Power of a sample, or of what it is beside the one {@code late} before it. */
    private static double squared(double[][] x, int i, int late) {
        double sum = 0;
        for (double[] c : x) {
            double d = late == 0 ? c[i] : c[i] - c[i - late];
            sum += d * d;
        }
        return sum;
    }

    /** In how many samples what comes after a voice comes back into time. */
    private int width() {
        return (int) (BACK_S * sound.rate());
    }

    /** How many whole periods a passage has. */
    private static int periods(double[] ratio) {
        return (int) Math.max(1, Math.round(sum(ratio)));
    }

    private static double sum(double[] x) {
        double sum = 0;
        for (double v : x) sum += v;
        return sum;
    }

    /** By how much of itself a period is off at most, where what is over is made up for from period {@code home} on. */
    private static double astray(double[] ratio, int home) {
        return 1.5 * Math.abs(periods(ratio) - sum(ratio)) / (ratio.length - home);
    }

    /**
     * Adds so much to the ratio of each period that whole periods fill the passage: {@code most} to all, the rest from
     * period {@code home} on. Returns how many there are then.
     */
    private static int fill(double[] ratio, int home, double most) {
        int n = ratio.length;
        int periods = periods(ratio);
        double off = periods - sum(ratio), even = Math.max(-most, Math.min(most, off / n)), weight = 0;
        for (int i = home; i < n; i++) weight += bump(i, home, n);
        for (int i = 0; i < n; i++) ratio[i] += even + (i < home ? 0 : (off - even * n) * bump(i, home, n) / weight);
        return periods;
    }

    private static double bump(int i, int from, int to) {
        double x = (i + 0.5 - from) / (to - from);
        return x * (1 - x);
    }
}
