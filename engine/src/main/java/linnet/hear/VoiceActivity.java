package linnet.hear;

import java.util.BitSet;
import linnet.dsp.pitch.PitchTrack;

/**
 * Where someone sings. First by level: the body of the sound rises above a threshold and stays until it falls below a lower
 * one, and short dips are bridged. Then by pitch: a stretch in which hardly anything repeats is a breath, a click or noise.
 * The figures are common practice for dry voices, tried on real ones.
 */
final class VoiceActivity {
    private static final double OVER_FLOOR = ratio(10), UNDER_VOICE = ratio(-30), HYSTERESIS = ratio(-6);
    /** Where nobody pauses, the "floor" is soft singing, and must not push the threshold up to the loud. */
    private static final double AT_MOST = ratio(-12);
    private static final int BRIDGE = 15, SHORTEST = 5;
    private static final int VOICED_AT_LEAST = 5;
    private static final double VOICED_SHARE = 0.2;

    private VoiceActivity() {}

    /** Frames loud enough to be the voice. */
    static BitSet loud(double[] body) {
        double voice = Quantiles.typical(body), floor = Quantiles.of(body, 0.05, Levels.SILENCE);
        double on = Math.max(voice * UNDER_VOICE, Math.min(floor * OVER_FLOOR, voice * AT_MOST));
        double off = on * HYSTERESIS;
        BitSet loud = new BitSet();
        boolean open = false;
        for (int f = 0; f < body.length; f++) {
            open = body[f] >= (open ? off : on) && body[f] > Levels.SILENCE;
            loud.set(f, open);
        }
        for (int f = loud.nextSetBit(0); f >= 0; ) {
            int end = loud.nextClearBit(f), next = loud.nextSetBit(end);
            if (next >= 0 && next - end <= BRIDGE) {
                loud.set(end, next);
            } else {
                if (end - f < SHORTEST) loud.clear(f, end);
                f = next;
            }
        }
        return loud;
    }

    /** Of these stretches, those with enough pitch in them. */
    static BitSet sung(BitSet loud, PitchTrack pitch) {
        BitSet sung = new BitSet();
        for (int f = loud.nextSetBit(0); f >= 0; ) {
            int end = loud.nextClearBit(f), voiced = 0;
            for (int i = f; i < end; i++) if (pitch.voiced(i)) voiced++;
            if (voiced >= VOICED_AT_LEAST && voiced >= VOICED_SHARE * (end - f)) sung.set(f, end);
            f = loud.nextSetBit(end);
        }
        return sung;
    }

    private static double ratio(double db) {
        return StrictMath.pow(10, db / 10);
    }
}
