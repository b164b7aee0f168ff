package linnet.hear;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import linnet.dsp.pitch.Held;
import linnet.dsp.pitch.PitchTrack;
import linnet.dsp.pitch.Semitones;

/**
 * Finds the notes of a take. Each stretch with pitch is cut where it is cheapest to say that the voice moved on: every frame is either
 * on one of many levels, and costs its distance from it, or between two of them, and costs a fixed sum; to leave a level costs too
 * (A. Viterbi's algorithm, 1967; M. Mauch and S. Dixon, ICASSP 2014, follow pitch so). What swings over a level and back is vibrato, what
 * is short and never still is a scoop, a fall or a glide: neither is a note. A stretch without pitch parts two notes, and so does a dip
 * in level, as of an m, l or d, and the beginning of a vowel from which on the pitch is another, by too little to tell it from a swing without
 * the vowel. The costs and limits were fitted to two annotators' notes of one song and tried on four other takes.
 */
final class NoteFinder {
    private static final int LEVELS = 5;
    /** In semitones squared, halved: how a frame's distance counts, and no more than so much. */
    private static final double NEAR = 2 * 0.45 * 0.45, FAR = 2.5;
    private static final double BETWEEN = 0.9, LEAVE = 6, TO_BETWEEN = 2;
    /** In frames of 10 ms. */
    private static final int GAP = 3, SHORTEST = 6, SWING = 12, SLIDE = 12, DIP_APART = 7, DIP_NEAR = 4, DIP_REACH = 9;
    /** In semitones: levels that are one; levels on both sides of a swing; the widest swing; how far beyond one; how far a slide moves. */
    private static final double SAME = 0.7, SIDES = 1.2, WIDEST = 2.4, SWUNG = 0.2, SLIDES = 0.7;
    private static final double DIP = 5;
    /** In semitones: by how much the pitch of a new vowel must be another; and the frames beside its beginning that tell, without those that glide. */
    private static final double ANOTHER = 0.5;
    private static final int BESIDE = 25, GLIDES = 3;
    private static final double SURE_FRAMES = 12, SURE_UNREST = 55;

    private final PitchTrack track;
    private final Sung sung;
    private final double rate;
    /** Semitones where there is pitch, else not a number; level in dB. */
    private final double[] pitch, level;
    private final boolean[] vowel;

    /** @param vowels where they begin */
    NoteFinder(PitchTrack track, Sung sung, Levels levels, List<Mark> vowels, double rate) {
        this.track = track;
        this.sung = sung;
        this.rate = rate;
        pitch = new double[track.frames()];
        for (int f = 0; f < pitch.length; f++) pitch[f] = track.voiced(f) && sung.frame(f) ? Semitones.of(track.fine()[f]) : Double.NaN;
        level = levels.momentaryDb();
        vowel = new boolean[pitch.length];
        for (Mark v : vowels) {
            int f = (int) Math.round((double) v.from() / track.hop());
            if (f < vowel.length && v.confidence() >= Tuning.SURE) vowel[f] = true;
        }
    }

    /** A stretch on one level. */
    private record Run(int from, int to, double level) {}

    List<Note> find() {
        List<Note> notes = new ArrayList<>();
        for (int f = 0; f < pitch.length; ) {
            if (!voiced(f)) {
                f++;
                continue;
            }
            int to = f + 1;
            for (int i = to; i < pitch.length && i - to < GAP; i++) if (voiced(i)) to = i + 1;
            if (to - f >= SHORTEST) for (Run r : runs(f, to)) add(r, notes);
            f = to;
        }
        return notes;
    }

    private boolean voiced(int f) {
        return !Double.isNaN(pitch[f]);
    }

    private void add(Run r, List<Note> notes) {
        int start = r.from;
        for (int f = r.from + DIP_APART; f < r.to - DIP_APART; f++) {
            if (f - start < DIP_APART || !dips(f, r) && !(vowel[f] && moves(start, f, r.to))) continue;
            note(start, f, notes);
            start = f;
        }
        note(start, r.to, notes);
    }

    /** Whether the pitch after a frame is another than before. */
    private boolean moves(int from, int f, int to) {
        double[] before = heard(Math.max(from, f - BESIDE), f - GLIDES), after = heard(f + GLIDES, Math.min(to, f + BESIDE));
        return before.length > 0 && after.length > 0 && Math.abs(after[after.length / 2] - before[before.length / 2]) > ANOTHER;
    }

    private boolean dips(int f, Run r) {
        if (f >= level.length) return false;
        double before = Double.NEGATIVE_INFINITY, after = before;
        for (int i = Math.max(r.from, f - DIP_REACH); i < f; i++) before = Math.max(before, level[i]);
        for (int i = f + 1; i < Math.min(Math.min(r.to, level.length), f + DIP_REACH + 1); i++) after = Math.max(after, level[i]);
        if (Math.min(before, after) - level[f] < DIP) return false;
        for (int i = Math.max(r.from, f - DIP_NEAR); i <= Math.min(f + DIP_NEAR, level.length - 1); i++) if (level[i] < level[f]) return false;
        return true;
    }

    private void note(int from, int to, List<Note> notes) {
        if (to - from < SHORTEST) return;
        Held held = new Held(track, rate, from, to);
        if (held.sounds()) notes.add(of(held, (long) from * track.hop(), (long) to * track.hop(), confidence(held), Optional.empty()));
    }

    /** A note that is known, with what is heard there. */
    static Note heardAt(Note known, PitchTrack track, double rate) {
        return of(Held.between(track, rate, known.from(), known.to()), known.from(), known.to(), known.confidence(), known.target());
    }

    private static Note of(Held held, long from, long to, double confidence, Optional<Note.Target> target) {
        return new Note(from, to, held.mean(), held.vibratoHz(), held.vibratoCents(), held.scoopCents(), held.fallCents(),
                held.sounds() ? confidence : 0, target);
    }

    private static double confidence(Held held) {
        double still = held.unrestCents() / SURE_UNREST;
        return held.voiced() * Ear.certainty(held.last() - held.first(), SURE_FRAMES) / (1 + still * still);
    }

    private List<Run> runs(int from, int to) {
        List<Run> runs = meet(levels(from, to), from, to);
        joinSwings(runs);
        dropSlides(runs);
        return runs;
    }

    /** The cheapest path. Levels lie a fifth of a semitone apart. */
    private List<Run> levels(int from, int to) {
        double[] heard = Arrays.stream(pitch, from, to).filter(p -> !Double.isNaN(p)).toArray();
        double low = Math.floor(Arrays.stream(heard).min().orElseThrow()) - 1;
        int count = (int) (Math.ceil(Arrays.stream(heard).max().orElseThrow()) + 1 - low) * LEVELS + 1;
        Origins came = new Origins(to - from, count + 1);
        double[] cost = new double[count + 1], next = new double[count + 1];
        for (int f = from; f < to; f++) {
            int best = 1;
            for (int l = 2; l <= count; l++) if (cost[l] < cost[best]) best = l;
            came.best(f - from, best);
            for (int l = 0; l <= count; l++) {
                double least = cost[l];
                int source = Origins.STAYED;
                double leave = l == 0 ? cost[best] + TO_BETWEEN : cost[best] + LEAVE, arrive = l == 0 ? least : cost[0] + LEAVE - TO_BETWEEN;
                if (f > from && leave < least) {
                    least = leave;
                    source = Origins.LEFT_BEST;
                }
                if (f > from && arrive < least) {
                    least = arrive;
                    source = Origins.ARRIVED;
                }
                came.put(f - from, l, source);
                next[l] = least + price(f, l == 0 ? Double.NaN : low + (l - 1.0) / LEVELS);
            }
            System.arraycopy(next, 0, cost, 0, next.length);
        }
        int at = 0;
        for (int l = 1; l <= count; l++) if (cost[l] < cost[at]) at = l;
        List<Run> runs = new ArrayList<>();
        int end = to;
        for (int f = to - 1; f >= from; f--) {
            int source = f == from ? -1 : came.of(f - from, at);
            if (source == at) continue;
            if (at > 0) runs.add(0, new Run(f, end, low + (at - 1.0) / LEVELS));
            end = f;
            at = source;
        }
        return runs;
    }

    /** From where the cheapest path comes to each level, frame by frame: two bits for each, as an unbroken stretch may last for hours. */
    private static final class Origins {
        static final int STAYED = 0, LEFT_BEST = 1, ARRIVED = 2;
        private static final int EACH = 2, IN_A_BYTE = Byte.SIZE / EACH;

        private final byte[][] how;
        private final short[] best;

        Origins(int frames, int levels) {
            how = new byte[frames][(levels + IN_A_BYTE - 1) / IN_A_BYTE];
            best = new short[frames];
        }

        /** The level that is cheapest before a frame. */
        void best(int frame, int level) {
            best[frame] = (short) level;
        }

        void put(int frame, int level, int from) {
            how[frame][level / IN_A_BYTE] |= (byte) (from << EACH * (level % IN_A_BYTE));
        }

        /** The level before, where it is this one in a frame. */
        int of(int frame, int level) {
            int from = how[frame][level / IN_A_BYTE] >> EACH * (level % IN_A_BYTE) & 3;
            return from == STAYED ? level : from == LEFT_BEST ? best[frame] : 0;
        }
    }

    private double price(int f, double level) {
        if (Double.isNaN(level)) return BETWEEN;
        if (!voiced(f)) return 0;
        double off = pitch[f] - level;
        return Math.min(FAR, off * off / NEAR);
    }

    /** Neighbours meet where the pitch is half way between them; the first and the last reach to the ends. */
    private List<Run> meet(List<Run> levels, int from, int to) {
        List<Run> runs = new ArrayList<>();
        int start = from;
        for (int k = 0; k < levels.size(); k++) {
            Run r = levels.get(k);
            int end = to;
            if (k + 1 < levels.size()) {
                Run next = levels.get(k + 1);
                double half = (r.level + next.level) / 2;
                end = r.to;
                while (end < next.from && !(voiced(end) && pitch[end] > half == next.level > r.level)) end++;
            }
            runs.add(new Run(start, end, r.level));
            start = end;
        }
        return runs;
    }

    /** What leaves a level for a moment and comes back is a swing of one note, and so are neighbours at nearly the same level. */
    private void joinSwings(List<Run> runs) {
        for (int k = 0; k < runs.size(); ) {
            if (k > 0 && k + 1 < runs.size() && isSwing(runs.get(k - 1), runs.get(k), runs.get(k + 1))) {
                join(runs, k - 1, k + 1);
                k = 0;
            } else if (k > 0 && (Math.abs(runs.get(k).level - runs.get(k - 1).level) < SAME || isHalfSwing(runs.get(k), runs.get(k - 1))
                    || isHalfSwing(runs.get(k - 1), runs.get(k)))) {
                join(runs, k - 1, k);
                k = 0;
            } else {
                k++;
            }
        }
    }

    private static boolean isSwing(Run a, Run b, Run c) {
        return b.to - b.from <= SWING && (b.level - a.level) * (b.level - c.level) > 0 && Math.abs(a.level - c.level) < SIDES
                && Math.abs(b.level - (a.level + c.level) / 2) < WIDEST;
    }

    /** The first or last half of a swing that the other one goes through too. */
    private boolean isHalfSwing(Run end, Run other) {
        if (end.to - end.from > SWING || other.to - other.from < 2 * SWING) return false;
        double[] sorted = heard(other.from, other.to);
        int edge = sorted.length / 10;
        return end.level > sorted[edge] - SWUNG && end.level < sorted[sorted.length - 1 - edge] + SWUNG;
    }

    /** The pitches of a stretch in order of height. */
    private double[] heard(int from, int to) {
        return Arrays.stream(pitch, from, to).filter(p -> !Double.isNaN(p)).sorted().toArray();
    }

    private void join(List<Run> runs, int first, int last) {
        int from = runs.get(first).from, to = runs.get(last).to;
        double[] sorted = heard(from, to);
        runs.subList(first, last + 1).clear();
        runs.add(first, new Run(from, to, sorted[sorted.length / 2]));
    }

    /** What is short and moves all the while belongs to the note that it leads to or comes from. */
    private void dropSlides(List<Run> runs) {
        for (int k = 0; k < runs.size() && runs.size() > 1; ) {
            Run r = runs.get(k);
            double[] heard = Arrays.stream(pitch, r.from, r.to).filter(p -> !Double.isNaN(p)).toArray();
            boolean moves = heard.length < SHORTEST || Arrays.stream(heard).max().orElse(0) - Arrays.stream(heard).min().orElse(0) > SLIDES;
            if (r.to - r.from > SLIDE || !moves) {
                k++;
                continue;
            }
            double mean = Arrays.stream(heard).average().orElse(r.level);
            boolean later = k == 0 || k + 1 < runs.size() && Math.abs(mean - runs.get(k + 1).level) <= Math.abs(mean - runs.get(k - 1).level);
            Run other = runs.get(later ? k + 1 : k - 1);
            runs.set(later ? k + 1 : k - 1, later ? new Run(r.from, other.to, other.level) : new Run(other.from, r.to, other.level));
            runs.remove(k);
            k = 0;
        }
    }
}
