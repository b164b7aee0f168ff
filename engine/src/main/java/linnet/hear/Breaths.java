package linnet.hear;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.stream.Stream;
import linnet.dsp.Decibels;
import linnet.dsp.pitch.PitchTrack;

/**
 * Breaths: noise without pitch outside the phrases, weaker than the voice and stronger than the room, that has some of everything. The
 * tail of a note is nearly all body, a sibilant nearly all hiss; between them, strongest about 1 to 3 kHz, lies a breath (D. Ruinskiy,
 * Y. Lavner, IEEE TASLP 15(3), 2007, use the same features: level, zero crossings, spectrum). The limits were read from breaths marked by
 * hand on five singers.
 */
final class Breaths {
    /** Powers beside the room and the voice. */
    private static final double OVER_NOISE = Decibels.power(6), UNDER_VOICE = Decibels.power(-15);
    /** The share of the body (100 Hz to 1.2 kHz) and of the hiss (over 3 kHz) in all above 100 Hz. */
    private static final double LEAST_BODY = Decibels.power(-13), MOST_BODY = Decibels.power(-2.2);
    private static final double LEAST_HISS = Decibels.power(-11.5), MOST_HISS = Decibels.power(-0.5);
    /** In frames of 10 ms. What is shorter may be the breath of a consonant between two words. */
    private static final int BRIDGE = 6, SHORTEST = 12, LONGEST = 200, EDGE = 6, NEAR = 120, SMOOTH = 2;
    private static final double SURE_FRAMES = 10;
    /** From a frame to the next; less may be chance. */
    private static final double FALL = Decibels.power(-0.5);
    /** Power beside that of the breath, and cells of 1 ms: where it dies away between the breath and what goes on into the voice, an h, it has ended. */
    private static final double DIP = Decibels.power(-10);
    private static final int DIP_CELLS = 15, DIP_SMOOTH = 2, BEFORE_DIP = 100, WORD = 15;

    private final Levels levels;
    private final Series hiss;
    private final PitchTrack pitch;
    private final Sung sung;
    private final Strands strands;
    private final Strip[] sounds;
    private final double least, most;
    private final BitSet spoken = new BitSet();

    /**
     * @param consonants that are heard: no breath spreads into them
     * @param noise power above 100 Hz in the pauses
     * @param voice power of the sung frames
     */
    Breaths(Levels levels, Hiss hiss, Strands strands, PitchTrack pitch, Sung sung, List<Event> consonants, double noise, double voice) {
        this.levels = levels;
        this.hiss = hiss.power();
        this.pitch = pitch;
        this.sung = sung;
        this.strands = strands;
        sounds = Stream.of(Strands.Band.CORDS, Strands.Band.MOUTH, Strands.Band.HISS).map(b -> strands.power(b).mean(DIP_SMOOTH, DIP_SMOOTH))
                .toArray(Strip[]::new);
        least = noise * OVER_NOISE;
        most = voice * UNDER_VOICE;
        for (Event c : consonants) spoken.set((int) (c.from() / pitch.hop()), (int) ((c.to() - 1) / pitch.hop()) + 1);
    }

    List<Event> find() {
        BitSet core = new BitSet();
        for (int f = 0; f < levels.frames(); f++) core.set(f, breathes(f));
        List<Event> found = new ArrayList<>();
        int earliest = 0;
        for (int f = core.nextSetBit(0); f >= 0; ) {
            int start = f, end = core.nextClearBit(f), count = end - start;
            for (int next = core.nextSetBit(end); next >= 0 && next - end <= BRIDGE && quiet(end, next); next = core.nextSetBit(end)) {
                end = core.nextClearBit(next);
                count += end - next;
            }
            if (count >= SHORTEST && end - start <= LONGEST) {
                Event breath = event(start, end, count, earliest);
                found.add(breath);
                earliest = (int) ((breath.to() + pitch.hop() - 1) / pitch.hop());
                end = Math.max(end, earliest);
            }
            f = core.nextSetBit(end);
        }
        return found;
    }

    private boolean breathes(int f) {
        if (sung.frame(f) || pitch.voiced(f)) return false;
        double above = levels.above(f), body = levels.body(f);
        if (above < least || above > most || body < LEAST_BODY * above || body > MOST_BODY * above) return false;
        double high = hiss(f);
        return high > LEAST_HISS * above && high < MOST_HISS * above;
    }

    /** Over 50 ms, as the levels are. */
    private double hiss(int f) {
        double sum = 0;
        int n = 0;
        for (int i = Math.max(0, f - SMOOTH); i <= f + SMOOTH && i < hiss.size(); i++, n++) sum += hiss.at(i);
        return sum / n;
    }

    private boolean quiet(int from, int to) {
        for (int f = from; f < to; f++) if (sung.frame(f) || pitch.voiced(f) || levels.above(f) > most) return false;
        return true;
    }

    /** From where it rises out of the room to where it is lost in it or somebody sings. */
    private Event event(int start, int end, int count, int earliest) {
        int from = Math.max(earliest, edge(start, -1, end - LONGEST)), to = edge(end - 1, 1, start + LONGEST) + 1;
        double sum = 0;
        for (int f = from; f < to; f++) sum += levels.above(f);
        double sure = Ear.certainty(count, SURE_FRAMES);
        return new Event((long) from * pitch.hop(), dip(from, to), Decibels.ofPower(sum / (to - from)), soon(end) ? sure : sure / 2);
    }

    /**
     * The sample at which a breath has died away, where it is softest, before a sound that goes on into the voice; the end of frame {@code to - 1} where
     * nothing parts the two.
     */
    private long dip(int from, int to) {
        int voice = to;
        while (voice < to + WORD && !sung.frame(voice) && !pitch.voiced(voice)) voice++;
        long end = (long) to * pitch.hop();
        if (voice == to + WORD) return end;
        int first = Math.max(from + SHORTEST, voice - WORD) * Hiss.CELLS, low = 0, lowest = first;
        for (int c = first; c < Math.min(to * Hiss.CELLS, sounds[0].length()); c++) {
            low = power(c) < DIP * before(c - low) ? low + 1 : 0;
            if (low == 1 || power(c) < power(lowest)) lowest = c;
            if (low >= DIP_CELLS) end = strands.sample(lowest);
        }
        return end;
    }

    /** Above the rumble, over 5 ms. */
    private double power(int cell) {
        double sum = 0;
        for (Strip s : sounds) sum += s.at(cell);
        return sum;
    }

    /** The mean before a cell. */
    private double before(int cell) {
        double sum = 0;
        for (int c = cell - BEFORE_DIP; c < cell; c++) sum += power(c);
        return sum / BEFORE_DIP;
    }

    /**
     * The last frame of a breath to one side of its core. What joins on to the core is breath whatever its colour, which changes with the mouth, until
     * it is lost in the room. Where it runs into a word instead, it ends where it no longer falls: what rises there may be the word's consonant.
     */
    private int edge(int core, int step, int farthest) {
        int lost = core + step;
        while (wordless(lost) && step * (farthest - lost) > 0 && levels.above(lost) > least) lost += step;
        if (lost < 0 || lost >= levels.frames() || wordless(lost) && levels.above(lost) <= least) return lost - step;
        int fallen = core;
        while (fallen != core + step * EDGE && wordless(fallen + step) && levels.above(fallen + step) < FALL * levels.above(fallen)) fallen += step;
        return fallen;
    }

    private boolean wordless(int f) {
        return f >= 0 && f < levels.frames() && !sung.frame(f) && !pitch.voiced(f) && !spoken.get(f) && levels.above(f) <= most;
    }

    /** Whether a phrase begins before long: one breathes in to sing. */
    private boolean soon(int end) {
        for (int f = end; f < end + NEAR; f++) if (sung.frame(f)) return true;
        return false;
    }
}
