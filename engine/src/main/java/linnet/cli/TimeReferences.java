package linnet.cli;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
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

    /** Of those that were recorded later than the first of them what is to be said, by the take; in the order of the song. */
    private final Map<WavFile, String> later = new LinkedHashMap<>();
    private final Map<WavFile, String> parts = new LinkedHashMap<>();

    TimeReferences(Song song, SongTakes takes) {
        Map<WavFile, Double> recorded = new LinkedHashMap<>();
        for (Song.Part p : SongPlanner.parts(song)) {
            for (Source.Take take : unplaced(p.source().unedited())) {
                WavFile file = takes.file(take);
                Bext.of(file.header()).filter(b -> b.timeReference() >= 0).ifPresent(b -> recorded.putIfAbsent(file, b.timeReference() / file.rate()));
                parts.putIfAbsent(file, p.name().text());
            }
        }
        if (recorded.isEmpty()) return;
        double lead = recorded.values().iterator().next(), length = song.time().start(song.time().sections().get(song.time().sections().size() - 1).to());
        recorded.values().removeIf(at -> Math.abs(at - lead) >= length);
        Map.Entry<WavFile, Double> first = recorded.entrySet().stream().min(Map.Entry.comparingByValue()).orElseThrow();
        recorded.forEach((file, at) -> {
            double by = at - first.getValue();
            if (by < SAME || by >= length) return;
            String after = Unit.SECONDS.format(by, DECIMALS);
            later.put(file, "recorded " + after + " after " + parts.get(first.getKey()) + " by its time reference; to keep that, say 'at: " + after + "'");
        });
    }

    /** Takes that begin with the song because nothing else is said. */
    private static List<Source.Take> unplaced(Source source) {
        if (source instanceof Source.Clip c) return c.placed() || c.ends().isPresent() ? List.of() : List.of(c.take());
        if (source instanceof Source.Comp comp) return comp.ranges().stream().filter(r -> r.at() == 0).map(Source.Range::take).toList();
        return List.of();
    }

    Map<WavFile, String> later() {
        return later;
    }

    /** The part that it is of. */
    String part(WavFile file) {
        return parts.get(file);
    }
}
