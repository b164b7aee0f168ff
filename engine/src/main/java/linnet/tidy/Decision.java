package linnet.tidy;

import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.LongFunction;
import linnet.hear.Remembered;

/**
 * What was done to a place of a part, or why nothing was.
 *
 * @param from first sample of the place, in the part as it was
 * @param to the sample after its last
 * @param by how much: milliseconds later for the take, copies, time and ends, dB for levels
 * @param done false where it was left alone
 * @param why in words: what was done or why it was not, but for how far off it is
 * @param off how far off the lead it was and stays, of a phrase whose places were found in the lead
 */
public record Decision(What what, long from, long to, double by, boolean done, String why, Optional<Off> off) {
    /** All that was decided for a part. */
    public static final Remembered<List<Decision>> FORM = Remembered.list(new Remembered<>(
            d -> 1 + 3 * 8 + 2 + bytes(d.why) + d.off.map(Off::bytes).orElse(0), (d, to) -> {
        to.put((byte) d.what.ordinal()).putLong(d.from).putLong(d.to).putDouble(d.by).put((byte) (d.done ? 1 : 0));
        Remembered.putText(d.why, to);
        to.put((byte) (d.off.isPresent() ? 1 : 0));
        d.off.ifPresent(o -> o.put(to));
    }, from -> new Decision(What.values()[from.get()], from.getLong(), from.getLong(), from.getDouble(), from.get() == 1, Remembered.readText(from),
            from.get() == 1 ? Optional.of(Off.read(from)) : Optional.empty())));

    /** One that tells nothing of how far off it is. */
    public Decision(What what, long from, long to, double by, boolean done, String why) {
        this(what, from, to, by, done, why, Optional.empty());
    }

    /** All of it in words, with places as a clock tells samples. */
    public String told(LongFunction<String> clock) {
        if (off.isEmpty()) return why;
        Off o = off.get();
        return (done ? why + "; " + o.before.told(clock) + " before, " + o.after.told(clock) + " after" : o.before.told(clock)) + o.rest;
    }

    private static int bytes(String text) {
        return 4 + 4 * text.length();
    }

    /**
     * How far off the lead a phrase is where it is farthest.
     *
     * @param before as it was sung
     * @param after as it lies now; the same where it was left alone
     * @param end milliseconds by which its end went later
     * @param rest what there is to say of it, in words that go on behind it; empty where it is as near as was asked
     * @param sung each mark of the lead's with a word in her list that was found in the phrase, in order of time
     */
    public record Off(Place before, Place after, double end, String rest, List<Sung> sung) {
        private static final int LEAST_BYTES = 8 + 8 + 8 + 4;

        private int bytes() {
            return before.bytes() + after.bytes() + 8 + Decision.bytes(rest) + 4 + sung.stream().mapToInt(Sung::bytes).sum();
        }

        private void put(ByteBuffer to) {
            before.put(to);
            after.put(to);
            to.putDouble(end);
            Remembered.putText(rest, to);
            to.putInt(sung.size());
            sung.forEach(s -> s.put(to));
        }

        private static Off read(ByteBuffer from) {
            Place before = Place.read(from), after = Place.read(from);
            double end = from.getDouble();
            String rest = Remembered.readText(from);
            List<Sung> sung = new ArrayList<>();
            for (int n = Remembered.count(from, LEAST_BYTES); n > 0; n--) sung.add(new Sung(Place.read(from), from.getDouble()));
            return new Off(before, after, end, rest, sung);
        }
    }

    /**
     * When a word is sung.
     *
     * @param before where, and how late, as it was
     * @param late milliseconds by which it is later than in the lead as it lies now
     */
    public record Sung(Place before, double late) {
        private int bytes() {
            return before.bytes() + 8;
        }

        private void put(ByteBuffer to) {
            before.put(to);
            to.putDouble(late);
        }
    }

    /**
     * A place of a phrase that the lead has too.
     *
     * @param at its sample
     * @param late milliseconds by which it is later than in the lead; less than 0 where it is earlier
     * @param word what the list of the lead's marks has there, or at the vowel that her consonant leads into; mostly empty
     */
    public record Place(long at, double late, String word) {
        /** How far off it is, in words. */
        public String amount() {
            return String.format(Locale.ROOT, "%.0f ms %s", Math.abs(late), late < 0 ? "early" : "late");
        }

        /** Where it is, in words, with the word that is sung there. */
        public String where(LongFunction<String> clock) {
            return clock.apply(at) + (word.isEmpty() ? "" : " (\"" + word + "\")");
        }

        private String told(LongFunction<String> clock) {
            return amount() + " at " + where(clock);
        }

        private int bytes() {
            return 2 * 8 + Decision.bytes(word);
        }

        private void put(ByteBuffer to) {
            to.putLong(at).putDouble(late);
            Remembered.putText(word, to);
        }

        private static Place read(ByteBuffer from) {
            return new Place(from.getLong(), from.getDouble(), Remembered.readText(from));
        }
    }

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
