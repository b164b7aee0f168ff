package linnet.hear;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import linnet.dsp.Decibels;

/**
 * The lines of a song, from their first sound to their last: where someone sings, with the consonants before the first vowel and after the
 * last. A breath parts them, however short the pause. Sibilants and stops belong to a line that begins or ends less than 130 ms from them; weaker noise, an f
 * or h, as long as it joins on and is no breath, but not for longer than 150 ms; what has nearly the body of the voice, as creak has, for up to a second
 * (common practice: the last words of a speaker): longer than that it is something beside the voice.
 */
final class Lines {
    private static final double NEAR_SECONDS = 0.13;
    private static final double OVER_NOISE = Decibels.power(8), UNDER_VOICE = Decibels.power(-45);
    /** Body of a creaking voice beside that of all its sound; the room and breaths of ten voices stay 6 dB under it. */
    private static final double CREAK = Decibels.power(-24);
    /** In frames of 10 ms. */
    private static final int WEAK = 15, LONGEST = 100;

    private final List<Event> consonants, breaths;
    private final Levels levels;
    private final int hop;
    private final long near;
    private final double least, body;

    /**
     * @param noise power of the pauses above 100 Hz
     * @param voice power of the sung frames
     */
    Lines(Levels levels, List<Event> sibilants, List<Event> stops, List<Event> breaths, double rate, double noise, double voice) {
        consonants = Stream.concat(sibilants.stream(), stops.stream()).toList();
        this.breaths = breaths;
        this.levels = levels;
        hop = levels.hop();
        near = Math.round(NEAR_SECONDS * rate);
        least = Math.max(noise * OVER_NOISE, voice * UNDER_VOICE);
        body = CREAK * Quantiles.typical(levels::body, levels.frames());
    }

    List<Event> find(Sung sung) {
        List<Event> lines = new ArrayList<>();
        List<Sung.Span> phrases = sung.phrases(pause -> breathed(pause.from(), pause.to()) != null);
        for (int i = 0; i < phrases.size(); i++) {
            Sung.Span s = phrases.get(i);
            long earliest = i == 0 ? 0 : lines.get(i - 1).to(), latest = i + 1 < phrases.size() ? phrases.get(i + 1).from() : Long.MAX_VALUE;
            long from = Math.max(earliest, start(s.from())), to = Math.min(latest, end(s.to()));
            double mean = 0;
            int first = (int) (s.from() / hop), last = (int) (s.to() / hop);
            for (int f = first; f < last; f++) mean += levels.above(f);
            // Where the voice hardly stands out of the room, its ends are a guess.
            double over = Decibels.ofPower(mean / (last - first) / least);
            lines.add(new Event(from, to, Decibels.ofPower(mean / (last - first)), Math.max(0.1, Math.min(1, over / 25))));
        }
        return joined(lines);
    }

    /** Lines whose consonants reach into each other are one. */
    private List<Event> joined(List<Event> lines) {
        List<Event> joined = new ArrayList<>();
        for (Event e : lines) {
            Event last = joined.isEmpty() ? null : joined.get(joined.size() - 1);
            if (last == null || e.from() - last.to() > near / 2 || breathed(last.to(), e.from()) != null) joined.add(e);
            else joined.set(joined.size() - 1, new Event(last.from(), e.to(), Math.max(last.dbfs(), e.dbfs()), Math.min(last.confidence(), e.confidence())));
        }
        return joined;
    }

    private long start(long from) {
        for (boolean found = true; found; ) {
            found = false;
            for (Event c : consonants) {
                if (c.from() < from && c.to() > from - near && breathed(c.from(), c.to()) == null) {
                    from = c.from();
                    found = true;
                }
            }
        }
        int f = (int) (from / hop) - 1;
        for (int last = f - WEAK, first = f - LONGEST; f > Math.max(-1, last) && joinsOn(f); f--) if (levels.body(f) > body) last = Math.max(first, f - WEAK);
        from = Math.min(from, (long) (f + 1) * hop);
        Event before = breathed(from, from + 1);
        return before == null ? from : before.to();
    }

    private long end(long to) {
        for (boolean found = true; found; ) {
            found = false;
            for (Event c : consonants) {
                if (c.to() > to && c.from() < to + near && breathed(c.from(), c.to()) == null) {
                    to = c.to();
                    found = true;
                }
            }
        }
        int f = (int) (to / hop);
        for (int last = f + WEAK, end = f + LONGEST; f < Math.min(levels.frames(), last) && joinsOn(f); f++) {
            if (levels.body(f) > body) last = Math.min(end, f + WEAK);
        }
        return Math.max(to, (long) f * hop);
    }

    /** Whether something sounds in that frame which is no breath. */
    private boolean joinsOn(int f) {
        return levels.above(f) > least && breathed((long) f * hop, (long) (f + 1) * hop) == null;
    }

    /** The breath that meets these samples; null if there is none. */
    private Event breathed(long from, long to) {
        for (Event b : breaths) if (b.from() < to && from < b.to()) return b;
        return null;
    }
}
