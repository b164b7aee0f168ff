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

/** The files that prints are made from, as these are to name them: as they were when they were read, whatever was saved since. */
final class Provenance {
    private final Path folder;
    private final Map<Path, String> texts;

    /**
     * @param folder of the prints
     * @param texts that they were read from, with the digests of their bytes
     */
    Provenance(Path folder, Map<Path, String> texts) {
        this.folder = folder.toAbsolutePath().normalize();
        this.texts = texts;
    }

    static String digest(Path file) throws IOException {
        try (InputStream bytes = Files.newInputStream(file)) {
            return Signature.digest(bytes);
        }
    }

    /** What a print of a song is made from in which these of its takes are heard. */
    List<Origin.Source> of(SongTakes takes, SortedSet<Integer> heard) {
        List<Origin.Source> sources = texts();
        for (int t : heard) add(takes.paths().get(t), takes.heard().get(t).signature(), takes.lists(t), sources);
        return sources;
    }

    /** What a print of one take is made from. */
    List<Origin.Source> of(Path take, String digest, Map<Path, String> lists) {
        List<Origin.Source> sources = texts();
        add(take, digest, lists, sources);
        return sources;
    }

    private List<Origin.Source> texts() {
        List<Origin.Source> sources = new ArrayList<>();
        texts.forEach((text, digest) -> sources.add(new Origin.Source(Origin.Kind.TEXT, digest, way(text))));
        return sources;
    }

    private void add(Path take, String digest, Map<Path, String> lists, List<Origin.Source> to) {
        to.add(new Origin.Source(Origin.Kind.TAKE, digest, way(take)));
        lists.forEach((list, of) -> to.add(new Origin.Source(Origin.Kind.LIST, of, way(list))));
    }

    /** From the folder of the prints; absolute where there is no such way. */
    private String way(Path file) {
        Path to = file.toAbsolutePath().normalize();
        return (to.getRoot().equals(folder.getRoot()) ? folder.relativize(to) : to).toString().replace(folder.getFileSystem().getSeparator(), "/");
    }
}
