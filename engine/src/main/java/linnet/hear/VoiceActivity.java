package linnet.hear;

import java.util.BitSet;
import linnet.dsp.Decibels;
import linnet.dsp.pitch.PitchTrack;

/**
 * Where someone sings. First by level: the body of the sound rises above a threshold and stays until it falls below a lower
 * one, and short dips are bridged. Then by pitch: what has none for longer than a consonant lasts is a breath or noise, however
 * loud. The figures are common practice for dry voices, tried on real ones.
 */
final class VoiceActivity {
    private static final double OVER_FLOOR = Decibels.power(10), UNDER_VOICE = Decibels.power(-30), HYSTERESIS = Decibels.power(-6);
    /** Where nobody pauses, the "floor" is soft singing, and must not push the threshold up to the loud. */
    private static final double AT_MOST = Decibels.power(-12);
    private static final int BRIDGE = 15, SHORTEST = 5;
    private static final int VOICED_AT_LEAST = 5;
    /** 200 ms: clusters of consonants are shorter, breaths mostly longer. */
    private static final int CONSONANT = 20;
    /** A note begins and ends in cycles too few to give a pitch. */
    private static final int EDGE = 2;

    private VoiceActivity() {}

    /** Frames loud enough to be the voice. */
    static BitSet loud(Levels levels) {
        double voice = Quantiles.typical(levels::body, levels.frames()), floor = Quantiles.of(levels::body, levels.frames(), 0.05, Levels.SILENCE);
        double on = Math.max(voice * UNDER_VOICE, Math.min(floor * OVER_FLOOR, voice * AT_MOST));
        double off = on * HYSTERESIS;
        BitSet loud = new BitSet();
        boolean open = false;
        for (int f = 0; f < levels.frames(); f++) {
            double body = levels.body(f);
            open = body >= (open ? off : on) && body > Levels.SILENCE;
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

    /** Of these stretches, what lies from one frame with pitch to the last before a pause in pitch longer than a consonant. */
    static BitSet sung(BitSet loud, PitchTrack pitch) {
        BitSet sung = new BitSet();
        for (int f = loud.nextSetBit(0); f >= 0; ) {
            int end = loud.nextClearBit(f), from = f, last = f - CONSONANT - 1, voiced = 0;
            for (; f < end; f++) {
                if (!pitch.voiced(f)) continue;
                if (f - last > CONSONANT) {
                    if (voiced >= VOICED_AT_LEAST) sung.set(Math.max(0, from - EDGE), last + 1 + EDGE);
                    from = f;
                    voiced = 0;
                }
                last = f;
                voiced++;
            }
            if (voiced >= VOICED_AT_LEAST) sung.set(Math.max(0, from - EDGE), last + 1 + EDGE);
            f = loud.nextSetBit(end);
        }
        sung.and(loud);
        return sung;
    }
}
