package linnet.dsp.pitch;

import java.util.Arrays;
import java.util.function.IntPredicate;

/**
 * Follows the pitch of a single voice between 55 Hz and 1.2 kHz, every 10 ms. Each frame offers its likely periods
 * ({@link PitchFrames}) and the choice to be unvoiced; the track is the cheapest path through
 * all frames (A. Viterbi, 1967), where a leap costs by its size. So an octave error must pay twice, going and coming
 * back. The costs are judged by ear and by hand-corrected tracks, not taken from a paper.
 */
public final class PitchTracker {
    private static final int CHOICES = PitchFrames.CHOICES;
    private static final double UNVOICED = 0.3, TURN = 0.1, LEAP_PER_OCTAVE = 1, LEAP_AT_MOST = 0.6;

    private PitchTracker() {}

    /**
     * The track through stretches that follow on one another.
     *
     * @param wanted frames in all
     * @param worth whether a frame can hold a voice, of those that were heard
     */
    public static PitchTrack track(int wanted, IntPredicate worth, PitchFrames... stretches) {
        Path path = new Path(wanted);
        for (PitchFrames s : stretches) for (int f = 0; f < s.frames() && path.frames < wanted; f++) path.step(s, f, worth.test(path.frames) ? s.count(f) : 0);
        return path.back(stretches);
    }

    private static final class Path {
        private final double[] cost = new double[CHOICES + 1], next = new double[CHOICES + 1];
        /** Pitches of the frame before; choice 0 is to be unvoiced. */
        private float[] last = new float[CHOICES + 1], here = new float[CHOICES + 1];
        /** Per frame and choice, which choice of the frame before leads to it. */
        private final byte[] from;
        private int frames;

        Path(int wanted) {
            from = new byte[wanted * (CHOICES + 1)];
            Arrays.fill(cost, Double.POSITIVE_INFINITY);
            cost[0] = 0;
        }

        /** Extends the cheapest path to each choice of the next frame. */
        void step(PitchFrames of, int f, int periods) {
            int base = frames * (CHOICES + 1);
            for (int to = 0; to <= CHOICES; to++) {
                double own = to == 0 ? UNVOICED : Double.POSITIVE_INFINITY;
                if (to > 0 && to <= periods) {
                    own = of.price(f, to - 1);
                    here[to] = of.octave(f, to - 1);
                }
                double best = Double.POSITIVE_INFINITY;
                int bestFrom = 0;
                for (int was = 0; was <= CHOICES && own < Double.POSITIVE_INFINITY; was++) {
                    if (cost[was] == Double.POSITIVE_INFINITY) continue;
                    double move;
                    if (was == 0 || to == 0) move = was == to ? 0 : TURN;
                    else move = Math.min(LEAP_AT_MOST, LEAP_PER_OCTAVE * Math.abs(here[to] - last[was]));
                    if (cost[was] + move < best) {
                        best = cost[was] + move;
                        bestFrom = was;
                    }
                }
                next[to] = best + own;
                from[base + to] = (byte) bestFrom;
            }
            // Only differences between the paths count; kept small, they keep their digits over a long take.
            double least = Double.POSITIVE_INFINITY;
            for (double c : next) least = Math.min(least, c);
            for (int i = 0; i <= CHOICES; i++) cost[i] = next[i] - least;
            float[] before = last;
            last = here;
            here = before;
            frames++;
        }

        PitchTrack back(PitchFrames... stretches) {
            float[] track = new float[frames], finer = new float[frames];
            int choice = 0, begin = Arrays.stream(stretches).mapToInt(PitchFrames::frames).sum();
            for (int c = 1; c <= CHOICES; c++) if (cost[c] < cost[choice]) choice = c;
            for (int s = stretches.length - 1; s >= 0; s--) {
                begin -= stretches[s].frames();
                for (int f = Math.min(frames, begin + stretches[s].frames()) - 1; f >= begin; f--) {
                    if (choice > 0) {
                        track[f] = (float) StrictMath.pow(2, stretches[s].octave(f - begin, choice - 1));
                        finer[f] = (float) StrictMath.pow(2, stretches[s].fine(f - begin, choice - 1));
                    }
                    choice = from[f * (CHOICES + 1) + choice];
                }
            }
            return new PitchTrack(stretches[0].hop(), track, finer);
        }
    }
}
