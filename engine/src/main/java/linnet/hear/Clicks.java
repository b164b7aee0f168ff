package linnet.hear;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.Decibels;
import linnet.dsp.pitch.PitchTrack;

/**
 * Clicks of the mouth: sound above 3 kHz, within 10 dB of its peak for at most 4 ms, out of quiet and gone again at once. What comes
 * within 20 ms before is far weaker: so the pulses of the larynx, which come again, are none. What follows is over in a few
 * milliseconds: so the bursts of consonants are none, whose hiss lasts. A click inside a vowel is covered by it there, and is not
 * found. The figures are common practice, tried on the demo's singers.
 */
final class Clicks {
    /** In milliseconds: the longest click, the slope that rounding to cells may hide, the longest cycle of a voice, and a fade. */
    private static final int LONGEST = 4, SLOPE = 1, CYCLE = 20, FADE = 4;
    private static final double ALONE = Decibels.gain(10), FADED = Decibels.gain(14);
    /** Weaker ones are masked by the voice before they are heard, or are the room's. */
    private static final double UNDER_VOICE = Decibels.gain(-40), OVER_NOISE = Decibels.gain(14);

    private final float[] peaks;
    private final PitchTrack pitch;

    Clicks(Hiss hiss, PitchTrack pitch) {
        peaks = hiss.peaks();
        this.pitch = pitch;
    }

    /**
     * @param noise RMS of the pauses above 100 Hz; full scale is 1
     * @param voice RMS of the sung frames
     */
    List<Event> find(double noise, double voice) {
        double least = Math.max(noise * OVER_NOISE, voice * UNDER_VOICE);
        List<Event> found = new ArrayList<>();
        // What the take begins or ends with was cut, and may have been longer or not alone.
        for (int c = CYCLE + LONGEST; c < peaks.length - CYCLE - LONGEST; c++) {
            double peak = peaks[c];
            if (peak < least || peak < peaks[c - 1] || peak <= peaks[c + 1]) continue;
            int from = c, to = c + 1;
            while (c - from < LONGEST && peaks[from - 1] * ALONE > peak) from--;
            while (to - c <= LONGEST && peaks[to] * ALONE > peak) to++;
            if (to - from > LONGEST) continue;
            double before = most(from - SLOPE - CYCLE, from - SLOPE) * ALONE, fade = most(to + SLOPE, to + SLOPE + FADE) * FADED;
            double after = sings(to) ? most(to + SLOPE, to + CYCLE) * ALONE : 0;
            double worst = Math.max(Math.max(before, after), Math.max(fade, least));
            if (worst > peak) continue;
            found.add(new Event(sample(from), sample(to), Decibels.ofGain(peak), 1 - worst / peak / 2));
            c = to + SLOPE;
        }
        return found;
    }

    /** Whether what follows may be the second cycle of a voice. */
    private boolean sings(int cell) {
        int frame = cell / Hiss.CELLS;
        return pitch.voiced(frame) || pitch.voiced(frame + 1) || pitch.voiced(frame + 2);
    }

    private long sample(int cell) {
        return (long) cell * pitch.hop() / Hiss.CELLS;
    }

    private double most(int from, int to) {
        double most = 0;
        for (int c = from; c < to; c++) most = Math.max(most, peaks[c]);
        return most;
    }
}
