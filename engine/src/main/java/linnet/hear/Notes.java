package linnet.hear;

import java.util.Comparator;
import java.util.List;
import java.util.function.LongToDoubleFunction;

/** The sung notes of a take, in order of time: found by ear, or read from the list that a person corrected. */
public record Notes(List<Note> all) {
    public Notes {
        all = all.stream().sorted(Comparator.comparingLong(Note::from)).toList();
    }

    /** The same notes where there are {@code ratio} samples for each one now, as after a change of rate. */
    public Notes scaled(double ratio) {
        return new Notes(all.stream().map(n -> n.between(Math.round(n.from() * ratio), Math.round(n.to() * ratio))).toList());
    }

    /** The same notes as they are written: how sure the ear once was of them changes nothing. */
    public Notes written() {
        return new Notes(all.stream().map(Note::certain).toList());
    }

    /** The same notes in what was moved by so many cents at each sample: where one is wanted moves along. */
    public Notes transposed(LongToDoubleFunction cents) {
        return new Notes(all.stream().map(n -> n.wantedHigher(cents.applyAsDouble((n.from() + n.to()) / 2))).toList());
    }

    /** The same notes so many samples later. */
    public Notes moved(long by) {
        return new Notes(all.stream().map(n -> n.between(n.from() + by, n.to() + by)).toList());
    }
}
