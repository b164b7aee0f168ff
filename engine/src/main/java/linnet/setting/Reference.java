package linnet.setting;

/** What the engine can measure of the signal that arrives at a step, and a setting can be stated against. */
public enum Reference {
    /** Level of the pauses. */
    NOISE("noise", true),
    /** Level while someone sings. */
    VOICE("voice", true),
    /** Highest sample. */
    PEAK("peak", true),
    LOWEST_NOTE("lowest note", false),
    /** The strongest, second, … narrow resonance from 200 Hz to 2 kHz: {@code resonance 1}. */
    RESONANCE("resonance", false),
    /** Centre of the singer's s-sounds. */
    SIBILANCE("sibilance", false);

    private final String words;
    private final boolean level;

    Reference(String words, boolean level) {
        this.words = words;
        this.level = level;
    }

    public String words() {
        return words;
    }

    /** True for levels (stated as dB over or under), false for frequencies (stated as a multiple). */
    public boolean isLevel() {
        return level;
    }
}
