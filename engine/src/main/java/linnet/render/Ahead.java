package linnet.render;

import linnet.dsp.Cell;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;

/** Reads a sound some cells ahead: who reads on from where he was costs the file that it lies in one call for all of them. */
final class Ahead {
    private static final int LENGTH = 5 * Cell.LENGTH;

    private final Sound sound;
    private double[][] held;
    private long at;
    private int holds;

    Ahead(Sound sound) {
        this.sound = sound;
    }

    /** As {@link Sound#read}, but silent beyond both ends. */
    void read(long from, double[][] into, int n) {
        if (from < 0 || from + n > sound.frames()) {
            new Excerpt(sound, from, n).read(0, into, n);
            return;
        }
        if (from < at || from + n > at + holds) fetch(from);
        for (int c = 0; c < sound.channels(); c++) System.arraycopy(held[c], (int) (from - at), into[c], 0, n);
    }

    private void fetch(long from) {
        if (held == null) held = new double[sound.channels()][LENGTH];
        at = from;
        holds = (int) Math.min(LENGTH, sound.frames() - from);
        sound.read(from, held, holds);
    }
}
