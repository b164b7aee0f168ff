package linnet.cli;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import linnet.plan.SongPlanner;
import linnet.render.SongRenderer;
import linnet.revision.Change;
import linnet.song.Song;
import linnet.song.Source;
import linnet.text.Listed;

/** The takes of a song and the lists beside them, as they lie there when they are read: what may be another while no text is. */
final class TakesAsTheyLie {
    /** A take as the text of a part names it. */
    private record Named(String part, String take) {}

    private final double rate;
    private final Map<Named, SongRenderer.Take> takes = new LinkedHashMap<>();

    TakesAsTheyLie(Song song, SongTakes open) {
        rate = open.rate();
        for (Song.Part p : SongPlanner.parts(song)) {
            for (Source.Take t : p.source().takes()) takes.put(new Named(p.name().text(), t.named().text()), open.heard().get(open.paths().indexOf(t.path())));
        }
    }

    /** What is another under the same name in the same part. */
    List<Change> since(TakesAsTheyLie before) {
        Map<Change, Set<String>> parts = new LinkedHashMap<>();
        takes.forEach((named, now) -> {
            SongRenderer.Take was = before.takes.get(named);
            if (was == null) return;
            if (!now.signature().equals(was.signature())) add(parts, "the take " + named.take, "is another", named.part);
            // At another rate a list counts other samples.
            if (rate != before.rate) return;
            if (!Objects.equals(now.told().marks(), was.told().marks())) add(parts, "the marks of " + named.take, "are others", named.part);
            if (!Objects.equals(now.told().notes(), was.told().notes())) add(parts, "the notes of " + named.take, "are others", named.part);
        });
        List<Change> changes = new ArrayList<>();
        parts.forEach((c, of) -> changes.add(new Change("", c.what(), c.how() + " (" + Listed.of(List.copyOf(of)) + ")")));
        return changes;
    }

    private static void add(Map<Change, Set<String>> parts, String what, String how, String part) {
        parts.computeIfAbsent(new Change("", what, how), c -> new LinkedHashSet<>()).add(part);
    }
}
