package linnet.hear;

/**
 * A place in a take that steps act on or leave alone.
 *
 * @param from its first sample
 * @param to the sample after its last
 * @param confidence from 0, a guess, to 1, certain or told by a person
 * @param kept whether no step may touch it
 * @param word what a person wrote to it, such as the word that is sung there; mostly empty
 */
public record Mark(Kind kind, long from, long to, double confidence, boolean kept, String word) {
    /** One without a word. */
    public Mark(Kind kind, long from, long to, double confidence, boolean kept) {
        this(kind, from, to, confidence, kept, "");
    }

    /** What is there. */
    public enum Kind {
        /** From the first sound of a line to its last, consonants included. */
        PHRASE("phrase"),
        BREATH("breath"),
        /** s, sh, z, ch and the like. */
        SIBILANT("sibilant"),
        /** The thump that a p or b blows into the microphone. */
        PLOSIVE("plosive"),
        /** The silence of a closed mouth and the burst after it: p, t, k, b, d, g. */
        STOP("stop"),
        /** Where a vowel begins; it has no length of its own. */
        VOWEL("vowel"),
        /** A click of the mouth. */
        CLICK("click"),
        /** A stretch that no repair touches, whatever is found in it. */
        KEEP("keep");

        private final String word;

        Kind(String word) {
            this.word = word;
        }

        /** As a list of marks has it. */
        public String word() {
            return word;
        }
    }

    /** Whether it shares a sample with {@code from … to - 1}. */
    public boolean meets(long from, long to) {
        return this.from < to && from < this.to;
    }
}
