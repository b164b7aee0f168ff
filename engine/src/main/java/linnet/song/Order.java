package linnet.song;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import linnet.text.Problems;
import linnet.text.Word;

/** In which order parts can be made where some are made of others. */
public final class Order {
    private final Map<String, Song.Part> parts = new LinkedHashMap<>();

    public Order(List<Song.Part> parts) {
        parts.forEach(p -> this.parts.put(p.name().text(), p));
    }

    /** Each after what it is made of; else as they stand in the text. */
    public List<Song.Part> all() {
        Set<Song.Part> all = new java.util.LinkedHashSet<>();
        for (Song.Part p : parts.values()) {
            List<Song.Part> way = way(p);
            for (int i = way.size() - 1; i >= 0; i--) all.add(way.get(i));
        }
        return List.copyOf(all);
    }

    /** A part, what that is made of, and so on, until there is a take or it comes round. */
    private List<Song.Part> way(Song.Part part) {
        List<Song.Part> way = new ArrayList<>();
        for (Song.Part p = part; p != null && !way.contains(p); p = parts.getOrDefault(of(p), null)) way.add(p);
        return way;
    }

    private static String of(Song.Part part) {
        return part.source().unedited() instanceof Source.Print print ? print.part().text() : "";
    }

    /** Parts that are made of themselves. */
    void check(Problems problems) {
        Set<Song.Part> said = new HashSet<>();
        for (Song.Part p : parts.values()) {
            if (!(p.source().unedited() instanceof Source.Print print) || said.contains(p)) continue;
            List<Song.Part> way = way(p);
            if (!of(way.get(way.size() - 1)).equals(p.name().text())) continue;
            said.addAll(way);
            Word at = print.part();
            problems.report(at.at(), "'" + p.name().text() + "' is made of itself: " + way.stream().map(w -> w.name().text()).collect(Collectors.joining(" → ")) + " → " + p.name().text());
        }
    }
}
