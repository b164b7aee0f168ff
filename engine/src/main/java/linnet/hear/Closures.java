package linnet.hear;

import linnet.dsp.Decibels;

/**
 * Where a stop could burst in connected speech: the cords fall silent, and a vowel comes up 30 to 90 ms after. Told by level, since the pitch of a
 * voice is followed across a short closure, and lost where the vowel creaks. The limits were read from the clicks of ten voices.
 */
final class Closures {
    /** In cells of 1 ms: the word before a closure, the click's own slope, the closure beside it, and where the vowel has come up. */
    private static final int WORD = 150, SLOPE = 3, STILL = 10, OPENS = 30, OPEN = 90;
    /** By how much the cords are softer in a closure than before and after it, and how soft a vowel after it is beside the voice. */
    private static final double CLOSED = Decibels.power(-14), VOWEL = Decibels.power(-20);

    private final Strands strands;
    private final Strip cords;
    private final double least;

    /** @param voice power of the sung frames */
    Closures(Strands strands, double voice) {
        this.strands = strands;
        cords = strands.power(Strands.Band.CORDS);
        least = voice * VOWEL;
    }

    boolean hold(Event click) {
        int from = strands.cell(click.from()), to = strands.cell(click.to());
        double before = most(from - WORD, from - STILL), after = most(to + OPENS, to + OPEN);
        return after > least && mean(from - STILL, from - SLOPE) < before * CLOSED && mean(to + SLOPE + STILL, to + OPENS) < Math.min(before, after) * CLOSED;
    }

    private double most(int from, int to) {
        double most = 0;
        for (int c = Math.max(0, from); c < Math.min(cords.length(), to); c++) most = Math.max(most, cords.at(c));
        return most;
    }

    private double mean(int from, int to) {
        double sum = 0;
        for (int c = Math.max(0, from); c < Math.min(cords.length(), to); c++) sum += cords.at(c);
        return sum / (to - from);
    }
}
