package linnet.hear;

import java.util.ArrayList;
import java.util.List;

/**
 * Where a breath and a consonant were found in one place: a breath that runs into a consonant ends where that begins, and one that begins in
 * its noise begins after it. The closed mouth of a stop is silent, so a stop may begin later instead; a burst in the middle of a breath is
 * part of the breath.
 */
final class Apart {
    private final List<Event> breaths;
    private final List<Event> stops = new ArrayList<>();
    private final long least;

    /** @param least samples of the shortest breath that is left */
    Apart(List<Event> breaths, List<Event> sibilants, List<Event> stops, long least) {
        this.breaths = new ArrayList<>(breaths);
        this.least = least;
        for (Event s : sibilants) cut(s.from(), s.to(), s.confidence());
        for (Event s : stops) {
            Event breath = at(s.to() - 1);
            if (breath != null && breath.to() - s.to() > least / 2) continue;
            if (breath != null) cut(Math.max(s.from(), s.to() - least / 4), s.to(), 1);
            Event before = at(s.from());
            this.stops.add(before == null ? s : new Event(Math.min(before.to(), s.to() - 1), s.to(), s.dbfs(), s.confidence()));
        }
    }

    private Event at(long sample) {
        for (Event b : breaths) if (b.from() <= sample && sample < b.to()) return b;
        return null;
    }

    /** Leaves of a breath what lies before or after these samples, whichever is longer, where that is a breath still. */
    private void cut(long from, long to, double sure) {
        for (int i = 0; i < breaths.size(); i++) {
            Event b = breaths.get(i);
            if (b.from() >= to || from >= b.to() || sure < b.confidence()) continue;
            boolean before = from - b.from() > b.to() - to;
            long start = before ? b.from() : to, end = before ? from : b.to();
            if (end - start >= least) breaths.set(i, new Event(start, end, b.dbfs(), b.confidence()));
            else breaths.remove(i--);
        }
    }

    List<Event> breaths() {
        return breaths;
    }

    List<Event> stops() {
        return stops;
    }
}
