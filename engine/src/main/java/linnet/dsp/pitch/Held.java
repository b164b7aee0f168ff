package linnet.dsp.pitch;

import java.util.Arrays;

/**
 * How one sung note is held: its pitch, what it slides in from and falls off to, its vibrato, and its drift. The pitch heard in a
 * vibrato is its mean (E. Prame, JASA 102(1), 1997), so that is taken over whole cycles of the part between slide and fall, once it has
 * settled. Vibrato is what repeats itself 4.5 to 8.5 times a second; drift is what is left under it, by a line fitted anew at each frame to 0.4 s on each side.
 */
public final class Held {
    /** Repeats per second of a vibrato: singers have 5 to 7 or 8 (E. Prame, JASA 96(4), 1994). */
    private static final double SLOWEST = 4.5, FASTEST = 8.5;
    private static final double LEAST_LIKE = 0.45, LEAST_SWING = 0.15;
    /** In semitones: how near a note must come to its pitch to have arrived, and what counts as a slide. */
    private static final double ARRIVED = 0.35, SLIDES = 0.3;
    /** In seconds. */
    private static final double SHORTEST_CYCLES = 0.28, LONG = 0.7, REACH = 0.4, USUAL_CYCLE = 0.18, SETTLES = 0.1, LEAVES = 0.03, BRIEF = 0.2;

    private final double perSecond;
    private final int from, first, last;
    private final double[] pitch, centre;
    private final double mean, vibratoHz, vibrato, unrest;
    private final int voiced;

    /**
     * @param rate in Hz, of the sound
     * @param from first frame of the note
     * @param to the frame after its last
     */
    public Held(PitchTrack track, double rate, int from, int to) {
        perSecond = rate / track.hop();
        this.from = Math.max(0, from);
        int end = Math.max(this.from, Math.min(to, track.frames()));
        pitch = new double[end - this.from];
        int heard = 0;
        for (int i = 0; i < pitch.length; i++) {
            boolean sounds = track.voiced(this.from + i);
            pitch[i] = sounds ? Semitones.of(track.fine()[this.from + i]) : Double.NaN;
            if (sounds) heard++;
        }
        voiced = heard;
        if (heard == 0) {
            first = 0;
            last = 0;
            mean = Double.NaN;
            vibratoHz = 0;
            vibrato = 0;
            unrest = 0;
            centre = new double[0];
            return;
        }
        double level = median(pitch, pitch.length / 5, pitch.length - pitch.length / 6);
        if (Double.isNaN(level)) level = median(pitch, 0, pitch.length);
        double wide = Math.max(ARRIVED, 1.2 * spread(level));
        int begin = 0, close = pitch.length;
        while (begin < pitch.length * 2 / 5 && !near(begin, level, wide)) begin++;
        while (close > pitch.length * 3 / 5 && !near(close - 1, level, wide)) close--;
        first = begin;
        last = Math.max(begin + 1, close);
        double[] cycle = cycle();
        vibratoHz = cycle[0] == 0 ? 0 : perSecond / cycle[0];
        mean = mean(bridged(), cycle[0]);
        centre = line(cycle[0]);
        vibrato = cycle[1];
        unrest = unrest(cycle[0]);
    }

    /** A note from one sample to the one before another. */
    public static Held between(PitchTrack track, double rate, long from, long to) {
        return new Held(track, rate, (int) Math.round((double) from / track.hop()), (int) Math.round((double) to / track.hop()));
    }

    private boolean near(int i, double level, double wide) {
        return Math.abs(pitch[i] - level) <= wide;
    }

    /** Half the distance that the middle four fifths of the frames lie within. */
    private double spread(double level) {
        double[] off = Arrays.stream(pitch).filter(p -> !Double.isNaN(p)).map(p -> Math.abs(p - level)).sorted().toArray();
        return Math.min(1.5, off[(int) (0.8 * (off.length - 1))]);
    }

    private static double median(double[] x, int from, int to) {
        double[] sorted = Arrays.stream(x, Math.max(0, from), Math.max(from, to)).filter(v -> !Double.isNaN(v)).sorted().toArray();
        return sorted.length == 0 ? Double.NaN : sorted[sorted.length / 2];
    }

    /** Length of a cycle of the vibrato in frames, and how far it swings to each side in semitones; 0 where there is none. */
    private double[] cycle() {
        int n = last - first;
        double[] found = cycle(quick(perSecond * USUAL_CYCLE));
        // A vibrato comes late: where the whole does not repeat itself, its later part may.
        if (found[0] == 0) found = cycle(Arrays.copyOfRange(quick(perSecond * USUAL_CYCLE), n * 2 / 5, n));
        return found;
    }

    private double[] cycle(double[] x) {
        int n = x.length;
        double[] none = {0, 0};
        if (n < SHORTEST_CYCLES * perSecond) return none;
        int shortest = (int) Math.ceil(perSecond / FASTEST), longest = Math.min((int) Math.ceil(perSecond / SLOWEST), n - shortest);
        double best = LEAST_LIKE;
        int lag = 0;
        for (int k = shortest; k <= longest; k++) {
            double like = like(x, k);
            if (like > best && like >= like(x, k - 1) && like >= like(x, k + 1)) {
                best = like;
                lag = k;
            }
        }
        if (lag == 0) return none;
        double period = peak(x, lag);
        // Over more cycles the second repeat tells the length better than the first.
        int twice = (int) Math.round(2 * period);
        if (twice + shortest <= n && like(x, twice) > LEAST_LIKE) {
            for (int k = twice - 1; k <= twice + 1; k++) {
                if (like(x, k) >= like(x, k - 1) && like(x, k) >= like(x, k + 1)) period = peak(x, k) / 2;
            }
        }
        double swing = grown(quick(period), period);
        return swing < LEAST_SWING ? none : new double[] {period, swing};
    }

    /** Where the likeness is highest near a lag, by a parabola. */
    private static double peak(double[] x, int lag) {
        double a = like(x, lag - 1), b = like(x, lag), c = like(x, lag + 1), bend = a - 2 * b + c;
        return bend < 0 ? lag + (a - c) / (2 * bend) : lag;
    }

    /** The held part without its mean over a cycle around each frame: what moves as fast as that or faster. */
    private double[] quick(double period) {
        double[] x = bridged(), quick = new double[x.length];
        for (int i = 0; i < x.length; i++) quick[i] = x[i] - around(x, i, period);
        return quick;
    }

    /** How far it swings to each side, where it swings more than in three quarters of the note: a vibrato comes late and grows. */
    private static double grown(double[] quick, double period) {
        double[] squares = new double[quick.length], power = new double[quick.length];
        for (int i = 0; i < quick.length; i++) squares[i] = quick[i] * quick[i];
        for (int i = 0; i < quick.length; i++) power[i] = around(squares, i, period);
        Arrays.sort(power);
        return StrictMath.sqrt(2 * power[(int) (0.75 * (power.length - 1))]);
    }

    /** The held part; where it has no pitch, straight lines. */
    private double[] bridged() {
        double[] x = Arrays.copyOfRange(pitch, first, last);
        int before = -1;
        for (int i = 0; i <= x.length; i++) {
            if (i < x.length && Double.isNaN(x[i])) continue;
            for (int k = before + 1; k < i; k++) {
                if (before < 0) x[k] = i < x.length ? x[i] : 0;
                else if (i == x.length) x[k] = x[before];
                else x[k] = x[before] + (x[i] - x[before]) * (k - before) / (i - before);
            }
            before = i;
        }
        return x;
    }

    /** How much it is like itself so many frames later, from -1 to 1. */
    private static double like(double[] x, int lag) {
        double product = 0, early = 0, late = 0;
        for (int i = 0; i + lag < x.length; i++) {
            product += x[i] * x[i + lag];
            early += x[i] * x[i];
            late += x[i + lag] * x[i + lag];
        }
        return early > 0 && late > 0 ? product / StrictMath.sqrt(early * late) : 0;
    }

    /** The mean over one cycle around a frame, less near an end, so that it lies evenly; its outer frames by the share that belongs to it. */
    private static double around(double[] x, int i, double period) {
        double half = Math.min(period / 2, Math.min(i, x.length - 1 - i) + 0.5), sum = 0, weight = 0;
        for (int k = (int) -Math.ceil(half); k <= Math.ceil(half); k++) {
            int at = i + k;
            double w = Math.max(0, Math.min(1, half + 0.5 - Math.abs(k)));
            if (w == 0 || at < 0 || at >= x.length) continue;
            sum += w * x[at];
            weight += w;
        }
        return sum / weight;
    }

    /**
     * Of the means over one cycle around each place, the mean of the middle half by height. The beginning, in which a voice settles, and the
     * last moment, in which it goes on to something else, do not count, unless the note is so brief that there is little else: neither the
     * last cents of a slide nor the leap of phase where the mouth closes, of 50 cents for 60 ms before an n, moves it.
     */
    private double mean(double[] all, double period) {
        double spare = Math.max(0, all.length - BRIEF * perSecond);
        int begin = (int) Math.round(Math.min(SETTLES * perSecond, spare / 2)), end = (int) Math.round(Math.min(LEAVES * perSecond, spare / 5));
        double[] x = Arrays.copyOfRange(all, begin, all.length - end);
        double width = period > 0 ? Math.min(period, x.length) : Math.min(perSecond * USUAL_CYCLE, x.length / 4.0);
        int edge = (int) Math.max(0, Math.ceil(width / 2 - 0.5)), n = Math.max(1, x.length - 2 * edge);
        double[] means = new double[n];
        for (int i = 0; i < n; i++) means[i] = around(x, Math.min(x.length - 1, edge + i), width);
        return midmean(means);
    }

    private static double midmean(double[] x) {
        double[] sorted = x.clone();
        Arrays.sort(sorted);
        int quarter = sorted.length / 4;
        double sum = 0;
        for (int i = quarter; i < sorted.length - quarter; i++) sum += sorted[i];
        return sum / (sorted.length - 2 * quarter);
    }

    /** The pitch under vibrato and unrest, at each frame of the held part. */
    private double[] line(double period) {
        double[] x = bridged(), line = new double[x.length];
        if (x.length < LONG * perSecond) {
            Arrays.fill(line, mean);
            return line;
        }
        int reach = (int) Math.round(Math.max(REACH * perSecond, 1.5 * period));
        for (int i = 0; i < x.length; i++) {
            double w0 = 0, w1 = 0, w2 = 0, y0 = 0, y1 = 0;
            // As wide on one side as is missing on the other, so that an end has as many cycles as the middle.
            int low = Math.max(0, Math.min(i - reach, x.length - 1 - 2 * reach)), high = Math.min(x.length - 1, Math.max(i + reach, 2 * reach));
            double middle = (low + high) / 2.0, half = (high - low) / 2.0 + 1;
            for (int k = low; k <= high; k++) {
                double t = k - middle, w = 0.5 + 0.5 * StrictMath.cos(Math.PI * t / half);
                w0 += w;
                w1 += w * t;
                w2 += w * t * t;
                y0 += w * x[k];
                y1 += w * t * x[k];
            }
            double det = w0 * w2 - w1 * w1, slope = (w0 * y1 - w1 * y0) / det;
            line[i] = (y0 - slope * w1) / w0 + slope * (i - middle);
        }
        // Whoever takes the drift away leaves the pitch where it was.
        double off = mean - mean(line, period);
        for (int i = 0; i < line.length; i++) line[i] += off;
        return line;
    }

    private double unrest(double period) {
        double[] x = bridged();
        double sum = 0;
        for (int i = 0; i < x.length; i++) {
            double off = period > 0 ? around(x, i, period) - centre[i] : x[i] - centre[i];
            sum += off * off;
        }
        return StrictMath.sqrt(sum / x.length);
    }

    /** Whether any frame of it has a pitch. */
    public boolean sounds() {
        return voiced > 0;
    }

    /** The pitch it is heard at, in semitones: {@link Semitones}. */
    public double mean() {
        return mean;
    }

    /** First frame of the held part. */
    public int first() {
        return from + first;
    }

    /** The frame after the last of the held part. */
    public int last() {
        return from + last;
    }

    /** Cycles per second; 0 without vibrato. */
    public double vibratoHz() {
        return vibratoHz;
    }

    /** How far it swings to each side, in cents. */
    public double vibratoCents() {
        return 100 * vibrato;
    }

    /** How far it comes from before it arrives, in cents: negative from below; 0 where it does not slide. */
    public double scoopCents() {
        return slide(0, first, 1);
    }

    /** How far it leaves, in cents: negative downwards; 0 where it just ends. */
    public double fallCents() {
        return slide(pitch.length - 1, last - 1, -1);
    }

    private double slide(int outer, int inner, int way) {
        if (voiced == 0) return 0;
        double most = 0;
        for (int i = outer; i != inner; i += way) {
            if (!Double.isNaN(pitch[i]) && Math.abs(pitch[i] - mean) > Math.abs(most)) most = pitch[i] - mean;
        }
        return Math.abs(most) < SLIDES ? 0 : 100 * most;
    }

    /** How far the held part wanders besides vibrato and drift, RMS in cents. */
    public double unrestCents() {
        return 100 * unrest;
    }

    /** The share of its frames that have a pitch. */
    public double voiced() {
        return pitch.length == 0 ? 0 : (double) voiced / pitch.length;
    }

    /** How far the note has drifted from its pitch at a frame, in cents; before and after the held part as at its ends. */
    public double driftCents(int frame) {
        if (voiced == 0) return 0;
        int i = Math.max(0, Math.min(centre.length - 1, frame - from - first));
        return 100 * (centre[i] - mean);
    }

    /** How far the vibrato has swung at a frame, in cents; 0 outside the held part. */
    public double swingCents(int frame) {
        int i = frame - from - first;
        if (vibratoHz == 0 || i < 0 || i >= centre.length || Double.isNaN(pitch[first + i])) return 0;
        return 100 * (pitch[first + i] - centre[i]);
    }
}
