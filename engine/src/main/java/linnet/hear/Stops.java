package linnet.hear;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.Decibels;
import linnet.dsp.Stretches;

/**
 * Stops: the mouth is closed for 20 ms and more, then opens within 3 ms: above 3.2 kHz the sound comes up by 15 dB and more over all of the
 * 25 ms before. Fricatives swell slower, and the cycles of a voice come again. What is not near the voice is none.
 */
final class Stops {
    /** In cells of 1 ms: the least that a mouth is closed, the slope of a burst, the most that is called its closure and its burst, how near the voice must be, and a click. */
    private static final int CLOSED = 25, SLOPE = 3, LONGEST = 150, SILENT = 80, BURST = 30, VOICE_AFTER = 140, VOICE_BEFORE = 200, SMOOTH = 3, NEAR = 12;
    private static final double RISE = Decibels.gain(15), UNDER_VOICE = Decibels.gain(-38), OVER_NOISE = Decibels.gain(14), SURE_RISE = 27;
    private static final double OPEN = Decibels.power(-14), SOUNDS = Decibels.power(-26), FADED = Decibels.gain(10);

    private final Strands strands;
    private final Strip hiss, mouth, cords;
    private final double voice, least;
    /** Cells in which a burst begins. */
    private final List<Integer> bursts = new ArrayList<>();

    /**
     * @param noise RMS of the pauses above 100 Hz
     * @param voice RMS of the sung frames
     */
    Stops(Strands strands, double noise, double voice) {
        this.strands = strands;
        this.voice = voice * voice;
        hiss = strands.peaks();
        mouth = strands.power(Strands.Band.MOUTH).mean(SMOOTH, SMOOTH);
        cords = strands.power(Strands.Band.CORDS).mean(SMOOTH, SMOOTH);
        least = Math.max(voice * UNDER_VOICE, noise * OVER_NOISE);
        for (int c = CLOSED; c < hiss.length() - SLOPE; c++) {
            if (hiss.at(c) < least || after(c) < before(c) * RISE) continue;
            if (sounds(c + SLOPE, c + VOICE_AFTER) || sounds(c - VOICE_BEFORE, c)) bursts.add(c);
            c += CLOSED;
        }
    }

    private double before(int burst) {
        return most(hiss, burst - CLOSED, burst);
    }

    private double after(int burst) {
        return most(hiss, burst, burst + SLOPE);
    }

    /** Where a click would be the burst that is heard. */
    Stretches doubtful() {
        return new Stretches(bursts.stream().mapToLong(b -> strands.sample(b - 2 * NEAR)).toArray(), bursts.stream().mapToLong(b -> strands.sample(b + 2 * NEAR)).toArray());
    }

    /** @param clicks of what is {@link #doubtful} at least: what is alone and over at once is a click, not the burst of a stop */
    List<Event> find(List<Event> clicks) {
        List<Event> found = new ArrayList<>();
        for (int burst : bursts) {
            long sample = strands.sample(burst);
            if (clicks.stream().anyMatch(k -> Math.abs(k.from() - sample) < strands.sample(NEAR))) continue;
            double rise = Decibels.ofGain(after(burst) / Math.max(before(burst), 1e-9));
            long from = strands.sample(closure(burst));
            Event last = found.isEmpty() ? null : found.get(found.size() - 1);
            // Between two bursts the mouth is closed for the second only once the first is over.
            if (last != null && last.to() > from) {
                from = Math.min(last.to(), strands.sample(burst - SLOPE));
                found.set(found.size() - 1, new Event(last.from(), from, last.dbfs(), last.confidence()));
            }
            found.add(new Event(from, strands.sample(end(burst)), Decibels.ofGain(after(burst)), Math.min(1, 0.4 + 0.6 * (rise - 15) / (SURE_RISE - 15))));
        }
        return found;
    }

    private boolean sounds(int from, int to) {
        for (int c = Math.max(0, from); c < Math.min(cords.length(), to); c++) if (cords.at(c) > voice * SOUNDS) return true;
        return false;
    }

    /** Back to where the mouth was last open: as far as what was there before is concerned, or a closure's usual length in silence. */
    private int closure(int burst) {
        double open = 0;
        for (int c = Math.max(0, burst - LONGEST); c < burst - SLOPE; c++) open = Math.max(open, mouth.at(c));
        if (open < voice * SOUNDS * OPEN) return Math.max(0, burst - SILENT);
        int from = burst - 2 * SLOPE;
        while (from > Math.max(0, burst - LONGEST) && mouth.at(from) < open * OPEN) from--;
        return Math.max(0, Math.min(from, burst - SLOPE));
    }

    private int end(int burst) {
        double peak = most(hiss, burst, burst + SLOPE);
        int to = burst + SLOPE;
        while (to < Math.min(hiss.length(), burst + BURST) && hiss.at(to) * FADED > peak) to++;
        return to;
    }

    private static double most(Strip x, int from, int to) {
        double most = 0;
        for (int c = Math.max(0, from); c < Math.min(x.length(), to); c++) most = Math.max(most, x.at(c));
        return most;
    }
}
