package linnet.dsp;

/** Where in a sound something is heard for the first time and the last: what an export has put before and after that is digital silence. */
public final class SoundingEnds {
    /** -120 dBFS: no converter is so quiet. */
    private static final double FAINTEST = 1e-6;

    private final double[][] only = new double[1][];
    private long heard, from = -1, to;

    /** Hears the next {@code n} samples of all channels. */
    public void add(double[][] channels, int n) {
        int first = n, end = 0;
        for (double[] x : channels) {
            int last = n;
            while (last > end && Math.abs(x[last - 1]) <= FAINTEST) last--;
            end = last > end ? last : end;
            // Before the first that sounds in another channel; once it is known it stays.
            for (int i = 0; from < 0 && i < first; i++) if (Math.abs(x[i]) > FAINTEST) first = i;
        }
        if (end > 0) {
            if (from < 0) from = heard + first;
            to = heard + end;
        }
        heard += n;
    }

    /** Hears the next {@code n} samples of the only channel. */
    public void add(double[] x, int n) {
        only[0] = x;
        add(only, n);
    }

    /** Whether anything has sounded. */
    public boolean isSounding() {
        return from >= 0;
    }

    /** The first sample that sounds; asked only where one does. */
    public long from() {
        return from;
    }

    /** The sample after the last that sounds; 0 where none does. */
    public long to() {
        return to;
    }
}
