package linnet.revision;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.song.Source;
import linnet.song.Timeline;

/** Takes that lie where they did while the bars under them moved: without a place in the song they stay in seconds. */
record TakesInSeconds(Song song) {
    /** In seconds: what nobody hears, and times are told to. */
    private static final double SAME = 0.005;
    private static final int DECIMALS = 2;

    /** From which second to which one is heard. */
    private record Heard(double from, double to) {}

    /**
     * By how much they lie elsewhere against the bars than in an older version, where its tempo or pick-up is another. Of takes that are others nothing is
     * known, and with another metre bars have other beats.
     */
    Optional<Change> since(Song before) {
        Timeline was = before.time(), is = song.time();
        if (!was.metres().equals(is.metres())) return Optional.empty();
        Map<String, List<Heard>> then = new TakesInSeconds(before).heard();
        double farthest = 0;
        int first = Integer.MAX_VALUE;
        for (Map.Entry<String, List<Heard>> take : heard().entrySet()) {
            if (!then.containsKey(take.getKey())) continue;
            for (Heard h : take.getValue()) {
                double end = Math.min(h.to, is.end());
                for (int bar = is.bar(h.from); is.start(bar) < end - SAME; bar++) {
                    // Between two bar lines nothing lies farther off than at one of them.
                    double at = Math.min(end, is.start(bar + 1)), by = at - was.seconds(bar, 1 + share(is, bar, at));
                    if (Math.abs(by) < SAME) continue;
                    first = Math.min(first, bar);
                    if (Math.abs(by) > Math.abs(farthest)) farthest = by;
                }
            }
        }
        return farthest == 0 ? Optional.empty()
                : Optional.of(new Change("", "takes without 'at'", "stay in seconds: from bar " + first + " they lie up to "
                        + Unit.SECONDS.format(Math.abs(farthest), DECIMALS) + (farthest < 0 ? " behind" : " ahead of") + " the bars"));
    }

    /** Beats from the beginning of a bar on. */
    private static double share(Timeline time, int bar, double seconds) {
        return (seconds - time.start(bar)) / (time.start(bar + 1) - time.start(bar)) * time.metre(bar).beats();
    }

    /** By part and take. */
    private Map<String, List<Heard>> heard() {
        Map<String, List<Heard>> heard = new LinkedHashMap<>();
        Stream.concat(song.parts().stream(), song.instrumental().stream()).forEach(p -> {
            Source source = p.source().unedited();
            if (source instanceof Source.Clip c && !c.placed()) add(heard, p, c.take(), c.from(), c.to());
            if (!(source instanceof Source.Comp comp)) return;
            for (int i = 0; i < comp.ranges().size(); i++) {
                Source.Range r = comp.ranges().get(i);
                if (!r.placed()) add(heard, p, r.take(), r.from(), i + 1 < comp.ranges().size() ? Math.min(r.to(), comp.ranges().get(i + 1).from()) : r.to());
            }
        });
        return heard;
    }

    private static void add(Map<String, List<Heard>> heard, Song.Part part, Source.Take take, double from, double to) {
        heard.computeIfAbsent(part.name().text() + "\n" + take.named().text(), k -> new ArrayList<>()).add(new Heard(from, to));
    }
}
