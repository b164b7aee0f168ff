package linnet.song;

import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.Word;

/** Whether everything in a song that is named exists, and no part belongs to two groups. */
final class CrossReferences {
    private final Song song;
    private final Problems problems;
    private final List<String> parts, groups, returns;

    CrossReferences(Song song, Problems problems) {
        this.song = song;
        this.problems = problems;
        parts = song.parts().stream().map(p -> p.name().text()).toList();
        groups = song.groups().stream().map(g -> g.name().text()).toList();
        returns = song.returns().stream().map(r -> r.name().text()).toList();
    }

    void check() {
        Map<String, String> groupOf = new HashMap<>();
        for (Song.Group g : song.groups()) {
            for (Word part : g.parts()) {
                known(part, "part", parts);
                String before = groupOf.putIfAbsent(part.text(), g.name().text());
                if (before != null) problems.report(part.at(), "'" + part.text() + "' is in the group '" + before + "' already; a part has one group");
            }
        }
        for (Song.Part p : song.parts()) if (p.source().unedited() instanceof Source.Print of) known(of.part(), "part", parts);
        new Order(song.parts()).check(problems);
        Stream.of(song.parts().stream().map(Song.Part::sends), song.instrumental().stream().map(Song.Part::sends),
                song.groups().stream().map(Song.Group::sends)).flatMap(s -> s)
                .flatMap(List::stream).forEach(s -> known(s.to(), "return", returns));
        for (Song.Part p : song.parts()) p.tidy().ifPresent(t -> follows(p, t.like()));
        List<String> faders = Stream.of(parts, groups, returns, song.instrumental().isPresent() ? List.of("instrumental") : List.<String>of())
                .flatMap(List::stream).toList();
        for (Song.Move m : song.moves()) {
            if (!(m.of() instanceof Song.Fading.Send s)) continue;
            known(s.to(), "return", returns);
            if (faders.contains(m.what().text()) && returns.contains(s.to().text()) && !sends(m.what().text(), s.to().text())) {
                problems.report(m.what().at(), "'" + m.what().text() + "' sends nothing to '" + s.to().text() + "'");
            }
        }
        for (Song.Throw t : song.thrown()) {
            known(t.part(), "part", parts);
            known(t.to(), "return", returns);
        }
    }

    private void follows(Song.Part part, Word like) {
        known(like, "part", parts);
        if (like.text().equals(part.name().text())) problems.report(like.at(), "'" + like.text() + "' cannot follow itself");
        Optional<Word> further = like.text().equals(part.name().text()) ? Optional.empty() : followed(like.text());
        // What follows itself is told where it does.
        further.filter(w -> !w.text().equals(like.text())).ifPresent(w -> problems.report(like.at(), "'" + like.text() + "' follows '" + w.text() + "' itself: "
                + leader(w.text()).map(l -> "say 'like: " + l + "'").orElse("take 'tidy' out of one of them")));
    }

    /** Whom a part follows. */
    private Optional<Word> followed(String part) {
        return song.parts().stream().filter(p -> p.name().text().equals(part)).findFirst().flatMap(Song.Part::tidy).map(Song.Tidy::like);
    }

    /** Whom a part follows in the end; nobody where they follow each other. */
    private Optional<String> leader(String part) {
        Set<String> seen = new HashSet<>();
        String last = part;
        for (Optional<Word> next = followed(last); next.isPresent(); next = followed(last)) {
            if (!seen.add(last)) return Optional.empty();
            last = next.get().text();
        }
        return Optional.of(last);
    }

    private boolean sends(String from, String to) {
        return Stream.concat(Stream.concat(song.parts().stream(), song.instrumental().stream()).filter(p -> p.name().text().equals(from))
                .flatMap(p -> p.sends().stream()),
                song.groups().stream().filter(g -> g.name().text().equals(from)).flatMap(g -> g.sends().stream())).anyMatch(s -> s.to().text().equals(to));
    }

    private void known(Word word, String kind, List<String> names) {
        if (names.contains(word.text())) return;
        problems.report(word.at(), missing(kind, word.text(), Nearest.hint(word.text(), names), names));
    }

    static String missing(String kind, String name, String hint, List<String> names) {
        return "this song has no " + kind + " '" + name + "'" + hint
                + (names.isEmpty() ? "" : " (it has " + String.join(", ", names.subList(0, Math.min(12, names.size())))
                        + (names.size() > 12 ? ", …" : "") + ")");
    }
}
