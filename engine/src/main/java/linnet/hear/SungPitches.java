package linnet.hear;

import java.util.Arrays;
import java.util.List;
import linnet.dsp.pitch.Semitones;

/**
 * Where the notes of a take lie among the twelve of an octave, each counted by how long it is sung. A note whose pitch is a guess is left
 * out. Nothing is said of a take that is too short for it, or that is sung too unevenly.
 */
public final class SungPitches {
    /** Fewer notes, or seconds of them, are no melody: a key has seven. Judgement. */
    private static final int LEAST_NOTES = 8;
    private static final double LEAST_SECONDS = 4;
    /**
     * In semitones: notes that lie so near to one tuning of all semitones are sung by it, and so much of the time must be. Chance alone brings 0.4 of
     * it so near. Tried on real voices.
     */
    private static final double BY_ONE = 0.2, MOST = 0.7;
    /**
     * In semitones: a note that lies farther from where its singer has them is no certain one, and so much of the time must be certain. Tried on real voices.
     */
    private static final double CERTAIN = 0.3, CERTAIN_SHARE = 0.75;
    /** In cents: nearer to the middle between two semitones nobody can tell which of them is sung. */
    public static final double TELLS = 45;
    private static final int OCTAVE = 12;

    /** @param pitch in semitones, 69 at the reference */
    private record Sung(double pitch, double seconds) {}

    private final List<Sung> notes;
    private final double seconds;

    /** @param reference pitch of the A above middle C, in Hz */
    public SungPitches(List<Note> notes, double rate, double reference) {
        double offset = Semitones.of(reference) - 69;
        this.notes = notes.stream().filter(n -> n.confidence() >= Tuning.SURE && !Double.isNaN(n.pitch()))
                .map(n -> new Sung(n.pitch() - offset, (n.to() - n.from()) / rate)).toList();
        seconds = this.notes.stream().mapToDouble(Sung::seconds).sum();
    }

    private boolean isShort() {
        return notes.size() < LEAST_NOTES || seconds < LEAST_SECONDS;
    }

    /** How many cents all of it lies over the semitones that are counted from the reference, between -50 and 50; known where most of it lies so as one. */
    public Measured<Double> over() {
        if (isShort()) return Measured.not("too few notes are sung in it");
        double off = mean(), by = within(off, BY_ONE);
        return by < MOST ? Measured.not("its notes do not lie off in common") : Measured.of(100 * off, by);
    }

    /** The mean of how far notes lie from a semitone, in semitones: of angles, as 50 cents over one are 50 under the next. */
    private double mean() {
        double x = 0, y = 0;
        for (Sung n : notes) {
            double turn = 2 * Math.PI * n.pitch;
            x += n.seconds * StrictMath.cos(turn);
            y += n.seconds * StrictMath.sin(turn);
        }
        return StrictMath.atan2(y, x) / (2 * Math.PI);
    }

    /** The share of the time in which notes lie no farther than that from semitones which are off so. */
    private double within(double off, double reach) {
        return notes.stream().filter(n -> Math.abs(n.pitch - off - Math.rint(n.pitch - off)) <= reach).mapToDouble(Sung::seconds).sum() / seconds;
    }

    /**
     * What the semitones above C have of the time, as the singer has them: twelve shares of 1. Known where it is certain of most notes which they are, and
     * whether they are meant to be over or under where they lie.
     */
    public Measured<List<Double>> shares() {
        if (isShort()) return Measured.not("too few notes are sung in it");
        double off = mean(), certain = within(off, CERTAIN);
        if (certain < CERTAIN_SHARE || Math.abs(100 * off) > TELLS) return Measured.not("it is not certain which notes they are");
        Double[] shares = new Double[OCTAVE];
        Arrays.fill(shares, 0.0);
        for (Sung n : notes) {
            double key = Math.rint(n.pitch - off);
            if (Math.abs(n.pitch - off - key) <= CERTAIN) shares[Math.floorMod((int) key, OCTAVE)] += n.seconds / (certain * seconds);
        }
        return Measured.of(List.of(shares), certain);
    }
}
