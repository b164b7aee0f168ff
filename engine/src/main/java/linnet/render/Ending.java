package linnet.render;

/**
 * Watches for the end of a signal: it has ended when it has stayed below a level for long enough. What comes after that is
 * not heard any more, so the end does not depend on how the signal is cut.
 */
final class Ending {
    private final double level;
    private final long hold;
    private final long least;
    private final long most;
    private long lastLoud = -1;
    private boolean ended;

    /**
     * @param level below which a sample is quiet
     * @param hold samples of quiet that are needed
     * @param least it does not end before that
     * @param most it ends there at the latest
     */
    Ending(double level, long hold, long least, long most) {
        this.level = level;
        this.hold = hold;
        this.least = least;
        this.most = most;
    }

    void hear(double[][] x, long at, int n) {
        if (at + n <= end()) { // it can't end in here, and of the loud samples only the last counts
            int last = n - 1;
            while (last >= 0 && !isLoud(x, last)) last--;
            if (last >= 0) lastLoud = at + last;
        } else {
            for (int i = 0; i < n && !ended; i++) {
                ended = at + i >= end();
                if (!ended && isLoud(x, i)) lastLoud = at + i;
            }
        }
        ended |= at + n >= end();
    }

    private boolean isLoud(double[][] x, int i) {
        for (double[] channel : x) if (Math.abs(channel[i]) >= level) return true;
        return false;
    }

    /** The last sample that was loud; -1 if none was. */
    long lastLoud() {
        return lastLoud;
    }

    /** The end, once it {@link #hasEnded}; before that, the earliest it can be. */
    long end() {
        return Math.min(most, Math.max(least, lastLoud + 1 + hold));
    }

    boolean hasEnded() {
        return ended;
    }
}
