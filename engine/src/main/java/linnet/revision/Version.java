package linnet.revision;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import linnet.song.Song;
import linnet.text.ProblemsException;
import linnet.yaml.Tree;

/** A song or a chain as it was when it was read. */
public final class Version {
    private final Tree text;
    private final Optional<Song> song;

    private Version(Tree text, Optional<Song> song) {
        this.text = text;
        this.song = song;
    }

    /**
     * A song and the chains that it names.
     *
     * @throws ProblemsException if one of the texts cannot be read
     */
    public static Version of(Path file, Song song) throws ProblemsException {
        return new Version(Texts.load(file), Optional.of(song));
    }

    /** A chain and those that it uses. */
    public static Version ofChain(Path file) throws ProblemsException {
        return new Version(Texts.load(file), Optional.empty());
    }

    /** What is different from an older version: first what is louder or less loud where, then all other entries of the text and of its chains. */
    public List<Change> since(Version old) {
        if (song.isEmpty() || old.song.isEmpty()) return new Texts(path -> false).between(old.text, text);
        List<Change> changes = new ArrayList<>(new Levels(song.get()).since(new Levels(old.song.get())));
        Set<String> known = faders(old.song.get());
        known.retainAll(faders(song.get()));
        changes.addAll(new Texts(path -> isLevel(path, known)).between(old.text, text));
        return changes;
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
        if (inside.size() == 2) return (inside.get(1).equals("level") || inside.get(1).equals("sends level")) && known.contains(inside.get(0));
        boolean send = inside.size() == 3 && inside.get(1).equals("sends") || inside.size() == 4 && inside.get(1).equals("sends") && inside.get(3).equals("level");
        return send && known.contains(inside.get(0) + " to " + inside.get(2));
    }
}
