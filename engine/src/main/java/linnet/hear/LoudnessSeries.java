package linnet.hear;

/** Loudness against time, one value every 100 ms, each of the window that ends there. */
public final class LoudnessSeries {
    private static final double STEP = 0.1;

    private final double first;
    private final double[] lufs;

    /** @param first seconds from the start of the sound to the end of the first window */
    LoudnessSeries(double first, double[] lufs) {
        this.first = first;
        this.lufs = lufs;
    }

    public int size() {
        return lufs.length;
    }

    /** Seconds from the start of the sound to the end of window {@code i}. */
    public double seconds(int i) {
        return first + STEP * i;
    }

    /** Loudness of window {@code i} in LUFS; negative infinity where it is digital silence. */
    public double lufs(int i) {
        return lufs[i];
    }
}
