package linnet.song;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.IntStream;
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
        Set<String> all = new LinkedHashSet<>();
        for (String name : parts.keySet()) add(name, new HashSet<>(), all);
        return all.stream().map(parts::get).toList();
    }

    private void add(String name, Set<String> under, Set<String> all) {
        if (all.contains(name) || !under.add(name)) return;
        for (Word w : needs(parts.get(name))) if (parts.containsKey(w.text())) add(w.text(), under, all);
        all.add(name);
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
        Set<String> said = new HashSet<>();
        for (Song.Part p : parts.values()) {
            List<String> way = new ArrayList<>(List.of(p.name().text()));
            if (said.contains(p.name().text()) || !comesRound(way, new HashSet<>())) continue;
            said.addAll(way);
            String next = way.size() > 1 ? way.get(1) : p.name().text();
            Word at = needs(p).stream().filter(w -> w.text().equals(next)).findFirst().orElseThrow();
            // Who follows himself, or one that follows him, is told where he does.
            if (IntStream.range(0, way.size()).allMatch(i -> follows(way.get(i), way.get((i + 1) % way.size())))) continue;
            problems.report(at.at(), "'" + p.name().text() + "' is made of itself: " + String.join(" → ", way) + " → " + p.name().text());
        }
    }

    private boolean follows(String part, String other) {
        Word first = needs(parts.get(part)).stream().filter(w -> w.text().equals(other)).findFirst().orElseThrow();
        return parts.get(part).tidy().filter(t -> t.like().equals(first)).isPresent();
    }

    /** Goes on from the last part of a way until it is back at the first. */
    private boolean comesRound(List<String> way, Set<String> seen) {
        String last = way.get(way.size() - 1);
        for (Word w : needs(parts.get(last))) {
            String next = w.text();
            if (next.equals(way.get(0))) return true;
            if (!parts.containsKey(next) || !seen.add(next)) continue;
            way.add(next);
            if (comesRound(way, seen)) return true;
            way.remove(way.size() - 1);
        }
        return false;
    }
}
