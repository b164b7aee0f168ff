package linnet.hear;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.Decibels;
import linnet.dsp.pitch.PitchTrack;

/**
 * Clicks that a stronger consonant follows at once, as a line begins: sound above 3 kHz, within 10 dB of its peak for at most 4 ms, out of
 * quiet, and faded by 14 dB 4 ms later. The burst of a stop is as short; but then a vowel follows within 100 ms, and here none does. Common
 * practice, tried on the demo's singers.
 */
final class LoneClicks {
    /** In milliseconds: the longest click, the slope that rounding to cells may hide, the quiet before, the fade, and how far away the voice is. */
    private static final int LONGEST = 4, SLOPE = 1, QUIET = 20, FADE = 4, VOICELESS = 100;
    private static final double ALONE = Decibels.gain(10), FADED = Decibels.gain(14);
    /** Weaker ones are masked by the voice before they are heard, or are the room's. */
    private static final double UNDER_VOICE = Decibels.gain(-40), OVER_NOISE = Decibels.gain(14);

    private final Strip peaks;
    private final PitchTrack pitch;
    private final Sung sung;
    private final int begins, ends;

    LoneClicks(Levels levels, Hiss hiss, PitchTrack pitch, Sung sung) {
        peaks = hiss.peaks();
        begins = levels.begins() * Hiss.CELLS;
        ends = levels.ends() < levels.frames() ? levels.ends() * Hiss.CELLS : peaks.length();
        this.pitch = pitch;
        this.sung = sung;
    }

    /**
     * @param noise RMS of the pauses above 100 Hz; full scale is 1
     * @param voice RMS of the sung frames
     */
    List<Event> find(double noise, double voice) {
        double least = Math.max(noise * OVER_NOISE, voice * UNDER_VOICE);
        List<Event> found = new ArrayList<>();
        // What the take begins or ends with was cut, and may have been longer or not alone.
        for (int c = begins + QUIET + LONGEST; c < ends - VOICELESS - LONGEST; c++) {
            double peak = peaks.at(c);
            if (peak < least || peak < peaks.at(c - 1) || peak <= peaks.at(c + 1) || isNearVoice(c)) continue;
            int from = c, to = c + 1;
            while (c - from < LONGEST && peaks.at(from - 1) * ALONE > peak) from--;
            while (to - c <= LONGEST && peaks.at(to) * ALONE > peak) to++;
            if (to - from > LONGEST) continue;
            double worst = Math.max(most(from - SLOPE - QUIET, from - SLOPE) * ALONE, most(to + SLOPE, to + SLOPE + FADE) * FADED);
            if (worst > peak) continue;
            // No more than likely: it may belong to the consonant.
            found.add(new Event(sample(from), sample(to), Decibels.ofGain(peak), (1 - worst / peak / 2) / 2));
            c = to + SLOPE;
        }
        return found;
    }

    private boolean isNearVoice(int cell) {
        for (int f = (cell - QUIET) / Hiss.CELLS; f <= (cell + VOICELESS) / Hiss.CELLS; f++) if (pitch.voiced(f) || sung.frame(f)) return true;
        return false;
    }

    private long sample(int cell) {
        return (long) cell * pitch.hop() / Hiss.CELLS;
    }

    private double most(int from, int to) {
        double most = 0;
        for (int c = from; c < to; c++) most = Math.max(most, peaks.at(c));
        return most;
    }
}
