package linnet.cli;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import linnet.audio.WavFile;
import linnet.chain.Link;
import linnet.plan.SongPlanner;
import linnet.song.Edit;
import linnet.song.Place;
import linnet.song.Song;
import linnet.song.Source;

/**
 * Parts that sing from one recording at one place of the song, as a slip of pasting makes them: two that lie opposite are one voice in the centre, and two in
 * one place are one that is louder. Who nudges a copy, takes another stretch of it or makes something else of it by its chain means it; and what is the lead's
 * own recording and follows her is told where it is tidied.
 */
final class SameRecordings {
    /** In seconds: less is rounding. A nudge is more. */
    private static final double SAME = 1e-6;
    /** In seconds: what takes have in common beside a join is no voice. Judgement. */
    private static final double SOUNDS = 0.1;
    /** The step that puts a part in a place. */
    private static final String PLACES = "pan";

    /**
     * A stretch of a recording in the song.
     *
     * @param recording the first file that holds it
     * @param zero second of the song at which the recording begins, or would
     */
    private record Piece(WavFile file, WavFile recording, double zero, double from, double to) {
        double common(Piece other) {
            return recording == other.recording && Math.abs(zero - other.zero) < SAME ? Math.max(0, Math.min(to, other.to) - Math.max(from, other.from)) : 0;
        }
    }

    private record Sung(Song.Part part, List<Piece> pieces) {}

    /** What is to be said of parts that have the recording of another: of each part one at most, in the order of the song. */
    private final List<String> lines = new ArrayList<>();
    private final SongTakes takes;
    private final Recordings recordings;

    SameRecordings(Song song, SongTakes takes) {
        recordings = new Recordings(takes);
        this.takes = takes;
        List<Sung> all = new ArrayList<>();
        for (Song.Part p : song.parts()) {
            Sung sung = new Sung(p, pieces(p.source()));
            all.stream().filter(s -> common(s, sung) > SOUNDS && !follows(s.part, p) && !follows(p, s.part) && shaped(song, s.part).equals(shaped(song, p)))
                    .findFirst().ifPresent(s -> lines.add(told(s, sung)));
            all.add(sung);
        }
    }

    private static String shaped(Song song, Song.Part part) {
        return shaped(SongPlanner.chain(song, part).links());
    }

    /** What makes another voice of a recording: all steps but those that mend it and that put it in its place. */
    private static String shaped(List<Link> links) {
        StringBuilder shaped = new StringBuilder();
        for (Link l : links) {
            if (l instanceof Link.Use u) {
                if (u.step().mends() || u.step().word().equals(PLACES)) continue;
                shaped.append(u.step().word()).append(' ').append(u.values().write());
            }
            if (l instanceof Link.Parallel p) p.branches().forEach(b -> shaped.append("branch ").append(b.level()).append('\n').append(shaped(b.links())));
            l.mix().ifPresent(m -> shaped.append(" mix ").append(m));
            shaped.append('\n');
        }
        return shaped.toString();
    }

    private static boolean follows(Song.Part part, Song.Part other) {
        return part.tidy().filter(t -> t.like().text().equals(other.name().text())).isPresent();
    }

    private List<Piece> pieces(Source source) {
        double later = source instanceof Source.Edited e ? e.later() : 0;
        List<Piece> pieces = new ArrayList<>();
        if (source.unedited() instanceof Source.Clip c) {
            double zero = c.at() - c.from() + later, from = c.at() + later;
            pieces.add(piece(c.take(), zero, from, zero + Math.min(c.to(), takes.seconds(c.take()))));
        }
        if (source.unedited() instanceof Source.Comp comp) {
            for (int i = 0; i < comp.ranges().size(); i++) {
                Source.Range r = comp.ranges().get(i);
                double zero = r.at() + later, next = i + 1 < comp.ranges().size() ? comp.ranges().get(i + 1).from() : Double.POSITIVE_INFINITY;
                pieces.add(piece(r.take(), zero, r.from(), Math.min(Math.min(r.to(), next), zero + takes.seconds(r.take()))));
            }
        }
        List<Piece> left = pieces;
        if (source instanceof Source.Edited e) for (Edit edit : e.edits()) left = left(left, edit);
        return left;
    }

    private Piece piece(Source.Take take, double zero, double from, double to) {
        return new Piece(takes.file(take), recordings.first(takes.file(take)), zero, from, to);
    }

    /** What an edit leaves of them; behind what is taken out nothing is compared, as all of it comes earlier. */
    private static List<Piece> left(List<Piece> pieces, Edit edit) {
        if (edit instanceof Edit.Only only) return pieces.stream().flatMap(p -> only.where().stream().map(r -> within(p, r.from(), r.to()))).toList();
        List<Piece> left = pieces;
        List<Place.Range> silent = edit instanceof Edit.Mute mute ? mute.where()
                : edit instanceof Edit.Close close ? List.of(new Place.Range(close.where().from(), Double.POSITIVE_INFINITY)) : List.of();
        for (Place.Range r : silent) {
            List<Piece> both = new ArrayList<>();
            for (Piece p : left) both.addAll(List.of(within(p, Double.NEGATIVE_INFINITY, r.from()), within(p, r.to(), Double.POSITIVE_INFINITY)));
            left = both;
        }
        return left;
    }

    private static Piece within(Piece p, double from, double to) {
        return new Piece(p.file, p.recording, p.zero, Math.max(p.from, from), Math.min(p.to, to));
    }

    private static double common(Sung one, Sung other) {
        return one.pieces.stream().mapToDouble(a -> other.pieces.stream().mapToDouble(a::common).sum()).sum();
    }

    /** That of the later part, which is the copy where they are two. */
    private static WavFile file(Sung one, Sung other) {
        return other.pieces.stream().filter(b -> one.pieces.stream().anyMatch(a -> a.common(b) > 0)).findFirst().orElseThrow().file;
    }

    private static String told(Sung one, Sung other) {
        WavFile file = file(one, other);
        String named = one.pieces.stream().filter(a -> other.pieces.stream().anyMatch(b -> b.file == file && a.common(b) > 0)).map(a -> a.file)
                .filter(f -> f != file).map(f -> " (" + f.path().getFileName() + ")").distinct().collect(Collectors.joining());
        return String.format(Locale.ROOT, "%s: %s: the recording of %s%s once more, %.1f s of it at the same place: both are one voice, in the centre where "
                + "they lie opposite; name the take of %1$s, or write a 'nudge' where an echo is meant", other.part.name().text(), file.path().getFileName(),
                one.part.name().text(), named, common(one, other));
    }

    List<String> lines() {
        return lines;
    }
}
