package linnet.step;

import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;

/** The steps there are, by word. */
public final class Catalogue {
    private final Map<String, Step> byWord = new TreeMap<>();

    public Catalogue(List<Step> steps) {
        for (Step s : steps) if (byWord.put(s.word(), s) != null) throw new IllegalStateException("two steps are called " + s.word());
    }

    public Optional<Step> find(String word) {
        return Optional.ofNullable(byWord.get(word));
    }

    /** In order of word. */
    public Collection<Step> steps() {
        return byWord.values();
    }
}
