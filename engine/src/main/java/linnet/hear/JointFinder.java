package linnet.hear;

import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;
import linnet.dsp.splice.Crossfade;
import linnet.dsp.splice.Overlap;
import linnet.dsp.splice.Timbre;

/**
 * Finds where one take may give way to another without being heard: the place nearest to the one that is wanted at which both are silent, behind closed lips
 * too, breathe, or have a consonant without voice. A breath counts as 30 ms farther than silence and a consonant as 100 ms; what would be cut in half, because
 * only one of them has it there, as 200 ms more; two breaths in a row, or none where there were some, as 400 ms more; and a step in level of more than 1.5 dB
 * as 10 ms for each dB, and 30 ms where it comes of the fade itself. Beside silence no consonant is cut, and what comes out of it brings its breath. Inside a
 * vowel they are joined only where there is nothing else, where the two are most alike, pitch period on pitch period.
 */
public final class JointFinder {
    /** One of the two: a sound and its marks, both in the time of the song; without a sound it is silence. */
    public record Side(Sound sound, long at, Marks marks) {
        public static final Side SILENT = new Side(null, 0, new Marks(List.of()));
    }

    /**
     * @param out whether the right comes out of silence there, against which nothing is a step
     * @param hushed whether it is silent in both in the middle of what is sung, where no step is heard
     */
    private record Candidate(long at, int fade, Joint.Lies lies, Joint.Breaths breaths, boolean cut, boolean out, boolean hushed, double cost) {}

    // Places compete by how far they lie from the one that is wanted; what is worse counts as so many ms farther. Of what has no origin beside it none was
    // written down when it was chosen.

    /** In ms: fades to try, the longest first, by what lies there: silence, a breath, a consonant, a vowel. Common practice. */
    private static final int[][] FADES = {{30, 20, 10}, {30, 20}, {12, 8, 5}, {20}};
    /** In ms, by the same: how far a fade keeps from whatever is worse to cut, on each side. */
    private static final int[] CLEAR = {10, 2, 2, 0};
    /** In ms, by the same: what it counts for that this lies there. A vowel is taken where there is nothing else, so it needs no number. */
    private static final double[] FARTHER = {0, 30, 100, 0};
    /** In ms, for each fade of that list that was too long. */
    private static final double SHORTER_MS = 5;
    /** In ms, where only one of the two takes has the breath or consonant that is cut. */
    private static final double HALF_MS = 200;
    /** In ms, where two breaths follow each other, or a phrase has lost its own. */
    private static final double TWICE_OR_NEVER_MS = 400;
    /** In ms, for each dB beyond {@link #EVEN_DB} from one take to the other. */
    private static final double PER_DB_MS = 10;
    /** In ms, for each dB beyond {@link #EVEN_DB} by which the fade itself steps more than both takes. */
    private static final double PER_DB_IN_IT_MS = 30;
    /** In dB: a smaller step in level counts for nothing. */
    private static final double EVEN_DB = 1.5;
    /** In ms, for each time that a step from sample to sample is the widest of the takes: more than all else can come to, so that what clicks comes last. */
    private static final double CLICKS_MS = 1e6;
    /** Below -90 dBFS nothing is heard: dither is no room. */
    private static final double INAUDIBLE = 3.2e-5;
    /** From one place that is looked at to the next. */
    private static final double GRID_SECONDS = 0.0025;
    /** Of the places at which a fade is tried, no two lie nearer to each other. */
    private static final double APART_SECONDS = 0.01;
    /** At no more places is a fade tried, the best before it is heard; each costs a fade with what is beside it. */
    private static final int TRIED = 32;
    /** Where every fade that is tried clicks, all are tried again, so many times shorter. */
    private static final int TIMES_SHORTER = 4;
    /** How far a vowel is searched on each side. */
    private static final double VOWEL_SECONDS = 0.06;
    /** From one place of a vowel that is tried to the next. */
    private static final double VOWEL_GRID_SECONDS = 0.005;
    /** How much more alike the two must be for each step of that grid farther. */
    private static final double WORTH_A_STEP = 0.002;
    /** How far the right is shifted in a vowel, either way: half of the longest pitch period, that of 83 Hz. */
    private static final double HALF_PERIOD_SECONDS = 0.006;
    /** How far from a place the next phrase or breath still belongs to it. */
    private static final double NEAR_SECONDS = 1.5;
    /** What is heard beside a fade, on each side, of how far the takes themselves step. */
    private static final double AROUND_SECONDS = 0.05;
    /** Over how long, on each side, the takes are compared by their timbre. */
    private static final double TONE_SECONDS = 0.5;
    /** How far before the place a breath is fetched, and by how much farther counts what cuts it. */
    private static final double BREATH_SECONDS = 1;
    /** In samples: 4 ms are the least that no click is heard of. */
    private final int shortest;

    private final double rate;
    private final int channels;

    public JointFinder(double rate, int channels) {
        this.rate = rate;
        this.channels = channels;
        shortest = samples(4);
    }

    private int samples(double ms) {
        return (int) Math.round(ms / 1000 * rate);
    }

    /**
     * The joint for a wanted place.
     *
     * @param earliest sample before which no breath is fetched, as another joint lies there
     * @param reach samples it may lie from there; 0 keeps the place
     * @param fade samples; 0 for what is usual for what lies there
     */
    public Joint find(Side left, Side right, long asked, long earliest, long reach, int fade) {
        long margin = samples(1000 * AROUND_SECONDS);
        SafePlaces a = places(left, asked, reach + margin), b = places(right, asked, reach + margin);
        long ended = ended(left, asked - samples(1000 * BREATH_SECONDS) - margin, asked + reach + margin);
        long back = reach;
        if (reach > 0 && right.sound != null) {
            long clear = samples(CLEAR[0]) + samples(FADES[0][0]) / 2,
                    from = Math.max(asked - samples(1000 * BREATH_SECONDS), Math.max(earliest, ended + margin));
            back = Math.max(reach, asked - Math.max(from, b.beforeBreath(asked - reach, clear)));
        }
        List<Candidate> safe = new ArrayList<>();
        long step = Math.max(1, samples(1000 * GRID_SECONDS));
        for (long k = -(back / step); k <= reach / step; k++) {
            long at = asked + k * step;
            candidate(a, b, at - margin >= ended, right.sound == null, asked, at, fade, safe);
        }
        if (safe.isEmpty()) return inVowel(left, right, a, b, asked, reach, fade, ended);
        safe.sort(Comparator.comparingDouble(Candidate::cost).thenComparingLong(Candidate::at));
        return joint(left, right, asked, smoothest(left, right, safe, fade > 0), 0);
    }

    private SafePlaces places(Side side, long at, long around) {
        long near = samples(1000 * NEAR_SECONDS), from = at - around - near;
        return new SafePlaces(side.marks, new Hush(read(side, from, (int) (2 * (around + near))), from, rate), at - around, at + around, near);
    }

    /** The sample after the last that is heard of a side; before all where none is, after {@code to} where it goes on. */
    private long ended(Side side, long from, long to) {
        if (side.sound == null) return Long.MIN_VALUE / 2;
        double[][] x = read(side, from, (int) (to - from));
        for (int i = x[0].length - 1; i >= 0; i--) for (double[] c : x) if (Math.abs(c[i]) > INAUDIBLE) return from + i + 1;
        return Long.MIN_VALUE / 2;
    }

    /**
     * The nearest, as they count, at which no sample steps farther than in the takes, with a shorter fade where the long ones all do; else the one that steps
     * least.
     */
    private Candidate smoothest(Side left, Side right, List<Candidate> safe, boolean fixed) {
        List<Candidate> tried = new ArrayList<>();
        for (Candidate c : safe) {
            if (tried.size() < TRIED && tried.stream().noneMatch(t -> Math.abs(t.at - c.at) < APART_SECONDS * rate)) tried.add(c);
        }
        Candidate best = best(left, right, tried);
        if (fixed || !(new Faded(left, right, best.at, best.fade).jump() > 1)) return best;
        List<Candidate> shorter = new ArrayList<>(List.of(best));
        for (Candidate c : tried) {
            shorter.add(new Candidate(c.at, Math.max(shortest, c.fade / TIMES_SHORTER), c.lies, c.breaths, c.cut, c.out, c.hushed, c.cost));
        }
        return best(left, right, shorter);
    }

    private Candidate best(Side left, Side right, List<Candidate> tried) {
        Candidate best = null;
        double least = Double.POSITIVE_INFINITY;
        for (Candidate c : tried) {
            // In the order of their costs: what is to come can only be worse.
            if (c.cost >= least) continue;
            Faded faded = new Faded(left, right, c.at, c.fade);
            double cost = c.cost + unevenness(left, right, c) + (c.hushed ? 0 : PER_DB_IN_IT_MS * Math.max(0, faded.uneven() - EVEN_DB));
            // What clicks comes after all that does not.
            if (faded.jump() > 1) cost += CLICKS_MS * faded.jump();
            // Between takes that stand still every step is infinitely wider than theirs.
            if (cost < least || best == null) {
                best = c;
                least = cost;
            }
        }
        return best;
    }

    /** By how much farther it counts for its step in level. */
    private double unevenness(Side left, Side right, Candidate c) {
        if (c.out || c.hushed || right.sound == null) return 0;
        int wide = Math.max(c.fade, samples(10));
        double step = Overlap.of(read(left, c.at - wide / 2, wide), read(right, c.at - wide / 2, wide), 0, wide, 0).step();
        return PER_DB_MS * Math.max(0, Math.abs(step) - EVEN_DB);
    }

    /** Whether a consonant is cut in two: in the other take is none, or another. */
    private static boolean isCut(SafePlaces a, SafePlaces b, long from, long to) {
        return lies(a, b, from, to) == Joint.Lies.CONSONANT && Collections.disjoint(a.consonants(from, to), b.consonants(from, to));
    }

    /** Whether only one of them is cut. In the closure of one stop neither is, marked or not. */
    private static boolean differs(SafePlaces a, SafePlaces b, long from, long to) {
        return a.at(from, to) != b.at(from, to) && Collections.disjoint(a.consonants(from, to), b.consonants(from, to));
    }

    private boolean isHushed(SafePlaces a, SafePlaces b, long at, int fade) {
        long half = fade / 2 + samples(CLEAR[0]);
        return a.hushed(at - half, at + half) && b.hushed(at - half, at + half);
    }

    /**
     * Takes up a place if nothing is cut there that is sung.
     *
     * @param out whether the right comes out of silence there
     * @param in whether the left goes into it
     */
    private void candidate(SafePlaces a, SafePlaces b, boolean out, boolean in, long asked, long at, int wanted, List<Candidate> into) {
        for (Joint.Lies lies : Joint.Lies.values()) {
            if (lies == (out || in ? Joint.Lies.CONSONANT : Joint.Lies.VOWEL)) return;
            int[] fades = FADES[lies.ordinal()];
            for (int f = 0; f < (wanted > 0 ? 1 : fades.length); f++) {
                int fade = wanted > 0 ? wanted : samples(fades[f]);
                long half = fade / 2 + samples(CLEAR[lies.ordinal()]);
                if (lies(a, b, at - half, at + half) != lies) continue;
                Joint.Breaths breaths = breaths(a, b, at, out);
                boolean cut = isCut(a, b, at - half, at + half);
                double cost = Math.abs(at - asked) / rate * 1000 + FARTHER[lies.ordinal()] + f * SHORTER_MS
                        + (breaths == Joint.Breaths.KEPT ? 0 : TWICE_OR_NEVER_MS)
                        + (!(out || in) && (cut || differs(a, b, at - half, at + half)) ? HALF_MS : 0)
                        + (out && (lies == Joint.Lies.BREATH || breaths == Joint.Breaths.LOST) ? 1000 * BREATH_SECONDS : 0);
                into.add(new Candidate(at, fade, lies, breaths, cut, out, isHushed(a, b, at, fade), cost));
                return;
            }
        }
    }

    private static Joint.Lies lies(SafePlaces a, SafePlaces b, long from, long to) {
        Joint.Lies one = a.at(from, to), other = b.at(from, to);
        Joint.Lies worse = one.compareTo(other) > 0 ? one : other;
        // Closed lips in one are no place to go over into a breath or another consonant: what they close belongs to the word.
        boolean torn = worse != Joint.Lies.SILENCE && (a.hushed(from, to) || b.hushed(from, to))
                && Collections.disjoint(a.consonants(from, to), b.consonants(from, to));
        return torn ? Joint.Lies.VOWEL : worse;
    }

    /** @param out whether the right comes out of silence there: then it has lost its breath, too, if most of that is cut */
    private static Joint.Breaths breaths(SafePlaces a, SafePlaces b, long at, boolean out) {
        if (a.breathBefore(at) && b.breathAfter(at)) return Joint.Breaths.DOUBLE;
        return !a.breathBefore(at) && b.phraseAfter(at) && (b.breathBefore(at) || out && b.mostOfBreathBefore(at)) ? Joint.Breaths.LOST : Joint.Breaths.KEPT;
    }

    /** Where the two are most alike, near the wanted place; a place that is to be kept is kept, and nothing is shifted. */
    private Joint inVowel(Side left, Side right, SafePlaces a, SafePlaces b, long asked, long reach, int wanted, long ended) {
        Joint.Lies lies = lies(a, b, asked - samples(2), asked + samples(2));
        int fade = wanted > 0 ? wanted : samples(FADES[lies.ordinal()][FADES[lies.ordinal()].length - 1]);
        boolean out = asked - fade / 2 >= ended;
        if (reach == 0 || out || right.sound == null) {
            return joint(left, right, asked,
                    new Candidate(asked, fade, lies, breaths(a, b, asked, out), isCut(a, b, asked - samples(2), asked + samples(2)), out,
                            isHushed(a, b, asked, fade), 0), 0);
        }
        int most = samples(1000 * HALF_PERIOD_SECONDS), lag = 0;
        long at = asked, step = samples(1000 * VOWEL_GRID_SECONDS), far = Math.min(reach, samples(1000 * VOWEL_SECONDS)) / step;
        double best = Double.NEGATIVE_INFINITY;
        for (long k = -far; k <= far; k++) {
            long here = asked + k * step;
            double[][] x = read(left, here - fade / 2 - most, fade + 2 * most), y = read(right, here - fade / 2 - most, fade + 2 * most);
            int shift = Overlap.lag(x, y, most, fade, most);
            double score = Overlap.of(x, y, most, fade, shift).correlation() - Math.abs(k) * WORTH_A_STEP;
            if (score > best) {
                best = score;
                at = here;
                lag = shift;
            }
        }
        return joint(left, right, asked, new Candidate(at, fade, Joint.Lies.VOWEL, Joint.Breaths.KEPT, false, false, false, 0), -lag);
    }

    /** @param shift samples by which the right is played later */
    private Joint joint(Side left, Side right, long asked, Candidate c, int shift) {
        int fade = Math.max(shortest, c.fade);
        if (c.out || right.sound == null) return Joint.besideSilence(asked, c.at, fade, c.lies, c.breaths, c.cut);
        Side moved = new Side(right.sound, right.at + shift, right.marks);
        Overlap over = Overlap.of(read(left, c.at - fade / 2, fade), read(moved, c.at - fade / 2, fade), 0, fade, 0);
        int wide = Math.max(fade, samples(10)), tone = samples(1000 * TONE_SECONDS);
        double level = c.hushed ? 0 : Overlap.of(read(left, c.at - wide / 2, wide), read(moved, c.at - wide / 2, wide), 0, wide, 0).step();
        double step = new Timbre(read(left, c.at - tone, 2 * tone), 2 * tone, rate).step(new Timbre(read(moved, c.at - tone, 2 * tone), 2 * tone, rate));
        double uneven = c.hushed ? 0 : new Faded(left, moved, c.at, fade).uneven();
        return new Joint(asked, c.at, fade, c.lies, shift, over.correlation(), level, uneven, step, c.breaths, c.cut, true);
    }

    /** The fade as it would be, with 50 ms of what is beside it. */
    private final class Faded {
        private final double[][] a, b, x;
        private final int around = samples(1000 * AROUND_SECONDS), fade;

        Faded(Side left, Side right, long at, int fade) {
            this.fade = fade;
            int n = fade + 2 * around;
            a = read(left, at - fade / 2 - around, n);
            b = read(right, at - fade / 2 - around, n);
            x = new double[channels][n];
            Crossfade law = new Crossfade(Overlap.of(a, b, around, fade, 0).correlation());
            for (int c = 0; c < channels; c++) {
                System.arraycopy(a[c], 0, x[c], 0, around);
                System.arraycopy(b[c], around + fade, x[c], around + fade, around);
                for (int i = 0; i < fade; i++) {
                    law.at((i + 0.5) / fade);
                    x[c][around + i] = law.leaving() * a[c][around + i] + law.coming() * b[c][around + i];
                }
            }
        }

        /** The widest step from one sample to the next in it, beside the widest of both sounds. */
        double jump() {
            double own = widest(x, around, around + fade), takes = Math.max(widest(a, 1, a[0].length), widest(b, 1, b[0].length));
            return own == 0 ? 0 : own / takes;
        }

        private double widest(double[][] of, int from, int to) {
            double most = 0;
            for (double[] c : of) for (int i = from; i < to; i++) most = Math.max(most, Math.abs(c[i] - c[i - 1]));
            return most;
        }

        /** By how many dB the level steps more, from one 10 ms to the next, than it does in either sound. */
        double uneven() {
            int frame = samples(10);
            double most = 0;
            for (int i = around - frame; i <= around + fade - frame; i += frame / 2) {
                most = Math.max(most, step(x, i, frame) - Math.max(step(a, i, frame), step(b, i, frame)));
            }
            return most;
        }

        private double step(double[][] of, int from, int frame) {
            return Math.abs(new Overlap(0, power(of, from, frame), power(of, from + frame, frame)).step());
        }

        private double power(double[][] of, int from, int n) {
            double sum = 0;
            for (double[] c : of) for (int i = from; i < from + n; i++) sum += c[i] * c[i];
            return sum / (n * of.length);
        }
    }

    private double[][] read(Side side, long from, int n) {
        double[][] x = new double[channels][n];
        if (side.sound == null) return x;
        new Excerpt(side.sound, from - side.at, n).read(0, x, n);
        if (channels == 2 && side.sound.channels() == 1) x[1] = x[0].clone();
        return x;
    }
}
