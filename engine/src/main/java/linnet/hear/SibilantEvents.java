package linnet.hear;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import linnet.dsp.Decibels;
import linnet.dsp.pitch.PitchTrack;

/**
 * Where the sibilants are: frames without pitch that are mostly hiss over 3 kHz, have next to no body, and are no weaker than 26 dB under
 * the voice. The limits were read from sibilants marked by hand on five singers and speakers.
 */
final class SibilantEvents {
    private static final double UNDER_VOICE = Decibels.power(-26), LEAST_HISS = 0.45, MOST_BODY = 0.15;
    /** In frames of 10 ms. */
    private static final int BRIDGE = 2, SHORTEST = 4;

    private SibilantEvents() {}

    /** @param voice power of the sung frames */
    static List<Event> find(Levels levels, Hiss hiss, PitchTrack pitch, double voice) {
        double[] above = levels.above(), body = levels.body();
        float[] high = hiss.power();
        BitSet frames = new BitSet();
        for (int f = 1; f < above.length - 1; f++) {
            double hissing = (high[f - 1] + high[f] + high[f + 1]) / 3;
            frames.set(f, !pitch.voiced(f) && above[f] > voice * UNDER_VOICE && hissing > LEAST_HISS * above[f] && body[f] < MOST_BODY * above[f]);
        }
        List<Event> found = new ArrayList<>();
        for (int f = frames.nextSetBit(0); f >= 0; ) {
            int start = f, end = frames.nextClearBit(f);
            for (f = frames.nextSetBit(end); f >= 0 && f - end <= BRIDGE; f = frames.nextSetBit(end)) end = frames.nextClearBit(f);
            if (end - start >= SHORTEST) found.add(event(above, start, end, pitch.hop()));
        }
        return found;
    }

    private static Event event(double[] above, int start, int end, int hop) {
        double sum = 0;
        for (int f = start; f < end; f++) sum += above[f];
        return new Event((long) start * hop, (long) end * hop, Decibels.ofPower(sum / (end - start)), Ear.certainty(end - start, SHORTEST));
    }
}
