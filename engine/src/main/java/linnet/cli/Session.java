package linnet.cli;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import linnet.dsp.Sound;
import linnet.render.Heard;
import linnet.render.Shelf;
import linnet.render.Signature;
import linnet.store.Store;

/** What one run of the program knows already when a song is rendered again: takes that did not change, and sounds of the store that were checked. */
final class Session {
    /** A file as it was when its digest was taken. */
    private record Stamp(Object key, long bytes, Object changed) {
        static Stamp of(Path file) throws IOException {
            BasicFileAttributes now = Files.readAttributes(file, BasicFileAttributes.class);
            return new Stamp(now.fileKey(), now.size(), now.lastModifiedTime());
        }
    }

    private record Digest(Stamp of, String digits) {}

    private final Map<Path, Digest> digests = new HashMap<>();
    private final Map<String, Sound> open = new ConcurrentHashMap<>();
    private final Set<String> used = ConcurrentHashMap.newKeySet();
    /** What the mix was found to be by hearing. */
    private final Heard heard = new Heard();
    private OptionalDouble turned = OptionalDouble.empty();
    private String engine;

    /** The digest of a file, taken anew only where the file is another than before. */
    String digest(Path file) throws IOException {
        Stamp now = Stamp.of(file);
        Digest before = digests.get(file);
        if (before != null && before.of.equals(now)) return before.digits;
        try (InputStream bytes = Files.newInputStream(file)) {
            String digits = Signature.digest(bytes);
            digests.put(file, new Digest(now, digits));
            return digits;
        }
    }

    /** What renders. */
    String engine() throws IOException {
        if (engine == null) engine = SongJob.engine();
        return engine;
    }

    Heard heard() {
        return heard;
    }

    /** By how many dB the last mix was turned up to be as loud as is wanted. */
    OptionalDouble turned() {
        return turned;
    }

    void turned(OptionalDouble db) {
        turned = db;
    }

    /** A store, of which what was found once need not be checked again. */
    Shelf shelf(Store store) {
        used.clear();
        return new Shelf() {
            @Override
            public Optional<Sound> find(String signature) {
                used.add(signature);
                Sound known = open.get(signature);
                if (known != null) return Optional.of(known);
                Optional<Sound> found = store.find(signature);
                found.ifPresent(s -> open.put(signature, s));
                return found;
            }

            @Override
            public Recollection recollection(String signature) {
                return store.recollection(signature);
            }

            @Override
            public Place place(String signature, double rate, int channels) throws IOException {
                return store.place(signature, rate, channels);
            }
        };
    }

    /** Lets go of what the last render did not ask for. */
    void tidy() {
        open.keySet().retainAll(new HashSet<>(used));
    }
}
