package linnet.hear;

import java.util.List;

/**
 * Where one take gives way to another.
 *
 * @param asked sample that the text names
 * @param at middle of the fade
 * @param fade its length in samples
 * @param lies what is sung there, in the take that has more of it
 * @param shift samples by which the take that comes is played later, so that its pitch periods meet those of the other
 * @param correlation of the two over the fade, which sets its law
 * @param level dB by which the take that comes is louder there; 0 where both are silent in the middle of what is sung, as nobody hears how silent
 * @param uneven dB by which the level steps more, from one 10 ms to the next, than it does in either take; 0 there, too
 * @param tone dB by which the octave that differs most stands out more, or less, in the take that comes, over the half second to each side
 * @param breaths whether one breath follows another there, or is lost
 * @param cut whether a consonant is cut in two there, because the other take does not have it
 * @param known whether the takes were heard at all; beside silence there is nothing to tell
 */
public record Joint(long asked, long at, int fade, Lies lies, int shift, double correlation, double level, double uneven, double tone, Breaths breaths,
        boolean cut, boolean known) {
    /** All joints of a sound that is put together. */
    public static final Remembered<List<Joint>> FORM = Remembered.list(new Remembered<>(j -> 5 * 8 + 2 * 8 + 2 * 4 + 4, (j, to) -> {
        to.putLong(j.asked).putLong(j.at).putInt(j.fade).put((byte) j.lies.ordinal()).putInt(j.shift);
        to.putDouble(j.correlation).putDouble(j.level).putDouble(j.uneven).putDouble(j.tone).put((byte) j.breaths.ordinal()).put((byte) (j.cut ? 1 : 0))
                .put((byte) (j.known ? 1 : 0));
    }, from -> new Joint(from.getLong(), from.getLong(), from.getInt(), Lies.values()[from.get()], from.getInt(), from.getDouble(), from.getDouble(),
            from.getDouble(), from.getDouble(),
            Breaths.values()[from.get()], from.get() == 1, from.get() == 1)));

    /** One beside silence: there is nothing to tell of two takes. */
    public static Joint besideSilence(long asked, long at, int fade, Lies lies, Breaths breaths, boolean cut) {
        return new Joint(asked, at, fade, lies, 0, 0, 0, 0, 0, breaths, cut, false);
    }

    /** One between silence and silence, or of a piece that fades from or to it where the text has it. */
    public static Joint inSilence(long at, int fade) {
        return besideSilence(at, at, fade, Lies.SILENCE, Breaths.KEPT, false);
    }

    /** What a cut goes through, from what is heard least to what is heard most. */
    public enum Lies {
        SILENCE("silence"),
        BREATH("a breath"),
        CONSONANT("a consonant"),
        VOWEL("a vowel");

        private final String word;

        Lies(String word) {
            this.word = word;
        }

        public String word() {
            return word;
        }
    }

    /** What became of the breaths beside it. */
    public enum Breaths {
        KEPT, DOUBLE, LOST
    }
}
