package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

/** What has no pitch beside a voice that was set anew. */
public final class Unvoiced {
    /**
     * In seconds: so long after a voice it may be early or late, by up to half a period of the lowest voice; the last marks of a voice may lie before what the
     * track tells, and it takes a little to come back into time.
     */
    private static final double AFTER = 0.16, LATE = 0.01, BACK = 0.03, GAP = 0.06;
    private static final double SAME = 1e-5;

    private Unvoiced() {}

    /**
     * Each sample is the take's, to the bit; right after the voice that of a little earlier or later, always by the same, but where it comes back into time.
     */
    public static void assertKept(double[] take, double[] print, PitchTrack track, double rate) {
        for (int f = 0; f < track.frames(); f++) {
            int from = f;
            while (f < track.frames() && !track.voiced(f)) f++;
            // A short gap may be the voice's.
            if (f > from && (f - from) * track.hop() > GAP * rate) {
                assertKept(take, print, from * track.hop(), Math.min(take.length, f * track.hop()), from > 0, rate);
            }
        }
    }

    private static void assertKept(double[] take, double[] print, int from, int to, boolean after, double rate) {
        int late = after ? late(take, print, from, to, rate) : 0, strange = 0;
        for (int i = from; i < to; i++) {
            if (take[i] == print[i]) continue;
            assertTrue(after && i < from + AFTER * rate, "sample " + i + " is another");
            boolean moved = i >= late && i - late < take.length && Math.abs(take[i - late] - print[i]) <= SAME;
            if (!moved) strange++;
        }
        if (strange > BACK * rate) {
            assertEquals(0, strange, "samples that are none of the take's, from " + from + " to " + to + ", where it is " + late + " later");
        }
    }

    /** By how much it is later there: as most of its samples are that are not in their own time. */
    private static int late(double[] take, double[] print, int from, int to, double rate) {
        int best = 0, most = -1, side = (int) (LATE * rate), end = Math.min(to, from + (int) (AFTER * rate));
        for (int d = -side; d <= side; d++) {
            int same = 0;
            for (int i = Math.max(from, d); i < end && i - d < take.length; i++) if (take[i] != print[i] && Math.abs(take[i - d] - print[i]) <= SAME) same++;
            if (same <= most) continue;
            most = same;
            best = d;
        }
        return best;
    }
}
