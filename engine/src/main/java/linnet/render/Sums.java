package linnet.render;

import java.util.HashMap;
import java.util.Map;
import java.util.Set;
import java.util.function.Supplier;

/**
 * What the chains of mixes hear, added up once: a mix that is rendered again and again until it is as loud as is wanted, and then printed, has the same sum
 * each time. One render after another may use it, not two at once.
 */
public final class Sums implements AutoCloseable {
    private final Map<String, Adding> sums = new HashMap<>();

    /** Lets go of all but these, by their signatures. */
    void only(Set<String> wanted) {
        sums.entrySet().removeIf(e -> {
            if (wanted.contains(e.getKey())) return false;
            e.getValue().close();
            return true;
        });
    }

    /** The sum of that signature, which may still be added up; it stays with this. One that failed is begun again. */
    Adding of(String signature, Supplier<Adding> begins) {
        Adding known = sums.get(signature);
        if (known != null && known.failure().isEmpty()) return known;
        if (known != null) known.close();
        Adding begun = begins.get();
        sums.put(signature, begun);
        return begun;
    }

    @Override
    public void close() {
        only(Set.of());
    }
}
