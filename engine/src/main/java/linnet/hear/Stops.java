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
    // Lengths are in cells of 1 ms. What the whole finds on labelled takes stands in docs/marks.md; where each number came from was not written down when it
    // was chosen.

    /** How long before a burst the sound must lie under it, and how long after one none is looked for. */
    private static final int CLOSED = 25;
    /** In how long it comes up. */
    private static final int SLOPE = 3;
    /** The most that is called its closure. */
    private static final int LONGEST = 150;
    /** What is called its closure where nothing sounds before. */
    private static final int SILENT = 80;
    /** The most that is called its burst. */
    private static final int BURST = 30;
    /** How soon after a burst a voice must sound, if none did before. */
    private static final int VOICE_AFTER = 140;
    /** How long before a burst a voice may have sounded, if none does after. */
    private static final int VOICE_BEFORE = 200;
    /** Over how many cells on each side the power of mouth and cords is averaged. */
    private static final int SMOOTH = 3;
    /** A click nearer to a burst is what was heard as that. */
    private static final int NEAR = 12;
    /** By how much it comes up at least, 15 dB. */
    private static final double RISE_DB = 15, RISE = Decibels.gain(RISE_DB);
    /** In dB: by how much it comes up where there is no doubt. */
    private static final double SURE_RISE_DB = 27;
    /** The softest burst, 38 dB under the RMS of the voice. */
    private static final double UNDER_VOICE = Decibels.gain(-38);
    /** The softest burst, 14 dB over the noise. */
    private static final double OVER_NOISE = Decibels.gain(14);
    /** A mouth that is open lets through no less than 14 dB under the most of what came before. */
    private static final double OPEN = Decibels.power(-14);
    /** What is 26 dB under the voice, or softer, is no voice. */
    private static final double SOUNDS = Decibels.power(-26);
    /** A burst is over once it is 10 dB under its peak. */
    private static final double FADED = Decibels.gain(10);

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
        return Stretches.of(bursts, b -> strands.sample(b - 2 * NEAR), b -> strands.sample(b + 2 * NEAR));
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
            found.add(new Event(from, strands.sample(end(burst)), Decibels.ofGain(after(burst)),
                    Math.min(1, 0.4 + 0.6 * (rise - RISE_DB) / (SURE_RISE_DB - RISE_DB))));
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
