package linnet.step;

/** What a step is planned for: samples per second, and how many channels arrive (1 or 2). */
public record Setup(double rate, int channels) {
    /** Whole samples nearest to a time. */
    public int frames(double ms) {
        return (int) Math.round(ms * 1e-3 * rate);
    }
}
