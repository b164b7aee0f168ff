package linnet.dsp.pitch;

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
    /**
     * Two grains that are set apart by so many seconds or more know nothing of each other above {@link Grains#BREATH}: the crossfade
     * then keeps the power there, not the sum.
     */
    private static final double ALIKE_S = 60e-6;
    /** In eighths. */
    private static final int OCTAVE = 8;

    private final Sound sound;
    private final Grains grains;
    private final Between between, faster, low;
    /** Parts a burst from its period: what lies on the slope is heard of both, in two places, so the slope is narrow. Only where there are bursts. */
    private final Between steep;
    /** The same for grains read at half the speed to twice, in eighths of an octave: what one lets through is below {@link Grains#BREATH} once it is read. */
    private final Between[] steepAt = new Between[2 * OCTAVE + 1];
    /** In order of time. */
    private final Grains.Struck[] struck;
    private final List<Refused> refused;
    /** How far beyond a stretch the sound is wanted for it. */
    private final int reach;
    /** Per channel and grain, what it averages to beside the sound; not a number before it is asked for. */
    private final double[][] own;

    private final double[][] window;
    private double[][] fetched;
    private double[] left = new double[0], right = new double[0], lowLeft = left, lowRight = right;
    private long windowFrom, windowTo;

    /** A stretch that should have been bent and was left alone, from a sample to the one after its last. */
    public record Refused(long from, long to) {}

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
        GrainLayer layer = new GrainLayer(this.sound, pitch, bend, formants);
        grains = layer.grains();
        struck = grains.struck();
        refused = layer.refused();
        float fastest = grains.fastest();
        between = new Between(1);
        low = Between.below(Grains.BREATH, sound.rate());
        faster = fastest > 1 ? new Between(1 / fastest) : between;
        steep = struck.length == 0 ? low : Between.steeplyBelow(Grains.BREATH, sound.rate());
        steepAt[OCTAVE] = steep;
        for (int k = 0; k < grains.size() && struck.length > 0; k++) {
            int eighth = eighth(grains.speed(k));
            if (steepAt[eighth] == null) steepAt[eighth] = Between.steeplyBelow(Grains.BREATH * StrictMath.pow(2, 1 - (double) eighth / OCTAVE), sound.rate());
        }
        reach = grains.reach() + Math.max(steep.side(), faster.side()) + 1 + grains.beyond();
        own = new double[sound.channels()][grains.size()];
        for (double[] o : own) Arrays.fill(o, Double.NaN);
        window = new double[sound.channels()][0];
        fetched = new double[sound.channels()][0];
    }

    /** Where it left alone what should have been bent, because the periods are not sure, in order of time. */
    public List<Refused> refused() {
        return refused;
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
        for (int p = grains.passage(from); p < grains.passages() && grains.out(grains.first(p)) < from + n; p++) {
            for (int k = grains.grain(p, from); k + 1 < grains.end(p) && grains.out(k) < from + n; k++) {
                long begin = Math.max(from, (long) Math.ceil(grains.out(k))), end = Math.min(from + n, (long) Math.ceil(grains.out(k + 1)));
                if (begin >= end) continue;
                if (grains.isParted(k)) part(k, begin, (int) (end - begin), into, (int) (begin - from));
                else if (grains.stays(k)) continue;
                else fade(k, begin, (int) (end - begin), into, (int) (begin - from));
                for (Grains.Struck burst : struck) strike(burst, k, begin, end, into, (int) (begin - from));
            }
        }
    }

    /** Which of {@link #steepAt} is for a speed. */
    private static int eighth(float speed) {
        return OCTAVE + (int) Math.round(OCTAVE * StrictMath.log(speed) / StrictMath.log(2));
    }

    /** Has above {@link Grains#BREATH} the take's own for what two grains bring, where a burst is, from {@code begin} up to before {@code end}. */
    private void strike(Grains.Struck burst, int k, long begin, long end, double[][] into, int at) {
        long a = Math.max(begin, (long) Math.ceil(burst.from())), b = Math.min(end, (long) Math.ceil(burst.to()));
        if (a >= b) return;
        int n = (int) (b - a), y = at + (int) (a - begin), x = (int) (a - windowFrom);
        double width = grains.width(k), ends = grains.ends(k), begins = grains.begins(k);
        for (int c = 0; c < window.length; c++) {
            read(k, steepAt[eighth(grains.speed(k))], c, a, lowLeft, n);
            read(k + 1, steepAt[eighth(grains.speed(k + 1))], c, a, lowRight, n);
            steep.read(window[c], x, left, n);
            double ending = offset(k, c), beginning = offset(k + 1, c);
            for (int i = 0; i < n; i++) {
                double over = step((a - ends + i) / width), in = step((a - begins + i) / width);
                double below = (1 - over) * (lowLeft[i] - ending) + in * (lowRight[i] - beginning);
                into[c][y + i] += share(burst, a + i) * (below + window[c][x + i] - left[i] - into[c][y + i]);
            }
        }
    }

    /** How much of what is heard above {@link Grains#BREATH} around a burst is the take's own. */
    private static double share(Grains.Struck burst, long t) {
        return step(Math.min(t - burst.from(), burst.to() - t) / burst.edge() - 0.5);
    }

    /**
     * What is taken from a grain: what it averages to, less what the sound does there, evened over five grains, so that no period is made unlike the next.
     */
    private double offset(int k, int channel) {
        if (grains.isStill(k)) return 0;
        // The first and the last of a passage are still, so what lies beyond counts nothing.
        double near = own(k - 1, channel) + own(k + 1, channel), far = own(Math.max(0, k - 2), channel) + own(Math.min(grains.size() - 1, k + 2), channel);
        return (3 * own(k, channel) + 2 * near + far) / 9;
    }

    private double own(int k, int channel) {
        double known = own[channel][k];
        return known == known ? known : (own[channel][k] = grains.isStill(k) ? 0 : mean(k, window[channel]) - slow(k, window[channel]));
    }

    /** Read between two samples: what is left of that lies far above all that a mean is of. */
    private double mean(int k, double[] x) {
        double sum = 0, weights = 0, middle = grains.begins(k - 1), width = grains.width(k - 1);
        long set = (long) Math.ceil(grains.out(k)), end = (long) Math.ceil(grains.out(k + 1));
        for (long t = (long) Math.ceil(Math.max(grains.out(k - 1), middle - 0.5 * width)); t < end; t++) {
            if (t == set) {
                middle = grains.ends(k);
                width = grains.width(k);
            }
            double in = step((t - middle) / width), weight = t < set ? in : 1 - in;
            double place = grains.source(k) + (t - grains.out(k)) * grains.speed(k), before = Math.floor(place);
            int i = (int) ((long) before - windowFrom);
            sum += weight * (x[i] + (place - before) * (x[i + 1] - x[i]));
            weights += weight;
        }
        return sum / weights;
    }

    /** What the sound averages to around the place of a grain, over two periods under a raised cosine, in which no harmonic is left. */
    private double slow(int k, double[] x) {
        double sum = 0, weights = 0;
        for (long t = (long) Math.ceil(grains.source(k) - grains.period(k)); t < grains.source(k) + grains.period(k); t++) {
            double weight = step(0.5 - Math.abs(t - grains.source(k)) / grains.period(k));
            sum += weight * x[(int) (t - windowFrom)];
            weights += weight;
        }
        return sum / weights;
    }

    /** Where pulses are left out: one grain has ended before it would bring the next, then there is silence, then the other begins. */
    private void part(int k, long begin, int n, double[][] into, int at) {
        double width = grains.width(k), ends = grains.ends(k), begins = grains.begins(k);
        for (int c = 0; c < window.length; c++) {
            read(k, grains.speed(k) > 1 ? faster : between, c, begin, left, n);
            read(k + 1, grains.speed(k + 1) > 1 ? faster : between, c, begin, right, n);
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
        double width = grains.width(k), middle = grains.ends(k);
        int a = (int) Math.max(0, Math.min(n, Math.ceil(middle - 0.5 * width) - begin));
        int b = (int) Math.max(a, Math.min(n, Math.floor(middle + 0.5 * width) + 1 - begin));
        double apart = Math.abs(grains.source(k + 1) + (middle - grains.out(k + 1)) * grains.speed(k + 1)
                - grains.source(k) - (middle - grains.out(k)) * grains.speed(k));
        double alike = Math.max(0, 1 - apart / (ALIKE_S * sound.rate()));
        boolean split = alike < 1;
        for (int c = 0; c < window.length; c++) {
            double[] y = into[c];
            read(k, grains.speed(k) > 1 ? faster : between, c, begin, left, b);
            read(k + 1, grains.speed(k + 1) > 1 ? faster : between, c, begin + a, right, n - a);
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
        double away = begin - grains.out(k);
        if (grains.speed(k) == 1) reader.read(window[channel], grains.source(k) + away - windowFrom, y, n);
        else reader.read(window[channel], windowFrom, grains.source(k), away, grains.speed(k), y, n);
    }

    /** sin(πz) for z from -1/2 to 1/2, within 4e-6: its series, the last term fitted to reach 1. */
    private static double sine(double z) {
        double s = z * z;
        return z * (Math.PI - s * (5.16771278004997 - s * (2.550164039877345 - s * (0.5992645293207921 - s * 0.0821458866111282))));
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
