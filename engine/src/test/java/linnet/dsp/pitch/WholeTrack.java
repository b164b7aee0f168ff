package linnet.dsp.pitch;

import java.util.function.IntPredicate;

/** The track of a sound that is heard in one go, from its beginning to its end. */
public final class WholeTrack {
    private final PitchFrames frames;
    private long heard;

    /** @param worth whether a frame can hold a voice at all */
    public WholeTrack(double rate, IntPredicate worth) {
        frames = new PitchFrames(rate, worth, 0, Integer.MAX_VALUE);
    }

    public void add(double[] x, int n) {
        frames.add(x, n);
        heard += n;
    }

    /** One frame for each hop begun. Call once, at the end. */
    public PitchTrack finish() {
        int wanted = (int) ((heard + frames.hop() - 1) / frames.hop());
        frames.finish(wanted);
        return PitchTracker.track(wanted, f -> true, frames);
    }
}
