package linnet.render;

/** Watches for the end of a signal: the last sample at or above a level. */
final class Ending {
    private final double level;
    private final long hold;
    private long lastLoud = -1;

    /** @param hold samples of quiet that are needed before it has ended */
    Ending(double level, long hold) {
        this.level = level;
        this.hold = hold;
    }

    void hear(double[][] x, int channels, long at, int n) {
        for (int c = 0; c < channels; c++) {
            for (int i = n - 1; i >= 0 && at + i > lastLoud; i--) {
                if (Math.abs(x[c][i]) >= level) lastLoud = at + i;
            }
        }
    }

    /** The last sample that was loud; -1 if none was. */
    long lastLoud() {
        return lastLoud;
    }

    /** The time at which it has surely ended, as far as is known; at least {@code least}. */
    long endAfter(long least) {
        return Math.max(least, lastLoud + 1 + hold);
    }
}
