package linnet.song;

import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import linnet.chain.Chain;
import linnet.setting.YesNo;
import linnet.text.ProblemsException;
import linnet.text.Word;
import linnet.yaml.Tree;

/** Reads steps that a part has in place of those that its group has for each of its parts, or {@code each: no} for none. */
final class EachReader {
    static final String EACH = "each";
    private static final String NO = "no";
    static final Form FORM = Form.either(new Form.Steps(), Form.oneOf(NO));

    private final Reading text;
    /** The keys of parts that say so, by the names of those. */
    private final Map<String, Tree.Entry> said = new HashMap<>();
    /** Groups with steps for each of their parts. */
    private final Set<String> groups = new HashSet<>();

    EachReader(Reading text) {
        this.text = text;
    }

    /** What a part says; empty where that of its group holds. */
    Optional<Chain> part(Word name, Fields f) throws ProblemsException {
        if (f.get(EACH).isEmpty()) return Optional.empty();
        Tree.Entry each = f.table().entries().get(EACH);
        said.put(name.text(), each);
        return Optional.of(isNo(each) ? Reading.NONE : text.chain(f, EACH));
    }

    Chain group(Word name, Fields f) throws ProblemsException {
        if (!f.lacks(EACH)) groups.add(name.text());
        return text.chain(f, EACH);
    }

    private static boolean isNo(Tree.Entry each) {
        return each.value() instanceof Tree.Leaf leaf && YesNo.read(leaf.word().text()).equals(Optional.of(false));
    }

    /** Whether there is something that each of those parts goes without. */
    void check(List<Song.Part> parts, List<Song.Group> all) {
        Set<String> names = new HashSet<>(parts.stream().map(p -> p.name().text()).toList());
        // A part that a group names with a slip is told there.
        boolean slip = all.stream().flatMap(g -> g.parts().stream()).anyMatch(w -> !names.contains(w.text()));
        said.forEach((part, each) -> {
            List<String> of = all.stream().filter(g -> g.parts().stream().anyMatch(w -> w.text().equals(part))).map(g -> g.name().text()).toList();
            if (of.isEmpty() ? slip : of.stream().anyMatch(groups::contains)) return;
            String without = isNo(each) ? "that it could go without; take this out" : "that this could take the place of; its own steps go into its 'chain'";
            text.problems().report(each.key().at(), of.isEmpty() ? "'" + part + "' is in no group: there is no 'each' " + without
                    : "the group '" + of.get(0) + "' of '" + part + "' has no 'each' " + without);
        });
    }
}
