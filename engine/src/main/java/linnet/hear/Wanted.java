package linnet.hear;

import java.util.OptionalDouble;

/**
 * What was decided for a note.
 *
 * @param pitch where it should be, in semitones, 69 at 440 Hz; empty if it is left as it is or goes where others go
 */
public record Wanted(Note note, OptionalDouble pitch, Why why) {
    /** Why so. */
    public enum Why {
        /** A person said so. */
        TOLD,
        /** It is plainly nearest to that allowed note. */
        NEAREST,
        /** It lies between two allowed notes, and its neighbours do not tell which is meant. */
        BETWEEN,
        /** Its pitch is not sure. */
        UNSURE,
        /** It is too short to be sure of, or a person said so: it goes as far as the notes that it is sung into or out of. */
        CARRIED,
        /** The nearest allowed note is further than a voice can be moved and stay itself. */
        FAR
    }

    /** How far it would have to move, in cents; 0 if it has no pitch of its own. */
    public double cents() {
        return pitch.isPresent() ? 100 * (pitch.getAsDouble() - note.pitch()) : 0;
    }
}
