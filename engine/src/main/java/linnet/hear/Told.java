package linnet.hear;

import java.util.Optional;
import java.util.function.LongToDoubleFunction;

/**
 * What a person, or an earlier run, wrote down of a take: it counts more than what is heard.
 *
 * @param marks the whole list, where there is one
 * @param clicks whether that list tells of clicks too; else they are found by ear
 * @param corrected whether a person changed that list and the sound is the very take that it is of: what is heard there and not in it was then taken out
 * @param notes the whole list, where there is one
 */
public record Told(Optional<Marks> marks, boolean clicks, boolean corrected, Optional<Notes> notes) {
    /** By a person, with the clicks. */
    public Told(Optional<Marks> marks, Optional<Notes> notes) {
        this(marks, true, marks.isPresent(), notes);
    }

    /** Of marks alone. */
    public Told(Optional<Marks> marks) {
        this(marks, Optional.empty());
    }

    /** Nothing: all is found by ear. */
    public static Told nothing() {
        return new Told(Optional.empty(), Optional.empty());
    }

    /** The same of what a chain made of it that moved it by so many cents at each sample; as other sounds are heard in that, nothing was taken out of it. */
    public Told transposed(LongToDoubleFunction cents) {
        return new Told(marks, clicks, false, notes.map(n -> n.transposed(cents)));
    }

    /** The same of a sound that begins so many samples earlier. */
    public Told moved(long by) {
        return new Told(marks.map(m -> m.moved(by)), clicks, corrected, notes.map(n -> n.moved(by)));
    }
}
