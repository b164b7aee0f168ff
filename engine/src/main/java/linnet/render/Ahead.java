package linnet.render;

import linnet.dsp.Cell;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;

/** Reads a sound some cells ahead: who reads on from where he was costs the file that it lies in one call for all of them. Silent beyond both ends. */
final class Ahead {
    static final int LENGTH = 20 * Cell.LENGTH;

    private final Sound sound;
    private final double[][] held;
    private long at = Long.MIN_VALUE;

    Ahead(Sound sound) {
        this.sound = sound;
        held = new double[sound.channels()][];
    }

    /** The samples that were read last. */
    double[] held(int channel) {
        return held[channel];
    }

    /** Where among those that are held lies this sample and at least a cell from there. */
    int place(long from) {
        if (at == Long.MIN_VALUE || from < at || from + Cell.LENGTH > at + LENGTH) fetch(from);
        return (int) (from - at);
    }

    private void fetch(long from) {
        if (held[0] == null) for (int c = 0; c < held.length; c++) held[c] = new double[LENGTH];
        at = from;
        new Excerpt(sound, from, LENGTH).read(0, held, LENGTH);
    }
}
