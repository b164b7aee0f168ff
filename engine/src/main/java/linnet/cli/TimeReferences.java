package linnet.cli;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import linnet.audio.Bext;
import linnet.audio.WavFile;
import linnet.plan.SongPlanner;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.song.Source;

/**
 * Takes that begin with the song because the text says nothing else, and were recorded at other times, as their broadcast extensions tell (EBU Tech 3285:
 * samples since midnight). Some recorders count from midnight, some from where their own session begins: a difference means something only
 * where it is less than the song is long.
 */
final class TimeReferences {
    /** In seconds: what takes of one pass differ by. */
    private static final double SAME = 1e-3;
    /** To a sample. */
    private static final int DECIMALS = 6;

    /**
     * A take in a part.
     *
     * @param at second at which it was recorded
     * @param later seconds by which the part is nudged
     */
    private record Laid(String part, WavFile file, double at, double later) {}

    /** What is to be said of a take that was recorded later than another. */
    record Later(String part, WavFile file, String told) {}

    /** Of each take one at most; in the order of the song. */
    private final List<Later> later = new ArrayList<>();

    TimeReferences(Song song, SongTakes takes) {
        List<Laid> all = new ArrayList<>();
        for (Song.Part p : SongPlanner.parts(song)) {
            double nudged = p.source() instanceof Source.Edited e ? e.later() : 0;
            for (Source.Take take : unplaced(p.source().unedited())) {
                WavFile file = takes.file(take);
                Bext.of(file.header()).filter(b -> b.timeReference() >= 0)
                        .ifPresent(b -> all.add(new Laid(p.name().text(), file, b.timeReference() / file.rate(), nudged)));
            }
        }
        double length = song.time().end();
        List<Laid> firsts = firsts(all, length);
        Set<WavFile> told = new HashSet<>();
        for (Laid one : all) {
            Laid first = firsts.stream().filter(f -> f.at <= one.at).reduce((a, b) -> b).orElseThrow();
            told(one, first).filter(t -> told.add(one.file)).ifPresent(t -> later.add(new Later(one.part, one.file, t)));
        }
    }

    /**
     * The earliest of each clock, in order of time: those after it, up to the length of the song, are of the same; of those that began together the first of
     * the song.
     */
    private static List<Laid> firsts(List<Laid> all, double length) {
        List<Laid> firsts = new ArrayList<>();
        for (Laid one : all.stream().sorted(Comparator.comparingDouble(Laid::at)).toList()) {
            if (firsts.isEmpty() || one.at - firsts.get(firsts.size() - 1).at >= length) firsts.add(one);
        }
        return firsts;
    }

    /** What puts a take where it was recorded, if it does not lie there: what is nudged already counts. */
    private static Optional<String> told(Laid one, Laid first) {
        double by = one.at - first.at, at = by + first.later - one.later;
        if (by < SAME || at < SAME) return Optional.empty();
        String after = one.part.equals(first.part) ? first.file.path().getFileName().toString() : first.part;
        return Optional.of("recorded " + Unit.SECONDS.format(by, DECIMALS) + " after " + after + " by its time reference; to keep that"
                + (one.later == first.later ? "" : " with what is nudged") + ", say 'at: " + Unit.SECONDS.format(at, DECIMALS) + "'");
    }

    /** Takes that begin with the song because nothing else is said. */
    private static List<Source.Take> unplaced(Source source) {
        if (source instanceof Source.Clip c) return c.placed() || c.ends().isPresent() ? List.of() : List.of(c.take());
        if (source instanceof Source.Comp comp) return comp.ranges().stream().filter(r -> !r.placed()).map(Source.Range::take).toList();
        return List.of();
    }

    List<Later> later() {
        return later;
    }
}
