package linnet.hear;

import java.util.BitSet;
import linnet.dsp.Decibels;
import linnet.dsp.pitch.PitchTrack;

/**
 * Where someone sings. First by level: the body of the sound rises above a threshold and stays until it falls below a lower
 * one, and short dips are bridged. Then by pitch: what has none for longer than a consonant lasts is a breath or noise, however
 * loud; and what has one is sung, however much louder the chorus is, down to where the melody in a headphone begins. The figures are
 * common practice for dry voices, tried on real ones.
 */
final class VoiceActivity {
    private static final double OVER_FLOOR = Decibels.power(10), UNDER_VOICE = Decibels.power(-30), HYSTERESIS = Decibels.power(-6);
    /** Where nobody pauses, the "floor" is soft singing, and must not push the threshold up to the loud. */
    private static final double AT_MOST = Decibels.power(-12);
    private static final int BRIDGE = 15, SHORTEST = 5;
    private static final int VOICED_AT_LEAST = 5;
    /** 200 ms: clusters of consonants are shorter, breaths mostly longer. */
    private static final int CONSONANT = 20;
    /**
     * How far a soft word, or a line of such, may lie under the voice: between a whispered verse and a belted chorus of one singer there are 20 to 30 dB
     * (common practice), and lines of a verse differ. What leaks out of headphones is softer.
     */
    private static final double SOFTEST = Decibels.power(-35);
    /** Of what is soft, frames down to this belong to it; what is less than that under the voice is loud as a whole. What rings after a word is weaker. */
    private static final double UNDER_WORD = Decibels.power(-20);
    private static final int SOFT_AT_LEAST = 10, WORD = 5;
    /** A note begins and ends in cycles too few to give a pitch. */
    private static final int EDGE = 2;

    private VoiceActivity() {}

    /** Frames loud enough to be the voice. */
    static BitSet loud(Levels levels) {
        double voice = voice(levels), on = Math.max(voice * UNDER_VOICE, Math.min(floor(levels), voice * AT_MOST));
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

    private static double voice(Levels levels) {
        return Quantiles.typical(levels::body, levels.frames());
    }

    /** What stands out of the pauses. */
    private static double floor(Levels levels) {
        return OVER_FLOOR * levels.quietBody(0.05);
    }

    /** These frames, and those of a soft word if they have a pitch. */
    static BitSet perhaps(Levels levels, BitSet loud) {
        double least = Math.max(floor(levels), voice(levels) * SOFTEST * UNDER_WORD);
        BitSet perhaps = (BitSet) loud.clone();
        for (int f = 0; f < levels.frames(); f++) if (levels.body(f) >= least) perhaps.set(f);
        return perhaps;
    }

    /** The loud frames, and those of words and lines that are soft, but have a pitch. */
    static BitSet worth(Levels levels, BitSet loud, PitchTrack pitch) {
        BitSet worth = (BitSet) loud.clone();
        double voice = voice(levels);
        for (int pause : new int[] {WORD, Sung.PAUSE}) {
            for (int f = next(pitch, 0); f < pitch.frames(); ) {
                int from = f, to = f + 1, voiced = 1;
                for (f = next(pitch, to); f < pitch.frames() && f - to < pause; f = next(pitch, to)) {
                    to = f + 1;
                    voiced++;
                }
                if (voiced >= SOFT_AT_LEAST) addSoft(levels, loud, voice, pitch, from, to, worth);
            }
        }
        return worth;
    }

    private static void addSoft(Levels levels, BitSet loud, double voice, PitchTrack pitch, int from, int to, BitSet worth) {
        double own = Quantiles.typical(f -> pitch.voiced(from + f) ? levels.body(from + f) : 0, to - from);
        if (own * UNDER_WORD > voice * UNDER_VOICE) return;
        // The first frames of a loud word do not make a soft one of what leaks into the pause before it.
        double soft = Quantiles.typical(f -> pitch.voiced(from + f) && !loud.get(from + f) ? levels.body(from + f) : 0, to - from);
        if (soft < voice * SOFTEST) return;
        for (int f = from; f < to; f++) if (levels.body(f) >= own * UNDER_WORD) worth.set(f);
    }

    private static int next(PitchTrack pitch, int f) {
        while (f < pitch.frames() && !pitch.voiced(f)) f++;
        return f;
    }

    /** The loud frames, and those that are soft and have a pitch; short dips beside these are bridged as well. */
    static BitSet sounding(BitSet loud, PitchTrack pitch) {
        BitSet sounding = (BitSet) loud.clone();
        for (int f = next(pitch, 0); f < pitch.frames(); f = next(pitch, f + 1)) sounding.set(f);
        for (int f = sounding.nextSetBit(0); f >= 0; ) {
            int end = sounding.nextClearBit(f);
            f = sounding.nextSetBit(end);
            if (f >= 0 && f - end <= BRIDGE && !(loud.get(end - 1) && loud.get(f))) sounding.set(end, f);
        }
        return sounding;
    }

    /** Of these stretches, what lies from one frame with pitch to the last before a pause in pitch longer than a consonant. */
    static BitSet sung(BitSet sounding, PitchTrack pitch) {
        BitSet sung = new BitSet();
        for (int f = sounding.nextSetBit(0); f >= 0; ) {
            int end = sounding.nextClearBit(f), from = f, last = f - CONSONANT - 1, voiced = 0;
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
            f = sounding.nextSetBit(end);
        }
        sung.and(sounding);
        return sung;
    }
}
