package linnet.tidy;

/**
 * What was done to a place of a part, or why nothing was.
 *
 * @param from first sample of the place, in the part as it was
 * @param to the sample after its last
 * @param by how much: milliseconds later for time and ends, dB for levels
 * @param done false where it was left alone
 * @param why in words: what was done or why it was not
 */
public record Decision(What what, long from, long to, double by, boolean done, String why) {
    /** What a decision is about. */
    public enum What {
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
