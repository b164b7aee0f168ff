package linnet.hear;

import java.util.List;

/**
 * Something short that happens in a take, such as a breath.
 *
 * @param from its first sample
 * @param to the sample after its last
 * @param dbfs its level: RMS of a breath, peak of a click or of a clipped run
 * @param confidence from 0, a guess, to 1, certain
 */
public record Event(long from, long to, double dbfs, double confidence) {
    static final Remembered<List<Event>> FORM =
            Remembered.list(new Remembered<>(e -> 4 * 8, (e, to) -> to.putLong(e.from).putLong(e.to).putDouble(e.dbfs).putDouble(e.confidence),
            from -> new Event(from.getLong(), from.getLong(), from.getDouble(), from.getDouble())));
}
