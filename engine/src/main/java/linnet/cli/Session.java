package linnet.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import linnet.dsp.Sound;
import linnet.render.BusFacts;
import linnet.render.Shelf;
import linnet.store.FileDigests;
import linnet.store.Store;

/** What one run of the program knows already when a song is rendered again: takes that did not change, and sounds of the store that were checked. */
final class Session {
    private final FileDigests digests = new FileDigests();
    private final Map<String, Sound> open = new ConcurrentHashMap<>();
    private final Set<String> used = ConcurrentHashMap.newKeySet();
    /** What the mix was found to be by hearing. */
    private final BusFacts heard = new BusFacts();
    private OptionalDouble turned = OptionalDouble.empty();
    private String engine;

    /** The digest of a file, taken anew only where the file is another than before. */
    String digest(Path file, Shelf kept) throws IOException {
        return digests.of(file, kept);
    }

    /** What renders. */
    String engine(Shelf kept) throws IOException {
        if (engine == null) engine = Engine.name(code -> digest(code, kept));
        return engine;
    }

    BusFacts heard() {
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
                if (known != null && store.isOpen(known)) return Optional.of(known);
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
