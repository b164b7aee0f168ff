package linnet.hear;

import java.util.Optional;

/**
 * A sung note.
 *
 * @param from its first sample
 * @param to the sample after its last
 * @param pitch heard, in semitones, 69 at 440 Hz: the mean over whole cycles of its held part; not a number where none is heard
 * @param vibratoHz cycles per second; 0 without vibrato
 * @param vibratoCents how far that swings to each side
 * @param scoopCents where it slides in from, negative from below; 0 where it does not
 * @param fallCents where it falls off to, negative downwards; 0 where it does not
 * @param confidence from 0, a guess, to 1, certain
 * @param target where it should be, if somebody said so
 */
public record Note(
        long from,
        long to,
        double pitch,
        double vibratoHz,
        double vibratoCents,
        double scoopCents,
        double fallCents,
        double confidence,
        Optional<Target> target) {

    private static final double DOUBTED = 0.3;

    /**
     * What is wanted of a note.
     *
     * @param pitch in semitones, 69 at 440 Hz; 0 if none is wanted
     */
    public record Target(Kind kind, double pitch) {
        /** What it is. */
        public enum Kind {
            /** A pitch. */
            PITCH,
            /** As it was sung. */
            LEAVE,
            /** As far from where it was sung as the notes that it is sung into or out of. */
            NEIGHBOURS
        }

        public static Target leave() {
            return new Target(Kind.LEAVE, 0);
        }

        public static Target withNeighbours() {
            return new Target(Kind.NEIGHBOURS, 0);
        }

        public static Target at(double pitch) {
            return new Target(Kind.PITCH, pitch);
        }
    }

    /** The same note at another place. */
    Note between(long first, long end) {
        return new Note(first, end, pitch, vibratoHz, vibratoCents, scoopCents, fallCents, confidence, target);
    }

    /** The same note, of which is known that its pitch may be wrong. */
    Note doubted() {
        return new Note(from, to, pitch, vibratoHz, vibratoCents, scoopCents, fallCents, confidence * DOUBTED, target);
    }

    /** The same note, wanted so many cents higher, if a pitch is wanted of it. */
    Note wantedHigher(double cents) {
        return target.filter(t -> t.kind == Target.Kind.PITCH).map(t -> aimed(Target.at(t.pitch + cents / 100))).orElse(this);
    }

    /** The same note as somebody who wrote it down knows it. */
    Note certain() {
        return new Note(from, to, pitch, vibratoHz, vibratoCents, scoopCents, fallCents, 1, target);
    }

    /** The same note with a target. */
    public Note aimed(Target at) {
        return new Note(from, to, pitch, vibratoHz, vibratoCents, scoopCents, fallCents, confidence, Optional.of(at));
    }
}
