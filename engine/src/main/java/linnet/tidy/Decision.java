package linnet.tidy;

import java.util.List;
import linnet.hear.Remembered;

/**
 * What was done to a place of a part, or why nothing was.
 *
 * @param from first sample of the place, in the part as it was
 * @param to the sample after its last
 * @param by how much: milliseconds later for the take, copies, time and ends, dB for levels
 * @param done false where it was left alone
 * @param why in words: what was done or why it was not
 */
public record Decision(What what, long from, long to, double by, boolean done, String why) {
    /** All that was decided for a part. */
    public static final Remembered<List<Decision>> FORM = Remembered.list(new Remembered<>(d -> 1 + 3 * 8 + 1 + 4 + 4 * d.why.length(), (d, to) -> {
        to.put((byte) d.what.ordinal()).putLong(d.from).putLong(d.to).putDouble(d.by).put((byte) (d.done ? 1 : 0));
        Remembered.putText(d.why, to);
    }, from -> new Decision(What.values()[from.get()], from.getLong(), from.getLong(), from.getDouble(), from.get() == 1, Remembered.readText(from))));

    /** What a decision is about. */
    public enum What {
        /** All of it lies early or late; by how much later it should lie. */
        TAKE("take"),
        /** Some of it is the lead's own recording; by how much later it should lie, 0 where it lies as such are left. */
        COPY("copy"),
        TIMING("timing"),
        BREATH("breath"),
        CONSONANT("consonant"),
        END("end"),
        LEVEL("level");

        private final String word;

        What(String word) {
            this.word = word;
        }

        /** As a list has it. */
        public String word() {
            return word;
        }
    }
}
