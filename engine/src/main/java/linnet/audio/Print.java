package linnet.audio;

import java.nio.file.Path;
import java.util.List;
import java.util.Locale;

/**
 * How a print is to be written. Made by {@link #of} and narrowed by the other methods, each of which gives a new one.
 *
 * @param rate      samples per second
 * @param channels  1 or 2
 * @param format    {@code INT_16}, {@code INT_24} or {@code FLOAT_32}
 * @param dither    how integers are cut; unused for float
 * @param from      frame of the whole print at which this one begins: 0, or the start of a range
 * @param source    the take whose chunks are carried on, or null
 * @param bext      the broadcast extension it gets; null for what the take has
 * @param origin    what made it, to be added to the history that the take has; null where that is not told, or stands in {@code bext}
 * @param loudness  of its sound, for the broadcast extension of the take, or one of its own; what {@code bext} is given has its own
 * @param labels    in the whole print, in order of time, in the place of those of the take; those that lie in this one are written
 * @param inputs    files that are read for this print and so must never be written
 * @param overwrite whether a file that is there already is replaced
 */
public record Print(
        int rate, int channels, SampleFormat format, Dither dither, long from, WavHeader source, Bext bext, Origin origin,
        Bext.Loudness loudness, List<Label> labels, List<Path> inputs, boolean overwrite) {
    public Print {
        if (channels < 1 || channels > 2) throw new IllegalArgumentException("a print has 1 or 2 channels, not " + channels);
        if (rate < 1) throw new IllegalArgumentException("a rate of " + rate + " Hz");
        switch (format) {
            case INT_16, INT_24, FLOAT_32 -> { }
            default -> throw new IllegalArgumentException("prints are 16-bit, 24-bit or 32-bit float, not " + format);
        }
        labels = List.copyOf(labels);
        inputs = List.copyOf(inputs);
    }

    /** A new file with triangular dither of seed 0 that carries nothing on. */
    public static Print of(int rate, int channels, SampleFormat format) {
        return new Print(rate, channels, format, Dither.triangular(0), 0, null, null, null, Bext.Loudness.UNTOLD, List.of(), List.of(), false);
    }

    /** How it is coded, as a line of a coding history: EBU R 98 (1999). */
    String coding() {
        return String.format(Locale.ROOT, "A=PCM,F=%d,W=%d,M=%s,T=linnet%s\r\n", rate, format.bits(), channels == 1 ? "mono" : "stereo",
                format.isFloat() ? "; float" : "");
    }

    public Print dither(Dither how) {
        return new Print(rate, channels, format, how, from, source, bext, origin, loudness, labels, inputs, overwrite);
    }

    /** Begins at a later frame than the whole print: dither has the bits it has there, and carried cues move with it. */
    public Print from(long frame) {
        return new Print(rate, channels, format, dither, frame, source, bext, origin, loudness, labels, inputs, overwrite);
    }

    /** Carries on the {@code bext}, cue and label chunks of a take whose frame 0 is frame 0 of the whole print. */
    public Print carrying(WavHeader take) {
        return new Print(rate, channels, format, dither, from, take, bext, origin, loudness, labels, inputs, overwrite);
    }

    /**
     * With this broadcast extension, whatever the take has; what is known only at the end is filled in at
     * {@link WavWriter#finish(java.util.function.Function)}.
     */
    public Print described(Bext bext) {
        return new Print(rate, channels, format, dither, from, source, bext, origin, loudness, labels, inputs, overwrite);
    }

    /** Saying what made it, in the broadcast extension of the take, or in one of its own where that has none. */
    public Print madeBy(Origin origin) {
        return new Print(rate, channels, format, dither, from, source, bext, origin, loudness, labels, inputs, overwrite);
    }

    /** As loud as this. */
    Print measured(Bext.Loudness loudness) {
        return new Print(rate, channels, format, dither, from, source, bext, origin, loudness, labels, inputs, overwrite);
    }

    /** With these labels, whatever the take has; their frames are those of the whole print. */
    public Print labelled(List<Label> labels) {
        return new Print(rate, channels, format, dither, from, source, bext, origin, loudness, labels, inputs, overwrite);
    }

    /** The labels that are read from it where it has so many frames. */
    public List<Label> labels(long frames) {
        return Label.of(Carried.after(this, frames), frames);
    }

    public Print sparing(List<Path> files) {
        return new Print(rate, channels, format, dither, from, source, bext, origin, loudness, labels, files, overwrite);
    }

    public Print overwriting() {
        return new Print(rate, channels, format, dither, from, source, bext, origin, loudness, labels, inputs, true);
    }
}
