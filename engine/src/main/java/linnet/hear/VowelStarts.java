package linnet.hear;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.Decibels;
import linnet.dsp.pitch.PitchTrack;

/**
 * Where vowels begin. The cords (180 to 700 Hz) and the open mouth (700 Hz to 3.2 kHz) are strong together in a vowel only: a consonant lacks one
 * or both. So a vowel begins where the mean of both levels rises steepest, over 20 ms, and a voice goes on. A note that changes on the same
 * vowel is a start too. The limits were read from labelled takes of two singers and from the demo's.
 */
final class VowelStarts {
    /** In cells of 1 ms. */
    private static final int SMOOTH = 7, SPAN = 20, APART = 40, CONSONANT = 130, HELD = 60;
    private static final double RISE = 4, CLEAR = 12, FLOOR = -50, UNDER_BESIDE = -14;
    private static final int BESIDE = 350;
    /** Frames of 10 ms: most of a cycle of vibrato on each side; and a step that no vibrato makes, in semitones. */
    private static final int CYCLE = 12, GLIDE = 3, TAKEN = 12;
    private static final double STEP = 1.5;

    private final Strands strands;
    private final PitchTrack pitch;
    private final double floor, least;
    private final Strip cords, mouth, hiss, strength, rise;

    /** @param voice level of the sung frames in dBFS */
    VowelStarts(Strands strands, PitchTrack pitch, double voice) {
        this.strands = strands;
        this.pitch = pitch;
        floor = voice + FLOOR;
        least = Decibels.power(floor);
        cords = strands.power(Strands.Band.CORDS).mean(SMOOTH, SMOOTH);
        mouth = strands.power(Strands.Band.MOUTH).mean(SMOOTH, SMOOTH);
        hiss = strands.power(Strands.Band.HISS).mean(SMOOTH, SMOOTH);
        strength = new Strip(cords.length()) {
            @Override
            void fill(int from, double[] into, int n) {
                for (int i = 0; i < n; i++) into[i] = strength(from + i);
            }
        };
        CumulativeSums sums = new CumulativeSums(strength);
        rise = new Strip(cords.length()) {
            private final double[] sum = new double[PIECE + 2 * SPAN];

            @Override
            void fill(int from, double[] into, int n) {
                int first = Math.max(0, from - SPAN);
                sums.read(first, sum, Math.min(length() + 1, from + n + SPAN) - first);
                for (int i = 0; i < n; i++) {
                    int c = from + i, at = c - first;
                    boolean rises = c >= SPAN && c < length() - SPAN && isVoiced(c);
                    into[i] = rises ? (sum[at + SPAN] - 2 * sum[at] + sum[at - SPAN]) / SPAN : 0;
                }
            }
        };
    }

    private double strength(int c) {
        double open = level(mouth, c);
        // More hiss than the open mouth has is a fricative's or a burst's.
        return (level(cords, c) + open + Math.min(level(hiss, c), open)) / 3;
    }

    private double level(Strip power, int c) {
        double p = power.at(c);
        return p > least ? Decibels.ofPower(p) : floor;
    }

    /** Whether half of what follows has a pitch. */
    private boolean isVoiced(int at) {
        int voiced = 0;
        for (int c = at; c < at + HELD; c += Hiss.CELLS) if (pitch.voiced((int) (strands.sample(c) / pitch.hop()))) voiced++;
        return 2 * voiced * Hiss.CELLS >= HELD;
    }

    List<Event> find() {
        List<Integer> starts = new ArrayList<>();
        List<Event> found = new ArrayList<>();
        for (int c = SPAN; c < rise.length() - SPAN; c++) {
            if (rise.at(c) < RISE || !isSteepest(c) || !sings(c)) continue;
            // What came up shortly before and rises once more was a consonant with voice: m, n, l, r.
            while (!starts.isEmpty() && c - starts.get(starts.size() - 1) < CONSONANT) {
                starts.remove(starts.size() - 1);
                found.remove(found.size() - 1);
            }
            starts.add(c);
            found.add(new Event(strands.sample(c), strands.sample(c), strength.at(c), Math.min(1, 0.5 + 0.5 * (rise.at(c) - RISE) / CLEAR)));
        }
        addNotes(starts, found);
        return found;
    }

    private boolean isSteepest(int at) {
        for (int c = Math.max(0, at - APART); c < Math.min(rise.length(), at + APART); c++) {
            if (rise.at(c) > rise.at(at) || rise.at(c) == rise.at(at) && c < at) return false;
        }
        return true;
    }

    /** Whether what goes on here is about as strong as what is near. */
    private boolean sings(int at) {
        double beside = Double.NEGATIVE_INFINITY, own = Double.NEGATIVE_INFINITY;
        for (int c = Math.max(0, at - BESIDE); c < Math.min(strength.length(), at + BESIDE); c++) {
            beside = Math.max(beside, strength.at(c));
            if (c >= at && c < at + 2 * HELD) own = Math.max(own, strength.at(c));
        }
        return own > beside + UNDER_BESIDE;
    }

    /** Where the pitch steps from note to note and nothing else begins. */
    private void addNotes(List<Integer> starts, List<Event> found) {
        double[] step = new double[pitch.frames()];
        for (int f = CYCLE + GLIDE; f < pitch.frames() - CYCLE - GLIDE; f++) {
            double before = octave(f - GLIDE - CYCLE, f - GLIDE), after = octave(f + GLIDE, f + GLIDE + CYCLE);
            step[f] = Double.isNaN(before) || Double.isNaN(after) ? 0 : 12 * Math.abs(after - before);
        }
        for (int f = 0; f < step.length; f++) {
            if (step[f] < STEP || !isLargest(step, f)) continue;
            int cell = strands.cell((long) f * pitch.hop());
            if (starts.stream().anyMatch(c -> Math.abs(c - cell) < TAKEN * Hiss.CELLS)) continue;
            long sample = (long) f * pitch.hop();
            found.add(new Event(sample, sample, strength(Math.min(cell, strength.length() - 1)), Math.min(0.7, 0.3 + 0.2 * (step[f] - STEP))));
        }
    }

    private static boolean isLargest(double[] step, int at) {
        for (int f = Math.max(0, at - TAKEN); f < Math.min(step.length, at + TAKEN); f++) if (step[f] > step[at] || step[f] == step[at] && f < at) return false;
        return true;
    }

    /** Mean pitch as log2 of Hz; not a number where the voice breaks off. */
    private double octave(int from, int to) {
        double sum = 0;
        for (int f = from; f < to; f++) {
            if (!pitch.voiced(f)) return Double.NaN;
            sum += StrictMath.log(pitch.hz()[f]) / StrictMath.log(2);
        }
        return sum / (to - from);
    }
}
