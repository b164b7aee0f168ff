package linnet.song;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
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

    /** Each after what it is made of or follows; else as they stand in the text. */
    public List<Song.Part> all() {
        Set<Song.Part> all = new LinkedHashSet<>();
        for (Song.Part p : parts.values()) add(p, new HashSet<>(), all);
        return List.copyOf(all);
    }

    private void add(Song.Part part, Set<Song.Part> under, Set<Song.Part> all) {
        if (all.contains(part) || !under.add(part)) return;
        for (Word w : needs(part)) if (parts.containsKey(w.text())) add(parts.get(w.text()), under, all);
        all.add(part);
    }

    /** The part whose print it is, and the one that it follows. */
    private static List<Word> needs(Song.Part part) {
        List<Word> needs = new ArrayList<>();
        if (part.source().unedited() instanceof Source.Print print) needs.add(print.part());
        part.tidy().ifPresent(t -> needs.add(t.like()));
        return needs;
    }

    /** Parts that are made of themselves. */
    void check(Problems problems) {
        Set<Song.Part> said = new HashSet<>();
        for (Song.Part p : parts.values()) {
            List<Song.Part> way = new ArrayList<>(List.of(p));
            if (said.contains(p) || !comesRound(way, new HashSet<>())) continue;
            said.addAll(way);
            String next = way.size() > 1 ? way.get(1).name().text() : p.name().text();
            Word at = needs(p).stream().filter(w -> w.text().equals(next)).findFirst().orElseThrow();
            // What follows itself is told where that is read.
            if (way.size() == 1 && p.tidy().isPresent() && at.equals(p.tidy().get().like())) continue;
            problems.report(at.at(), "'" + p.name().text() + "' is made of itself: " + way.stream().map(w -> w.name().text()).collect(Collectors.joining(" → ")) + " → " + p.name().text());
        }
    }

    /** Goes on from the last part of a way until it is back at the first. */
    private boolean comesRound(List<Song.Part> way, Set<Song.Part> seen) {
        Song.Part last = way.get(way.size() - 1);
        for (Word w : needs(last)) {
            Song.Part next = parts.get(w.text());
            if (next == way.get(0)) return true;
            if (next == null || !seen.add(next)) continue;
            way.add(next);
            if (comesRound(way, seen)) return true;
            way.remove(way.size() - 1);
        }
        return false;
    }
}
