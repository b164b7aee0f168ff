package linnet.hear;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import linnet.dsp.Decibels;
import linnet.dsp.pitch.PitchTrack;

/**
 * Where the sibilants are: 40 ms and more that are stronger above 3.2 kHz than between 700 Hz and there, and no weaker than 31 dB under the
 * voice. Vowels lie far below that, and so do the bursts of stops, which are shorter. Between f or th and sh there are 2 dB: these have
 * their noise lower as well. A "sh" of rounded lips has as much below: where the hiss alone is about as loud as the voice and the cords are still, that will
 * do, since breaths and what follows a burst lie 18 dB under the voice, and a bright vowel has its cords. Where the cords sound along, as in z, less will do,
 * but more than half of the hiss lies above 6 kHz. The limits were read from ten voices and the demo's singers.
 */
final class SibilantEvents {
    private static final double UNDER_VOICE = Decibels.power(-31), OVER_NOISE = Decibels.power(8);
    private static final double OVER_MOUTH = Decibels.power(2), OVER_CORDS = Decibels.power(6), VOICELESS = Decibels.power(4.5), VOICED = Decibels.power(0.5),
            EDGE = Decibels.power(-9);
    private static final double SHORT_CLEARER = 4;
    /** Of a hiss as loud as the voice, by how much it may be softer than the voice and than what is below it, and by how much it is over the cords. */
    private static final double LOUD = Decibels.power(-8), LOUD_OVER_MOUTH = Decibels.power(-4), LOUD_OVER_CORDS = Decibels.power(12);
    /** In cells of 1 ms. */
    private static final int SMOOTH = 4, BRIDGE = 12, SHORTEST = 38, SHORT = 22, SURE = 40;

    private final Strands strands;
    private final PitchTrack pitch;
    private final Strip hiss, mouth, cords, top;
    private final double least, loud;

    /**
     * @param voice power of the sung frames
     */
    SibilantEvents(Strands strands, PitchTrack pitch, double voice) {
        this.strands = strands;
        this.pitch = pitch;
        hiss = strands.power(Strands.Band.HISS).mean(SMOOTH, SMOOTH);
        mouth = strands.power(Strands.Band.MOUTH).mean(SMOOTH, SMOOTH);
        cords = strands.power(Strands.Band.CORDS).mean(SMOOTH, SMOOTH);
        top = strands.power(Strands.Band.TOP).mean(SMOOTH, SMOOTH);
        least = Math.max(voice * UNDER_VOICE, Quantiles.of(hiss::at, hiss.length(), NoiseFloor.QUIET, Levels.SILENCE) * OVER_NOISE);
        loud = voice * LOUD;
    }

    List<Event> find() {
        BitSet cells = new BitSet();
        for (int c = 0; c < hiss.length(); c++) cells.set(c, hisses(c));
        List<Event> found = new ArrayList<>();
        for (int c = cells.nextSetBit(0); c >= 0; ) {
            int start = c, end = cells.nextClearBit(c);
            for (c = cells.nextSetBit(end); c >= 0 && c - end <= BRIDGE; c = cells.nextSetBit(end)) end = cells.nextClearBit(c);
            if (end - start >= SHORTEST) event(start, end, found);
        }
        return found;
    }

    private boolean hisses(int c) {
        double h = hiss.at(c);
        if (h < least) return false;
        double m = mouth.at(c);
        return h >= m && (voiceless(c) ? h > m * OVER_MOUTH : top.at(c) > m) || isLoud(c);
    }

    private boolean isLoud(int c) {
        return hiss.at(c) > Math.max(loud, Math.max(mouth.at(c) * LOUD_OVER_MOUTH, cords.at(c) * LOUD_OVER_CORDS)) && voiceless(c);
    }

    private boolean voiceless(int c) {
        return hiss.at(c) > cords.at(c) * OVER_CORDS && !pitch.voiced((int) (strands.sample(c) / pitch.hop()));
    }

    private void event(int start, int end, List<Event> found) {
        double mean = mean(hiss, start, end);
        // A vowel that comes up is still covered by what is left of the hiss.
        while (end > start && hiss.at(end - 1) < mean * EDGE) end--;
        while (start < end && hiss.at(start) < mean * EDGE) start++;
        if (end - start < SHORTEST) return;
        int silent = 0, loud = 0;
        for (int c = start; c < end; c++) {
            if (voiceless(c)) silent++;
            if (isLoud(c)) loud++;
        }
        // The breath of a t is as short, and has more below: what is short must be clear.
        double needed = 2 * loud > end - start && end - start > SHORTEST + SHORT ? LOUD_OVER_MOUTH : 2 * silent > end - start
                ? VOICELESS * Decibels.power(SHORT_CLEARER * Math.max(0, 1 - (end - start - SHORTEST) / (double) SHORT)) : VOICED;
        double over = mean(hiss, start, end) / mean(mouth, start, end);
        if (over < needed) return;
        double sure = Ear.certainty(end - start, SURE) * Math.min(1, 0.6 + Decibels.ofPower(over / needed) / 15);
        found.add(new Event(strands.sample(start), strands.sample(end), Decibels.ofPower(mean(hiss, start, end)), sure));
    }

    private static double mean(Strip power, int from, int to) {
        double sum = 0;
        for (int c = from; c < to; c++) sum += power.at(c);
        return sum / Math.max(1, to - from);
    }
}
