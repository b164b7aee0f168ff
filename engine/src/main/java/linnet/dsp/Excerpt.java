package linnet.dsp;

import java.util.Arrays;

/** A stretch of a sound, as a sound of its own. Where it goes beyond either end of the sound there is silence. */
public record Excerpt(Sound of, long from, long frames) implements Sound {
    @Override
    public double rate() {
        return of.rate();
    }

    @Override
    public int channels() {
        return of.channels();
    }

    @Override
    public void read(long at, double[][] into, int n) {
        int before = (int) Math.max(0, Math.min(n, -(from + at)));
        int there = (int) Math.max(0, Math.min(n - before, of.frames() - Math.max(0, from + at)));
        if (there > 0) of.read(Math.max(0, from + at), into, there);
        for (int c = 0; c < channels(); c++) {
            if (before > 0) System.arraycopy(into[c], 0, into[c], before, there);
            Arrays.fill(into[c], 0, before, 0);
            Arrays.fill(into[c], before + there, n, 0);
        }
    }
}
