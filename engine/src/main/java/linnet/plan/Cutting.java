package linnet.plan;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import linnet.song.Song;
import linnet.song.Source;

/**
 * Turns where a part comes from into pieces in the time of the song.
 *
 * @param rate samples per second of the song
 * @param takes of the song in the order in which the plan counts them
 */
record Cutting(double rate, List<Path> takes) {
    /** In seconds: how far a join may be moved to where it is not heard, and the longest fade that is usual. */
    private static final double REACH = 0.5, LONGEST = 0.03;
    private static final Work.Source SILENCE = new Work.Source.Silence();

    Work.Source source(Song.Part part) {
        if (part.source() instanceof Source.Comp comp) return comp(comp, part.flipped());
        Source.Clip clip = (Source.Clip) part.source();
        return new Work.Source.Take(take(clip.take()), at(clip.at()), part.flipped());
    }

    private int take(Source.Take take) {
        return takes.indexOf(take.path());
    }

    private long at(double seconds) {
        return Math.round(seconds * rate);
    }

    private Work.Source comp(Source.Comp comp, boolean flipped) {
        List<Work.Piece> pieces = new ArrayList<>(List.of(new Work.Piece(SILENCE, 0)));
        List<Work.Border> borders = new ArrayList<>();
        double ends = Double.NEGATIVE_INFINITY;
        List<Source.Range> ranges = comp.ranges();
        for (int i = 0; i < ranges.size(); i++) {
            Source.Range r = ranges.get(i);
            double next = i + 1 < ranges.size() ? ranges.get(i + 1).from() : Double.POSITIVE_INFINITY, until = Math.min(r.to(), next);
            borders.add(border(r.where().text(), r.from(), Math.min(r.from() - ends, until - r.from()), r));
            pieces.add(new Work.Piece(new Work.Source.Take(take(r.take()), at(r.at()), false), 0));
            ends = r.from();
            if (r.to() >= next || r.to() == Double.POSITIVE_INFINITY) continue;
            borders.add(border("end of " + r.where().text(), r.to(), Math.min(r.to() - r.from(), next - r.to()), r));
            pieces.add(new Work.Piece(SILENCE, 0));
            ends = r.to();
        }
        return new Work.Source.Edited(pieces, borders, Work.Course.of(0), List.of(), flipped);
    }

    /**
     * A border that meets no other, wherever it is moved to.
     *
     * @param room seconds to the nearer of the borders beside it
     */
    private Work.Border border(String where, double at, double room, Source.Range r) {
        double fade = Math.min(r.fade(), room / 2), reach = Math.min(REACH, room / 2 - Math.max(fade, LONGEST));
        return new Work.Border(where, at(at), r.exact() ? 0 : Math.max(0, (long) (reach * rate)), (int) at(fade));
    }
}
