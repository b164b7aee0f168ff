package linnet.dsp.dynamics;

import linnet.dsp.Decibels;

/**
 * How far each phrase of a song is moved towards the phrases around it. The target is the median, weighted by length and nearness, of the
 * phrases of its own section: up to 15 s away in full, less and less up to 25 s; so a long build-up stays one. Then all targets of a section
 * are shifted together until the section as a whole is as loud as it was: what a chorus stands over its verse is not touched, where the two
 * were told apart, but by as much as is asked; then what all sections together are stays. No section rises by more than a limit, as its room
 * rises along.
 */
public final class Levelling {
    private static final double NEAR_SECONDS = 15, FAR_SECONDS = 25;
    private static final double MOST_SHIFT = 60;
    private static final int HALVINGS = 60;
    /** Moves are written in hundredths of a decibel, and below half of one there is none. */
    private static final double STEPS = 100;

    /**
     * Phrases in order of time.
     *
     * @param from in seconds
     * @param to in seconds
     * @param loudness in LUFS
     * @param held phrases that are heard but not moved
     */
    public record PhraseLevels(double[] from, double[] to, double[] loudness, boolean[] held) {}

    private final PhraseLevels phrases;
    private final int[] section;
    private final double[] target, move;
    private final boolean[] limited;
    /** By how many dB each section goes to the others, and by how many it would without a limit. */
    private final double[] brought, asked;

    /**
     * @param share of the way to the target that a phrase goes, from 0 to 1, for each
     * @param most dB that a phrase is moved at most beside its section
     * @param ofSections share of what the sections differ by that is taken from them, from 0 to 1
     * @param highest dB that a section is raised at most for that, 0 or more
     */
    public Levelling(PhraseLevels phrases, double[] share, double most, double ofSections, double highest) {
        this.phrases = phrases;
        int n = phrases.loudness.length;
        section = Sections.of(phrases.from, phrases.to, phrases.loudness);
        target = new double[n];
        move = new double[n];
        limited = new boolean[n];
        for (int i = 0; i < n; i++) target[i] = around(i);
        for (int first = 0, end; first < n; first = end) {
            for (end = first; end < n && section[end] == section[first]; end++) {}
            settle(first, end, share, most);
        }
        brought = new double[sections()];
        asked = new double[sections()];
        if (ofSections > 0) bringTogether(ofSections, highest);
    }

    private void bringTogether(double share, double highest) {
        double[] power = new double[sections()], seconds = new double[sections()];
        for (int i = 0; i < section.length; i++) {
            if (phrases.held[i]) continue;
            power[section[i]] += length(i) * Decibels.power(phrases.loudness[i]);
            seconds[section[i]] += length(i);
        }
        together(power, seconds, share, Double.POSITIVE_INFINITY, asked);
        together(power, seconds, share, highest, brought);
        for (int i = 0; i < section.length; i++) {
            if (phrases.held[i]) continue;
            target[i] += brought[section[i]];
            move[i] = Math.rint(STEPS * (move[i] + brought[section[i]])) / STEPS + 0.0;
        }
    }

    /**
     * What is left of the difference between two powers in dB is that between their powers to what is left; what all together are stays, with what is held.
     * What a section at the limit lacks for that the others keep, which may bring one more of them to it.
     */
    private static void together(double[] power, double[] seconds, double share, double highest, double[] moves) {
        boolean[] full = new boolean[power.length];
        for (boolean more = true; more;) {
            double was = 0, is = 0;
            for (int s = 0; s < power.length; s++) {
                if (seconds[s] == 0) continue;
                was += power[s];
                if (full[s]) was -= power[s] * Decibels.power(highest);
                else is += seconds[s] * StrictMath.pow(power[s] / seconds[s], 1 - share);
            }
            more = false;
            for (int s = 0; s < power.length; s++) {
                if (seconds[s] == 0 || full[s]) continue;
                moves[s] = Decibels.ofPower(StrictMath.pow(power[s] / seconds[s], -share) * was / is);
                full[s] = moves[s] > highest;
                if (full[s]) moves[s] = highest;
                more |= full[s];
            }
        }
    }

    private double around(int i) {
        int n = phrases.loudness.length;
        double[] weight = new double[n];
        for (int k = 0; k < n; k++) {
            if (section[k] == section[i]) weight[k] = length(k) * nearness(Math.abs(middle(k) - middle(i)));
        }
        return Sections.median(phrases.loudness, weight);
    }

    private static double nearness(double seconds) {
        return Math.max(0, Math.min(1, (FAR_SECONDS - seconds) / (FAR_SECONDS - NEAR_SECONDS)));
    }

    private double length(int i) {
        return phrases.to[i] - phrases.from[i];
    }

    private double middle(int i) {
        return 0.5 * (phrases.from[i] + phrases.to[i]);
    }

    /** Finds the shift of all targets of a section that leaves its loudness as it was; it rises with the shift. */
    private void settle(int first, int end, double[] share, double most) {
        double low = -MOST_SHIFT, high = MOST_SHIFT, was = power(first, end, share, most, Double.NaN);
        for (int k = 0; k < HALVINGS; k++) {
            double middle = 0.5 * (low + high);
            if (power(first, end, share, most, middle) < was) low = middle;
            else high = middle;
        }
        double shift = 0.5 * (low + high);
        for (int i = first; i < end; i++) {
            move[i] = Math.rint(STEPS * move(i, share, most, shift)) / STEPS + 0.0;
            target[i] += shift;
            limited[i] = !phrases.held[i] && Math.abs(share[i] * (target[i] - phrases.loudness[i])) > most + 0.5 / STEPS;
        }
    }

    /** Of the section with that shift; NaN is before any move. */
    private double power(int first, int end, double[] share, double most, double shift) {
        double sum = 0;
        for (int i = first; i < end; i++) {
            double moved = Double.isNaN(shift) ? 0 : move(i, share, most, shift);
            sum += length(i) * Decibels.power(phrases.loudness[i] + moved);
        }
        return sum;
    }

    private double move(int i, double[] share, double most, double shift) {
        if (phrases.held[i]) return 0;
        return Math.max(-most, Math.min(most, share[i] * (target[i] + shift - phrases.loudness[i])));
    }

    /** In dB. */
    public double move(int i) {
        return move[i];
    }

    /** The loudness in LUFS that a phrase is moved towards. */
    double target(int i) {
        return target[i];
    }

    /** Whether a phrase would have gone further. */
    public boolean limited(int i) {
        return limited[i];
    }

    /** How many sections there are. */
    public int sections() {
        return section.length == 0 ? 0 : section[section.length - 1] + 1;
    }

    /** By how many dB a section as a whole is moved to the others. */
    public double brought(int section) {
        return brought[section];
    }

    /** By how many dB it would be without the limit for that. */
    public double asked(int section) {
        return asked[section];
    }

    /** Whether it would have gone further up. */
    public boolean held(int section) {
        return asked[section] > brought[section] + 0.5 / STEPS;
    }

    /** Whether there are lines and seconds enough for two sections. */
    public boolean sectionable() {
        return Sections.possible(phrases.from, phrases.to);
    }

    /** The section of a phrase, from 0. */
    public int section(int i) {
        return section[i];
    }
}
