package linnet.tidy;

import java.util.OptionalDouble;

/**
 * What is wanted of a part that follows a lead; what is empty or false is left alone.
 *
 * @param timing seconds by which it may be off
 * @param reach seconds by which a phrase is moved at most
 * @param stretch share by which vowels may be longer or shorter
 * @param breaths whether its breaths give way to the room
 * @param consonants dB by which a hard consonant is lowered where the lead says one too
 * @param ends whether what outlasts a phrase of the lead is faded
 * @param level of what is sung in each phrase
 */
public record Aims(OptionalDouble timing, double reach, double stretch, boolean breaths, OptionalDouble consonants, boolean ends, Level level) {
    /** More of a vowel is heard to be drawn out or cut short. */
    public static final double LARGEST_STRETCH = 0.25;
    /** In seconds: a part is nudged no farther, and not looked for beyond that. */
    public static final double FARTHEST_NUDGE = 10;

    /** How loud each phrase is made. */
    public sealed interface Level {
        /** As it is. */
        record Left() implements Level {}

        /**
         * As loud as the lead's.
         *
         * @param otherWords dB by which a phrase with other words is moved beside what most are moved by, at most
         */
        record Lead(double otherWords) implements Level {}

        /** RMS in dBFS. */
        record At(double dbfs) implements Level {}
    }
}
