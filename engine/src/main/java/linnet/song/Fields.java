package linnet.song;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import linnet.chain.SettingsReader;
import linnet.setting.Quantity;
import linnet.setting.Value;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.Word;
import linnet.yaml.Tree;

/** The entries of a mapping in a song file, by the names it may have. */
final class Fields {
    private final Shape shape;
    private final Tree.Table table;
    private final Problems problems;
    private final SettingsReader settings;

    /** @param shape what there is; other names become problems */
    Fields(Shape shape, Tree tree, Problems problems) {
        this.shape = shape;
        this.problems = problems;
        settings = new SettingsReader(problems);
        String owner = shape.owner();
        List<String> names = shape.names();
        if (tree instanceof Tree.Table t) {
            table = t;
            for (Tree.Entry e : t.entries().values()) {
                String key = e.key().text();
                if (!names.contains(key)) {
                    problems.report(e.key().at(), owner + " has no '" + key + "'" + Nearest.hint(key, names) + " (it has " + String.join(", ", names) + ")");
                }
            }
        } else {
            table = new Tree.Table(tree.at(), java.util.Map.of());
            problems.report(tree.at(), owner + " wants its settings in braces, such as { " + names.get(0) + ": … }");
        }
    }

    Tree.Table table() {
        return table;
    }

    Optional<Tree> get(String name) {
        if (!shape.names().contains(name)) throw new IllegalStateException("no key '" + name + "' is declared of " + shape);
        return Optional.ofNullable(table.entries().get(name)).map(Tree.Entry::value);
    }

    /** Whether a key must be told to be missing: it is, and no other was probably meant to be it. */
    boolean lacks(String name) {
        return get(name).isEmpty() && !isMeant(name);
    }

    /** Whether a key that there is not was probably meant to be this one, as was told with it. */
    boolean isMeant(String name) {
        return Nearest.isHinted(name, table.entries().keySet(), shape.names());
    }

    /** A number in the setting's own unit, given or usual. */
    double number(Quantity setting) {
        return get(setting.name()).flatMap(t -> settings.quantity(setting, t)).filter(Value.Amount.class::isInstance)
                .or(setting::usual).map(v -> ((Value.Amount) v).value()).orElse(0.0);
    }

    /** Whether each of these is given as a single word. */
    boolean has(String... names) {
        return Arrays.stream(names).allMatch(n -> get(n).filter(t -> t instanceof Tree.Leaf leaf && !leaf.word().text().isBlank()).isPresent());
    }

    /** A single word or line of text. */
    Optional<Word> word(String name) {
        Optional<Tree> tree = get(name);
        if (tree.isEmpty()) return Optional.empty();
        if (tree.get() instanceof Tree.Leaf leaf && !leaf.word().text().isBlank()) return Optional.of(leaf.word());
        problems.report(tree.get().at(), "'" + name + "' is a line of text");
        return Optional.empty();
    }

    /** Words in a list, or one alone. */
    List<Word> words(String name) {
        Optional<Tree> tree = get(name);
        if (tree.isEmpty()) return List.of();
        List<Tree> rows = tree.get() instanceof Tree.Rows r ? r.rows() : List.of(tree.get());
        for (Tree row : rows) if (!(row instanceof Tree.Leaf)) problems.report(row.at(), "'" + name + "' is a list of names");
        return rows.stream().filter(Tree.Leaf.class::isInstance).map(r -> ((Tree.Leaf) r).word()).toList();
    }
}
