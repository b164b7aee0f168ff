package linnet.revision;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import linnet.song.Song;
import linnet.text.ProblemsException;

/** Tells two versions of a text apart. */
public final class Revision {
    private Revision() {}

    /**
     * What a newer song has different: first what is louder or less loud where, then all other entries of the text and of its chains.
     *
     * @throws ProblemsException if one of them cannot be read
     */
    public static List<Change> ofSongs(Path old, Song was, Path now, Song is) throws ProblemsException {
        List<Change> changes = new ArrayList<>(new Levels(is).since(new Levels(was)));
        Set<String> known = faders(was);
        known.retainAll(faders(is));
        changes.addAll(new Texts(path -> isLevel(path, known)).between(old, now));
        return changes;
    }

    /** What a newer chain has different. */
    public static List<Change> ofChains(Path old, Path now) throws ProblemsException {
        return new Texts(path -> false).between(old, now);
    }

    /** Names of what has a level: "lead", or "lead to plate" for a send. */
    private static Set<String> faders(Song song) {
        Stream<String> parts = Stream.concat(song.parts().stream(), song.instrumental().stream()).flatMap(p -> faders(p.name().text(), p.sends()));
        Stream<String> groups = song.groups().stream().flatMap(g -> faders(g.name().text(), g.sends()));
        Set<String> all = Stream.of(parts, groups, song.returns().stream().map(r -> r.name().text())).flatMap(s -> s).collect(Collectors.toSet());
        all.removeAll(Levels.measured(song));
        return all;
    }

    private static Stream<String> faders(String name, List<Song.Send> sends) {
        return Stream.concat(Stream.of(name), sends.stream().map(s -> name + " to " + s.to().text()));
    }

    /** Whether an entry is nothing but a level, of something that both songs have. */
    private static boolean isLevel(List<String> path, Set<String> known) {
        if (path.isEmpty()) return false;
        if (path.get(0).equals("moves")) return path.size() == 3 && known.contains(path.get(2).replaceAll("\\s+", " "));
        List<String> inside = path.get(0).equals("instrumental") ? path : path.subList(1, path.size());
        if (inside.size() == 2) return inside.get(1).equals("level") && known.contains(inside.get(0));
        boolean send = inside.size() == 3 && inside.get(1).equals("sends") || inside.size() == 4 && inside.get(1).equals("sends") && inside.get(3).equals("level");
        return send && known.contains(inside.get(0) + " to " + inside.get(2));
    }
}
