package linnet.chain;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;

/**
 * A chain as the text gives it, everything checked that can be checked without a take.
 *
 * @param title what it is called
 * @param about when to use it
 * @param links its steps in order; those that are off are left out
 * @param off names of those that are off
 */
public record Chain(String title, String about, List<Link> links, Set<String> off) {
    /** Of steps that are all on. */
    public Chain(String title, String about, List<Link> links) {
        this(title, about, links, Set.of());
    }

    /** The step that is meant by a text that begins with its name, where that step is off. */
    public Optional<String> off(String text) {
        return off.stream().filter(s -> text.equals(s) || text.startsWith(s + " ")).max(Comparator.comparingInt(String::length));
    }

    /** The same chain with other steps. */
    public Chain with(List<Link> others) {
        return new Chain(title, about, others, off);
    }
}
