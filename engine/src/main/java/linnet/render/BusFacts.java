package linnet.render;

import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import linnet.hear.Memory;

/**
 * What the chains over all that is mixed found by hearing when the prints were last made. Whoever wants to hear a stretch of a changed song before all of it
 * is heard again goes by that; the prints themselves never do.
 */
public final class BusFacts {
    private final Map<String, byte[]> facts = new ConcurrentHashMap<>();

    /** Takes note of what is recalled there, or kept. */
    Memory noting(int bus, Memory there) {
        return new Memory() {
            @Override
            public Optional<byte[]> recall(String fact) {
                Optional<byte[]> recalled = there.recall(fact);
                recalled.ifPresent(bytes -> facts.put(bus + " " + fact, bytes));
                return recalled;
            }

            @Override
            public void keep(String fact, byte[] bytes) {
                facts.put(bus + " " + fact, bytes);
                there.keep(fact, bytes);
            }
        };
    }

    /** Recalls what was noted, and takes no note. */
    Memory noted(int bus) {
        return new Memory() {
            @Override
            public Optional<byte[]> recall(String fact) {
                return Optional.ofNullable(facts.get(bus + " " + fact));
            }

            @Override
            public void keep(String fact, byte[] bytes) {}
        };
    }
}
