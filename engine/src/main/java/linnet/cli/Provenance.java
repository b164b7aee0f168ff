package linnet.cli;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.SortedSet;
import linnet.audio.Origin;
import linnet.render.Signature;
import linnet.song.Song;

/** The files that the prints of a song are made from, as their prints are to name them: as they were when they were read, whatever was saved since. */
final class Provenance {
    private final Path folder;
    private final Map<Path, String> texts;
    private final SongTakes takes;

    /** @param folder of the prints */
    Provenance(Path folder, Song song, SongTakes takes) {
        this.folder = folder.toAbsolutePath().normalize();
        this.texts = song.label().texts();
        this.takes = takes;
    }

    static String digest(Path file) throws IOException {
        try (InputStream bytes = Files.newInputStream(file)) {
            return Signature.digest(bytes);
        }
    }

    /** What a print of these takes is made from. */
    List<Origin.Source> of(SortedSet<Integer> heard) {
        List<Origin.Source> sources = new ArrayList<>();
        texts.forEach((text, digest) -> sources.add(new Origin.Source(Origin.Kind.TEXT, digest, way(text))));
        for (int t : heard) {
            sources.add(new Origin.Source(Origin.Kind.TAKE, takes.heard().get(t).signature(), way(takes.paths().get(t))));
            takes.lists(t).forEach((list, digest) -> sources.add(new Origin.Source(Origin.Kind.LIST, digest, way(list))));
        }
        return sources;
    }

    /** From the folder of the prints; absolute where there is no such way. */
    private String way(Path file) {
        Path to = file.toAbsolutePath().normalize();
        return (to.getRoot().equals(folder.getRoot()) ? folder.relativize(to) : to).toString().replace(folder.getFileSystem().getSeparator(), "/");
    }
}
