package linnet.cli;

import linnet.audio.SampleFormat;

/** Word lengths of a print. */
enum Depth {
    D16(SampleFormat.INT_16),
    D24(SampleFormat.INT_24),
    FLOAT(SampleFormat.FLOAT_32);

    static final Depth USUAL = D24;

    private final SampleFormat format;

    Depth(SampleFormat format) {
        this.format = format;
    }

    SampleFormat format() {
        return format;
    }
}
