package linnet.cli;

import linnet.audio.SampleFormat;

/** Word lengths of a print. */
enum Depth {
    D16("16", SampleFormat.INT_16),
    D24("24", SampleFormat.INT_24),
    FLOAT("float", SampleFormat.FLOAT_32);

    static final Depth USUAL = D24;

    private final String word;
    private final SampleFormat format;

    Depth(String word, SampleFormat format) {
        this.word = word;
        this.format = format;
    }

    SampleFormat format() {
        return format;
    }

    /** As it is typed, which is what a shell offers. */
    @Override
    public String toString() {
        return word;
    }
}
