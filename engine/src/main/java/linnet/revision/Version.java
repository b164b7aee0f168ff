package linnet.revision;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import linnet.song.Song;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.Span;
import linnet.yaml.Tree;

/** A song or a chain as it was when it was read. */
public final class Version {
    private final Tree text;
    private final Map<Span, String> replaced;
    private final Optional<Song> song;

    private Version(Tree text, Map<Span, String> replaced, Optional<Song> song) {
        this.text = text;
        this.replaced = replaced;
        this.song = song;
    }

    /**
     * A song and the chains that it names, by what they said when the song was read.
     *
     * @throws ProblemsException if one of the texts cannot be read
     */
    public static Version of(Path file, Song song) throws ProblemsException {
        return new Version(Texts.load(file, song.label().said()), song.label().replaced(), Optional.of(song));
    }

    /**
     * A chain and those that it uses.
     *
     * @param read what was noted when it was read
     */
    public static Version ofChain(Path file, Problems read) throws ProblemsException {
        return new Version(Texts.load(file, read.said()), read.replaced(), Optional.empty());
    }

    /**
     * What is different from an older version: first what is louder or less loud where, then what moves otherwise, then what other takes sing, then who
     * is in another group, then all other entries of the text and of its chains, and last whose layers are dealt anew and which takes stayed behind where the
     * tempo is another.
     */
    public List<Change> since(Version old) {
        if (song.isEmpty() || old.song.isEmpty()) return new Texts(path -> false, name -> "", old.replaced, replaced).between(old.text, text);
        BarLevels now = new BarLevels(song.get()), before = new BarLevels(old.song.get());
        Balanced balanced = new Balanced(old.song.get(), song.get());
        List<Change> changes = new ArrayList<>(now.since(before));
        Set<String> known = now.comparedWith(before), measured = BarLevels.measured(song.get());
        changes.addAll(new Moves(text, song.get().time(), known).since(new Moves(old.text, old.song.get().time(), known)));
        Comps sung = new Comps(song.get()), sungBefore = new Comps(old.song.get());
        changes.addAll(sung.since(sungBefore));
        Layers layers = new Layers(text, song.get()), layersBefore = new Layers(old.text, old.song.get());
        changes.addAll(layers.joined(layersBefore));
        OwnEach each = new OwnEach(song.get()), eachBefore = new OwnEach(old.song.get());
        changes.addAll(each.since(eachBefore));
        changes.addAll(new Texts(path -> isMoved(path) || isLevel(path, known, measured) || sung.isTold(path, sungBefore)
                || layers.isTold(path, layersBefore) || each.isTold(path, eachBefore),
                name -> balanced.along(List.of(name)), old.replaced, replaced).between(old.text, text));
        changes.addAll(layers.dealt(layersBefore));
        new TakesInSeconds(song.get()).since(old.song.get()).ifPresent(changes::add);
        return changes;
    }

    /** Whether an entry is of a move, or all of them. */
    private static boolean isMoved(List<String> path) {
        return !path.isEmpty() && path.get(0).equals(Moves.MOVES);
    }

    /** Whether an entry is nothing but a level that is compared; one that is measured is not compared here. */
    private static boolean isLevel(List<String> path, Set<String> known, Set<String> measured) {
        if (path.isEmpty()) return false;
        List<String> inside = path.get(0).equals("instrumental") ? path : path.subList(1, path.size());
        if (inside.size() == 2 && inside.get(1).equals("level")) return known.contains(inside.get(0)) && !measured.contains(inside.get(0));
        if (inside.size() == 2 && inside.get(1).equals("sends level")) {
            return known.contains(inside.get(0)) && measured.stream().noneMatch(m -> m.startsWith(inside.get(0) + " to "));
        }
        boolean send = inside.size() == 3 && inside.get(1).equals("sends");
        String name = send ? inside.get(0) + " to " + inside.get(2) : "";
        return known.contains(name) && !measured.contains(name);
    }
}
