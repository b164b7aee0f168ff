package linnet.dsp;

/** A stretch of a sound, as a sound of its own. Where it goes beyond the end of the sound there is silence. */
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
        int there = (int) Math.max(0, Math.min(n, of.frames() - from - at));
        if (there > 0) of.read(from + at, into, there);
        for (int c = 0; c < channels(); c++) java.util.Arrays.fill(into[c], there, n, 0);
    }
}
