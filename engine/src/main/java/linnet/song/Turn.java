package linnet.song;

import java.util.List;
import linnet.chain.Reach;
import linnet.setting.Value;
import linnet.text.Word;

/**
 * A move of a setting of a step.
 *
 * @param owner whose chain the step is in
 * @param to whether it goes to the value itself, and not by so much
 * @param value where it goes to, or by how much
 * @param said where the text says so
 */
record Turn(List<Song.Stretch> where, String owner, Reach.Found what, boolean to, Value value, Word said) {
    boolean isOfSame(Turn other) {
        return owner.equals(other.owner) && what.isSame(other.what);
    }

    /** The share of the way to a value, or the difference itself. */
    private double by() {
        return to ? 1 : ((Value.Amount) value).value();
    }

    /** For each stretch one. */
    List<Shift> shifts() {
        return where.stream().map(s -> s.shift(by())).toList();
    }
}
