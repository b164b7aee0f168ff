package linnet.store;

import java.io.IOException;
import java.util.Map;
import java.util.Optional;
import linnet.hear.Memory;
import linnet.render.Shelf;

/**
 * What one who hears a sound remembers of it. The file is read when something is first asked for, and written anew when something came to it.
 */
final class StoredFacts implements Shelf.Recollection, Memory {
    private final FactsFile file;
    private Map<String, byte[]> facts;
    private boolean grown;

    StoredFacts(FactsFile file) {
        this.file = file;
    }

    @Override
    public Memory memory() {
        return this;
    }

    @Override
    public synchronized Optional<byte[]> recall(String fact) {
        if (facts == null) facts = file.read();
        file.ask(fact);
        return Optional.ofNullable(facts.get(fact));
    }

    @Override
    public synchronized void keep(String fact, byte[] bytes) {
        if (facts == null) facts = file.read();
        file.ask(fact);
        facts.put(fact, bytes);
        grown = true;
    }

    @Override
    public synchronized void close() throws IOException {
        if (grown) file.write(facts);
    }
}
