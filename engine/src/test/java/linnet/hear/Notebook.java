package linnet.hear;

import java.util.HashMap;
import java.util.Map;
import java.util.Optional;

/** A memory to look into, and to write into. */
public final class Notebook implements Memory {
    public final Map<String, byte[]> facts = new HashMap<>();

    @Override
    public Optional<byte[]> recall(String fact) {
        return Optional.ofNullable(facts.get(fact));
    }

    @Override
    public void keep(String fact, byte[] bytes) {
        facts.put(fact, bytes);
    }
}
