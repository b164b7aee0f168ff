package linnet.dsp.pitch;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;

/**
 * A voice at another pitch, its formants kept or moved, in the time it was sung in: pitch-synchronous overlap-add (E.
 * Moulines, F. Charpentier, Speech Communication 9, 1990). The periods of the voice are marked ({@link MarkTracker}); the
 * sound around each mark, a grain, is set where the new pitch wants a period, and from one grain to the next it is
 * crossfaded by two halves of a raised cosine, shortly before the next pulse. Below 4.5 kHz they add up to one; above, where two
 * grains have nothing to do with each other, their powers do, so that breath does not beat with the pitch. Periods are repeated or
 * left out so that nothing drifts: a grain comes from the mark nearest to where it goes, but that a period with a burst of a consonant in it
 * ({@link Bursts}) is heard once. What lies between two pulses is heard less in a voice that is set higher; so what bursts above 4.5 kHz is the take's own,
 * for two periods or three, at its own time and neither higher nor lower. Below that it goes with its period. Grains are placed between the
 * samples. With the formants moved, a grain is read faster or slower. A period of another length than the take's does not average to zero where the
 * take's does: what a grain averages to under its crossfades is taken from it, but for what the take itself averages to there. By 100 cents first
 * formants of some
 * vowels move by up to 5 % with the pitch: two periods of
 * sound do not tell more of an envelope than its harmonics do.
 *
 * <p>What has no pitch, and what is not bent, is the sound itself to the bit, but that what comes right after a bent voice may be up to half a period
 * early or late: where the voice ends, its last period is as long as it shall be, and what follows is moved by whole samples, until it is quiet or most like
 * itself, within 0.15 s, and comes back into time there in 15 ms. A passage that is bent inside a voice begins and ends on a mark that stays
 * where it is, so it joins the sound in phase; what is over of a period at its end is made up for in its last 0.15 s, which are up
 * to 40 cents higher or lower at 230 Hz and up to 80 at 110 Hz (all of it by up to 2.5 cents). Where a voice seems to end and sounds on as loud, its last
 * period makes up for all of it, or, for a bend that {@link Bend#slidesHome()}, as few of the last as need be so that none is off by more than 7 % of the
 * take's. Between bent passages less than 80 ms apart the voice is moved in time by part of a period, and nothing else. Ratios are held between 1/2 and 2. From
 * 0.6 down, nearly nine semitones, pulses of the voice lie between two grains: each ends before the next of them, so there is silence between, and breath is
 * heard with the pulses only.
 *
 * <p>Where the marks are not sure the voice is left alone; {@link #refused()} tells where. One thread at a time.
 */
public final class Resynthesis {
    private static final double LOWEST = 0.5, HIGHEST = 2, APART_S = 0.08, HOME_S = 0.15;
    /** What comes after a voice comes back into time within so many seconds of its last mark, and in so many. */
    private static final double AFTER_S = 0.15, BACK_S = 0.015;
    /** By how much of itself a period may be off where a voice that sounds on comes home. */
    private static final double MOST = 0.07;
    /** As unlike itself, beside the voice before it, a place may be for that. */
    private static final double UNLIKE = 1 / 3.0;
    /**
     * How much of the way from mark to mark is a crossfade, and where its middle is: late, where little is left of a pulse. Against
     * the whole way this brings formants nearer to where they were and the level nearer to what it was.
     */
    private static final double SHARE = 0.6, LATE = 0.6;
    /**
     * Above so many Hz a voice is breath between its pulses, and two grains set a little apart know nothing of each other there: the
     * crossfade then keeps the power, not the sum. Set apart by less than so many seconds they do.
     */
    private static final double BREATH = 4500, ALIKE_S = 60e-6;
    /** By how much a whole passage may be off, so that whole periods fill it: 2.5 cents. */
    private static final double EVENLY = 0.00144;
    /** What is told of, in seconds. */
    private static final double WORTH_TELLING = 0.03;
    /** Grains that are set so much further apart than they were sung hold much of the periods beside them. */
    private static final double WIDE = 1.25;
    /** In how much of a period it becomes the take's own above {@link #BREATH} around a burst, and in how much the voice's again. */
    private static final double AROUND = 0.25;
    /** Samples between two questions whether anything is bent. */
    private static final int STEP = 64;

    private final Sound sound;
    private final Bend formants;
    private final Between between, faster, low;
    /** Parts a burst from its period: what lies on the slope is heard of both, in two places, so the slope is narrow. Only where there are bursts. */
    private final Between steep;
    private final List<Refused> refused = new ArrayList<>();

    /** Per grain, in order of time: where it is set, which place of the sound is set there, its period, and its reading speed. */
    private double[] out = new double[1024], source = new double[1024];
    private float[] period = new float[1024], speed = new float[1024];
    /** Whether the next is set so far away that a grain would bring the pulse of the sound that is left out between them. */
    private boolean[] far = new boolean[1024];
    /** Whether it is the sound's own where it is, or no voice: its mean stays as it is. */
    private boolean[] still = new boolean[1024];
    /** Per channel and grain, what it averages to beside the sound; not a number before it is asked for. */
    private final double[][] own;
    private int grains;
    /** The first grain of each passage. */
    private int[] first = new int[64];
    private int passages;
    private int reach;
    /** In order of time. */
    private final List<Struck> struck = new ArrayList<>();

    private final double[][] window;
    private double[][] fetched;
    private double[] left = new double[0], right = new double[0], lowLeft = left, lowRight = right;
    private long windowFrom, windowTo;

    /** A stretch that should have been bent and was left alone, from a sample to the one after its last. */
    public record Refused(long from, long to) {}

    /** A stretch around a burst, in samples, above {@link #BREATH} the take's own but for {@code edge} samples at each end. */
    private record Struck(double from, double to, double edge) {
        double share(long t) {
            return step(Math.min(t - from, to - t) / edge - 0.5);
        }
    }

    /**
     * @param pitch of this sound
     * @param formants factor by which formants move, from 1/2 to 2; 1 keeps them
     */
    public Resynthesis(Sound sound, PitchTrack pitch, Bend bend, double formants) {
        this(sound, pitch, bend, s -> formants);
    }

    /**
     * @param pitch of this sound
     * @param formants where the formants shall go: wanted over heard, as for the pitch
     */
    public Resynthesis(Sound sound, PitchTrack pitch, Bend bend, Bend formants) {
        this.sound = new Excerpt(sound, 0, sound.frames());
        this.formants = formants;
        MarkTracker tracker = new MarkTracker(sound, pitch);
        for (int f = pitch.again(0), end; f < pitch.frames(); f = pitch.again(end)) {
            end = pitch.end(f);
            lay((long) f * pitch.hop(), Math.min(sound.frames(), (long) end * pitch.hop()), Math.min(sound.frames(), (long) pitch.again(end) * pitch.hop()),
                    pitch, tracker, bend);
        }
        float fastest = 1;
        for (int k = 0; k < grains; k++) fastest = Math.max(fastest, speed[k]);
        between = new Between(1);
        low = Between.below(BREATH, sound.rate());
        faster = fastest > 1 ? new Between(1 / fastest) : between;
        steep = struck.isEmpty() ? low : Between.steeplyBelow(BREATH, sound.rate());
        reach += Math.max(steep.side(), faster.side()) + 1 + beyond();
        own = new double[sound.channels()][grains];
        for (double[] o : own) Arrays.fill(o, Double.NaN);
        window = new double[sound.channels()][0];
        fetched = new double[sound.channels()][0];
    }

    /** Where it left alone what should have been bent, because the periods are not sure, in order of time. */
    public List<Refused> refused() {
        return List.copyOf(refused);
    }

    /** One stretch of voice; the next begins {@code again}. */
    private void lay(long from, long to, long again, PitchTrack pitch, MarkTracker tracker, Bend bend) {
        if (!bends(from, to, bend)) return;
        PitchMarks marks = new PitchMarks();
        tracker.follow(from, to, marks);
        double sure = from;
        for (int r = 0; r < marks.runs(); r++) {
            double[] run = marks.run(r);
            tell(sure, run[0], pitch, bend);
            sure = run[run.length - 1];
            lay(run, r + 1 < marks.runs() ? (long) marks.run(r + 1)[0] : again, bend);
        }
        tell(sure, to, pitch, bend);
    }

    private void tell(double from, double to, PitchTrack pitch, Bend bend) {
        int voiced = 0;
        for (int f = (int) (from / pitch.hop()); f < to / pitch.hop(); f++) if (pitch.voiced(f)) voiced++;
        // A gap that is none of the voice's is not missed.
        if (Math.min(to - from, voiced * pitch.hop()) < WORTH_TELLING * sound.rate() || !bends((long) from, (long) to, bend)) return;
        refused.add(new Refused((long) from, (long) to));
    }

    private boolean bends(long from, long to, Bend bend) {
        for (long t = from; t < to; t += STEP) if (bend.ratio(t) != 1 || formants.ratio(t) != 1) return true;
        return false;
    }

    /** A run of marks: finds its bent passages. Another run begins {@code again}. */
    private void lay(double[] marks, long again, Bend bend) {
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
            if (bursts == null) bursts = Bursts.at(marks, LATE, sound, BREATH);
            passage(marks, ratio, tract, bursts, i, end, again, bend.slidesHome());
            i = end;
        }
    }

    private static double held(double ratio) {
        return Math.max(LOWEST, Math.min(HIGHEST, ratio));
    }

    /** Sets the grains from mark {@code from} to mark {@code to}, both of which stay where they are, or the last is where the voice has ended. */
    private void passage(double[] marks, double[] ratio, double[] tract, double[] bursts, int from, int to, long again, boolean slides) {
        double[] rise = Arrays.copyOfRange(ratio, from, to);
        boolean ends = to == marks.length - 1;
        Shifted after = ends ? shifted(marks, rise, again) : null;
        int home = rise.length - 1;
        while (home > 0 && (ends ? slides && astray(rise, home) > MOST : marks[to] - marks[from + home] < HOME_S * sound.rate())) home--;
        int periods = after != null ? periods(rise) : fill(rise, home, ends ? 0 : EVENLY);
        begin(periods + (after == null ? 1 : 3));
        int[] mark = new int[periods + 1];
        double[] place = new double[periods + 1], reading = new double[periods];
        int interval = from;
        double passed = 0;
        for (int j = 0; j < periods; j++) {
            // The place at which j new periods have passed, as a mark and part of the way to the next.
            while (j - passed > rise[interval - from] && interval + 1 < to) passed += rise[interval++ - from];
            double way = Math.max(0, Math.min(1, (j - passed) / rise[interval - from]));
            mark[j] = way < 0.5 ? interval : interval + 1;
            place[j] = marks[interval] + way * (marks[interval + 1] - marks[interval]);
            reading[j] = j == 0 ? 1 : tract[interval];
            far[grains + j] = ratio[interval] < LATE;
        }
        mark[periods] = to;
        place[periods] = marks[to];
        once(bursts, mark, place, marks);
        for (int j = 0; j < periods; j++) grain(place[j], marks, mark[j], reading[j]);
        if (after == null) {
            grain(marks[to], marks, to, 1);
            return;
        }
        grain(marks[to] + after.late, marks, to, 1);
        still[grains - 1] = true;
        piece(after.until, after.late);
        piece(after.until + width(), 0);
    }

    /**
     * Has each burst struck once: of the grains the nearest takes its mark, those before it an earlier one, those after it a later one. The first grain and the
     * last stay what they are. Around the burst and around where that grain would bring it, above {@link #BREATH} only the take's own is heard.
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
            struck.add(new Struck(marks[m - 1] + Math.min(0, moved), marks[end + 1] + Math.max(0, moved), AROUND * length));
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

    /** A place of what comes after the voice, as long as it takes to come back into time. */
    private void piece(long at, int late) {
        out[grains] = at;
        source[grains] = at - late;
        period[grains] = width();
        speed[grains] = 1;
        still[grains] = true;
        grains++;
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

    private void begin(int more) {
        if (passages + 2 > first.length) first = Arrays.copyOf(first, 2 * first.length);
        first[passages++] = grains;
        first[passages] = grains + more;
        if (grains + more <= out.length) return;
        int length = Math.max(grains + more, 2 * out.length);
        out = Arrays.copyOf(out, length);
        source = Arrays.copyOf(source, length);
        period = Arrays.copyOf(period, length);
        speed = Arrays.copyOf(speed, length);
        far = Arrays.copyOf(far, length);
        still = Arrays.copyOf(still, length);
    }

    private void grain(double place, double[] marks, int mark, double reading) {
        int before = Math.max(0, mark - 1), after = Math.min(marks.length - 1, mark + 1);
        double length = (marks[after] - marks[before]) / (after - before);
        out[grains] = rounded(place);
        source[grains] = rounded(marks[mark]);
        period[grains] = (float) length;
        speed[grains] = (float) reading;
        still[grains] = out[grains] == source[grains] && reading == 1;
        reach = (int) Math.max(reach, Math.ceil(Math.abs(place - marks[mark]) + Math.abs(reading - 1) * 2 * length));
        grains++;
    }

    /** To a 65536th of a sample: then differences of times are exact, whichever cut they are taken from. */
    private static double rounded(double sample) {
        return Math.rint(sample * 65536) / 65536;
    }

    /**
     * Writes samples {@code from … from + n - 1} of the result to index 0 of {@code into[channel]}: a pure function of time, so
     * any cut gives the same bits. They must lie inside the sound. Cheapest in order of time; once it has been asked for its
     * longest stretch nothing is allocated.
     */
    public void read(long from, double[][] into, int n) {
        window(from - reach, from + n + reach);
        for (int c = 0; c < window.length; c++) System.arraycopy(window[c], (int) (from - windowFrom), into[c], 0, n);
        if (left.length < n) {
            left = new double[n];
            right = new double[n];
            lowLeft = new double[n];
            lowRight = new double[n];
        }
        for (int p = passage(from); p < passages && out[first[p]] < from + n; p++) {
            for (int k = grain(p, from); k + 1 < first[p + 1] && out[k] < from + n; k++) {
                long begin = Math.max(from, (long) Math.ceil(out[k])), end = Math.min(from + n, (long) Math.ceil(out[k + 1]));
                if (begin >= end) continue;
                if (isParted(k)) part(k, begin, (int) (end - begin), into, (int) (begin - from));
                else if (stays(k)) continue;
                else fade(k, begin, (int) (end - begin), into, (int) (begin - from));
                for (Struck burst : struck) strike(burst, k, begin, end, into, (int) (begin - from));
            }
        }
    }

    /** Has above {@link #BREATH} the take's own for what two grains bring, where a burst is, from {@code begin} up to before {@code end}. */
    private void strike(Struck burst, int k, long begin, long end, double[][] into, int at) {
        long a = Math.max(begin, (long) Math.ceil(burst.from)), b = Math.min(end, (long) Math.ceil(burst.to));
        if (a >= b) return;
        int n = (int) (b - a), y = at + (int) (a - begin), x = (int) (a - windowFrom);
        double width = width(k), ends = ends(k), begins = begins(k);
        for (int c = 0; c < window.length; c++) {
            read(k, steep, c, a, lowLeft, n);
            read(k + 1, steep, c, a, lowRight, n);
            steep.read(window[c], x, left, n);
            double ending = offset(k, c), beginning = offset(k + 1, c);
            for (int i = 0; i < n; i++) {
                double over = step((a - ends + i) / width), in = step((a - begins + i) / width);
                double below = (1 - over) * (lowLeft[i] - ending) + in * (lowRight[i] - beginning);
                into[c][y + i] += burst.share(a + i) * (below + window[c][x + i] - left[i] - into[c][y + i]);
            }
        }
    }

    private boolean stays(int k) {
        return out[k] == source[k] && out[k + 1] == source[k + 1] && speed[k] == 1 && speed[k + 1] == 1;
    }

    /** Beyond one period from its mark a grain would bring the next pulse of the voice with it. */
    private double whole(int k) {
        return Math.min(period[k] / speed[k], period[k + 1] / speed[k + 1]);
    }

    /** Whether there is silence between a grain and the next. */
    private boolean isParted(int k) {
        return far[k] && out[k + 1] - out[k] > whole(k) / LATE;
    }

    /** In how many samples a grain ends, and the next begins. */
    private double width(int k) {
        double space = out[k + 1] - out[k], whole = whole(k);
        return SHARE * (isParted(k) ? (2 - 1 / LATE) * whole : Math.max(0.25 * whole, Math.min(space, 2 * whole - space)));
    }

    /** The middle of that in which a grain ends. */
    private double ends(int k) {
        return out[k] + (isParted(k) ? whole(k) : LATE * (out[k + 1] - out[k]));
    }

    /** The middle of that in which the next one begins: the same but where there is silence between them. */
    private double begins(int k) {
        return isParted(k) ? out[k + 1] - (1 / LATE - 1) * whole(k) : ends(k);
    }

    /** How far beyond a stretch sound is looked at for the means of its grains. */
    private int beyond() {
        double longest = 0, wide = 0;
        for (int k = 0; k + 1 < grains; k++) {
            if (still[k] && still[k + 1]) continue;
            longest = Math.max(longest, out[k + 1] - out[k]);
            wide = Math.max(wide, period[k]);
        }
        return (int) Math.ceil(4 * longest + wide);
    }

    /**
     * What is taken from a grain: what it averages to, less what the sound does there, evened over five grains, so that no period is made unlike the next.
     */
    private double offset(int k, int channel) {
        if (still[k]) return 0;
        // The first and the last of a passage are still, so what lies beyond counts nothing.
        double near = own(k - 1, channel) + own(k + 1, channel), far = own(Math.max(0, k - 2), channel) + own(Math.min(grains - 1, k + 2), channel);
        return (3 * own(k, channel) + 2 * near + far) / 9;
    }

    private double own(int k, int channel) {
        double known = own[channel][k];
        return known == known ? known : (own[channel][k] = still[k] ? 0 : mean(k, window[channel]) - slow(k, window[channel]));
    }

    /** Read between two samples: what is left of that lies far above all that a mean is of. */
    private double mean(int k, double[] x) {
        double sum = 0, weights = 0, middle = begins(k - 1), width = width(k - 1);
        long set = (long) Math.ceil(out[k]), end = (long) Math.ceil(out[k + 1]);
        for (long t = (long) Math.ceil(Math.max(out[k - 1], middle - 0.5 * width)); t < end; t++) {
            if (t == set) {
                middle = ends(k);
                width = width(k);
            }
            double in = step((t - middle) / width), weight = t < set ? in : 1 - in;
            double place = source[k] + (t - out[k]) * speed[k], before = Math.floor(place);
            int i = (int) ((long) before - windowFrom);
            sum += weight * (x[i] + (place - before) * (x[i + 1] - x[i]));
            weights += weight;
        }
        return sum / weights;
    }

    /** What the sound averages to around the place of a grain, over two periods under a raised cosine, in which no harmonic is left. */
    private double slow(int k, double[] x) {
        double sum = 0, weights = 0;
        for (long t = (long) Math.ceil(source[k] - period[k]); t < source[k] + period[k]; t++) {
            double weight = step(0.5 - Math.abs(t - source[k]) / period[k]);
            sum += weight * x[(int) (t - windowFrom)];
            weights += weight;
        }
        return sum / weights;
    }

    /** Where pulses are left out: one grain has ended before it would bring the next, then there is silence, then the other begins. */
    private void part(int k, long begin, int n, double[][] into, int at) {
        double width = width(k), ends = ends(k), begins = begins(k);
        for (int c = 0; c < window.length; c++) {
            read(k, speed[k] > 1 ? faster : between, c, begin, left, n);
            read(k + 1, speed[k + 1] > 1 ? faster : between, c, begin, right, n);
            double ending = offset(k, c), beginning = offset(k + 1, c);
            for (int i = 0; i < n; i++) {
                double over = step((begin - ends + i) / width), in = step((begin - begins + i) / width);
                into[c][at + i] = (1 - over) * (left[i] - ending) + in * (right[i] - beginning);
            }
        }
    }

    private static double step(double z) {
        return 0.5 + 0.5 * sine(Math.max(-0.5, Math.min(0.5, z)));
    }

    /** From one grain to the next: {@code n} samples from {@code begin} on. */
    private void fade(int k, long begin, int n, double[][] into, int at) {
        double width = width(k), middle = ends(k);
        int a = (int) Math.max(0, Math.min(n, Math.ceil(middle - 0.5 * width) - begin));
        int b = (int) Math.max(a, Math.min(n, Math.floor(middle + 0.5 * width) + 1 - begin));
        double apart = Math.abs(source[k + 1] + (middle - out[k + 1]) * speed[k + 1] - source[k] - (middle - out[k]) * speed[k]);
        double alike = Math.max(0, 1 - apart / (ALIKE_S * sound.rate()));
        boolean split = alike < 1;
        for (int c = 0; c < window.length; c++) {
            double[] y = into[c];
            read(k, speed[k] > 1 ? faster : between, c, begin, left, b);
            read(k + 1, speed[k + 1] > 1 ? faster : between, c, begin + a, right, n - a);
            double ending = offset(k, c), beginning = offset(k + 1, c);
            for (int i = 0; i < a; i++) y[at + i] = left[i] - ending;
            for (int i = b; i < n; i++) y[at + i] = right[i - a] - beginning;
            if (split) {
                read(k, low, c, begin + a, lowLeft, b - a);
                read(k + 1, low, c, begin + a, lowRight, b - a);
            }
            for (int i = a; i < b; i++) {
                double z = Math.max(-0.5, Math.min(0.5, (begin - middle + i) / width));
                double in = 0.5 + 0.5 * sine(z), all = left[i] + in * (right[i - a] - left[i]), off = ending + in * (beginning - ending);
                if (!split) {
                    y[at + i] = all - off;
                    continue;
                }
                double below = lowLeft[i - a] + in * (lowRight[i - a] - lowLeft[i - a]);
                y[at + i] = below - off + (all - below) / Math.sqrt(1 - 2 * in * (1 - in) * (1 - alike));
            }
        }
    }

    private void read(int k, Between reader, int channel, long begin, double[] y, int n) {
        double away = begin - out[k];
        if (speed[k] == 1) reader.read(window[channel], source[k] + away - windowFrom, y, n);
        else reader.read(window[channel], windowFrom, source[k], away, speed[k], y, n);
    }

    /** sin(πz) for z from -1/2 to 1/2, within 4e-6: its series, the last term fitted to reach 1. */
    private static double sine(double z) {
        double s = z * z;
        return z * (Math.PI - s * (5.16771278004997 - s * (2.550164039877345 - s * (0.5992645293207921 - s * 0.0821458866111282))));
    }

    /** The first passage that ends after a sample. */
    private int passage(long sample) {
        int low = 0, high = passages;
        while (low < high) {
            int middle = (low + high) >>> 1;
            if (out[first[middle + 1] - 1] > sample) high = middle;
            else low = middle + 1;
        }
        return low;
    }

    /** The last grain of a passage at or before a sample, or its first. */
    private int grain(int passage, long sample) {
        int low = first[passage], high = first[passage + 1];
        while (high - low > 1) {
            int middle = (low + high) >>> 1;
            if (out[middle] <= sample) low = middle;
            else high = middle;
        }
        return low;
    }

    /** Has the sound between two samples in the window. */
    private void window(long from, long to) {
        int n = (int) (to - from);
        if (window[0].length < n) {
            for (int c = 0; c < window.length; c++) {
                window[c] = Arrays.copyOf(window[c], n);
                fetched[c] = new double[n];
            }
        }
        if (from < windowFrom || from > windowTo) windowFrom = windowTo = from;
        int kept = (int) (windowTo - from), missing = n - kept;
        for (double[] w : window) System.arraycopy(w, (int) (from - windowFrom), w, 0, Math.max(0, Math.min(n, kept)));
        windowFrom = from;
        if (missing > 0) {
            sound.read(windowTo, fetched, missing);
            for (int c = 0; c < window.length; c++) System.arraycopy(fetched[c], 0, window[c], kept, missing);
        }
        windowTo = from + n;
    }
}
