package linnet.chain;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import linnet.setting.Choice;
import linnet.setting.Group;
import linnet.setting.Live;
import linnet.setting.Quantity;
import linnet.setting.Series;
import linnet.setting.Setting;
import linnet.setting.Settings;
import linnet.setting.Text;
import linnet.setting.Unit;
import linnet.setting.Value;
import linnet.setting.Values;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.Span;
import linnet.yaml.Tree.Entry;
import linnet.yaml.Tree.Leaf;
import linnet.yaml.Tree.Rows;
import linnet.yaml.Tree.Table;
import linnet.yaml.Tree;

/** Reads the settings of a step, or of an entry of a list, as their declaration says. */
public final class SettingsReader {
    private final Problems problems;

    public SettingsReader(Problems problems) {
        this.problems = problems;
    }

    /** Reads named settings; {@code owner} is what has them, for messages. */
    Values table(String owner, Settings settings, Tree tree) {
        Values values = new Values(settings);
        boolean empty = tree instanceof Leaf leaf && leaf.word().text().isEmpty();
        if (!(tree instanceof Table table)) {
            if (!empty) {
                String wants = settings.all().isEmpty() ? " has no settings: leave out what stands behind it"
                        : " wants its settings in braces, such as { " + example(settings) + " }";
                problems.report(tree.at(), noSpace(settings, tree).orElse(owner + wants));
            }
            return values;
        }
        values.place(tree.at());
        List<String> names = settings.all().stream().map(Setting::name).toList();
        for (Entry e : table.entries().values()) {
            Optional<Setting> setting = settings.named(e.key().text());
            if (setting.isPresent()) {
                read(setting.get(), e.value(), values);
                continue;
            }
            problems.report(e.key().at(), owner + " has no setting '" + cut(e.key().text()) + "'" + Nearest.hint(e.key().text(), names));
            // What was probably meant is said, and not missing.
            settings.all().stream().filter(s -> !table.entries().containsKey(s.name()) && Nearest.isHinted(s.name(), List.of(e.key().text()), names))
                    .forEach(values::meant);
        }
        for (Settings.OneOf rule : settings.rules()) check(owner, rule, values, table);
        return values;
    }

    /** A setting with its value against the colon is one word to YAML. */
    private static Optional<String> noSpace(Settings settings, Tree tree) {
        if (!(tree instanceof Leaf leaf)) return Optional.empty();
        String text = leaf.word().text();
        return settings.all().stream().map(Setting::name).filter(n -> text.startsWith(n + ":")).findFirst()
                .map(n -> "a space is missing after the colon: " + n + ": " + cut(text.substring(n.length() + 1).strip()));
    }

    private static String cut(String word) {
        return word.length() > 40 ? word.substring(0, 40) + "…" : word;
    }

    private static String example(Settings settings) {
        Setting first = settings.all().get(0);
        return first.name() + ": " + (first instanceof Quantity q ? q.unit().example() : first instanceof Choice<?> c ? c.words().get(0)
                : first instanceof Text<?> t ? t.form().examples().get(0) : first instanceof Series s ? "[ " + s.element().unit().example() + " ]" : "…");
    }

    private void check(String owner, Settings.OneOf rule, Values values, Table table) {
        List<Setting> given = rule.settings().stream().filter(s -> table.entries().containsKey(s.name())).toList();
        List<String> names = rule.settings().stream().map(Setting::name).toList(), known = values.settings().all().stream().map(Setting::name).toList();
        if (given.size() > 1) {
            Span second = table.entries().get(given.get(1).name()).key().at();
            problems.report(second, owner + " has either " + given.get(0).name() + " or " + given.get(1).name() + ", not both");
        } else if (given.isEmpty() && rule.needed() && names.stream().noneMatch(n -> Nearest.isHinted(n, table.entries().keySet(), known))) {
            problems.report(table.at(), owner + " needs one of " + String.join(", ", names));
        }
    }

    void read(Setting setting, Tree tree, Values values) {
        values.place(setting, tree.at());
        if (setting instanceof Quantity q) {
            quantity(q, tree).ifPresent(v -> values.put(q, v));
        } else if (setting instanceof Choice<?> c) {
            if (tree instanceof Leaf leaf) c.read(leaf.word(), problems).ifPresent(v -> values.put(c, v));
            else problems.report(tree.at(), c.name() + " is one of " + String.join(", ", c.words()));
        } else if (setting instanceof Text<?> t) {
            text(t, tree, values);
        } else if (setting instanceof Series s) {
            series(s, tree, values);
        } else if (setting instanceof Group g) {
            group(g, tree, values);
        }
    }

    /** A number, or for a live setting a table of times and numbers. */
    public Optional<Value> quantity(Quantity setting, Tree tree) {
        if (tree instanceof Leaf leaf) return setting.read(leaf.word(), problems);
        if (!(tree instanceof Table table)) {
            problems.report(tree.at(), setting.name() + " wants one value");
            return Optional.empty();
        }
        if (!(setting instanceof Live)) {
            problems.report(tree.at(), setting.name() + " cannot move: it wants one value");
            return Optional.empty();
        }
        return curve(setting, table);
    }

    private Optional<Value> curve(Quantity setting, Table table) {
        List<Value.Point> points = new ArrayList<>();
        double last = -1;
        for (Map.Entry<String, Entry> e : table.entries().entrySet()) {
            Span at = e.getValue().key().at();
            var seconds = Unit.SECONDS.parse(e.getKey());
            if (seconds.isEmpty() || seconds.getAsDouble() < 0) {
                problems.report(at, setting.name() + " moves by times such as { 0 s: " + setting.unit().example() + ", 12.5 s: … }, not \""
                        + cut(e.getKey()) + "\"");
                return Optional.empty();
            }
            if (seconds.getAsDouble() <= last) problems.report(at, "the times of " + setting.name() + " must go up");
            last = seconds.getAsDouble();
            if (!(e.getValue().value() instanceof Leaf leaf)) {
                problems.report(e.getValue().value().at(), setting.name() + " wants one value at each time");
                return Optional.empty();
            }
            Optional<Value> value = setting.read(leaf.word(), problems);
            if (value.isEmpty()) return Optional.empty();
            if (value.get() instanceof Value.Named n) {
                problems.report(leaf.at(), setting.name() + " cannot move to \"" + n.word() + "\"");
                return Optional.empty();
            }
            points.add(new Value.Point(last, value.get()));
        }
        if (points.isEmpty()) {
            problems.report(table.at(), setting.name() + " wants a value");
            return Optional.empty();
        }
        return Optional.of(new Value.Curve(points));
    }

    private <T> void text(Text<T> text, Tree tree, Values values) {
        List<Tree> rows = tree instanceof Rows r && text.most() > 1 ? r.rows() : List.of(tree);
        if (rows.isEmpty() || rows.size() > text.most()) {
            problems.report(tree.at(), text.name() + " has 1 to " + text.most() + " values, not " + rows.size());
            return;
        }
        List<T> read = new ArrayList<>();
        for (Tree row : rows) {
            if (row instanceof Leaf leaf) text.read(leaf.word(), problems).ifPresent(read::add);
            else problems.report(row.at(), text.name() + " wants " + (text.most() == 1 ? "" : "a list of ") + text.form().noun() + " such as \"" + text.form()
                    .examples().get(0) + "\"");
        }
        if (read.size() == rows.size()) values.put(text, read);
    }

    private void series(Series series, Tree tree, Values values) {
        List<Tree> rows = tree instanceof Rows r ? r.rows() : List.of(tree);
        if (rows.size() < series.fewest() || rows.size() > series.most()) {
            problems.report(tree.at(), series.name() + " has " + series.fewest() + " to " + series.most() + " values, not " + rows.size());
            return;
        }
        List<Value> read = new ArrayList<>();
        for (Tree row : rows) {
            if (row instanceof Leaf leaf) series.element().read(leaf.word(), problems).ifPresent(read::add);
            else problems.report(row.at(), series.name() + " is a list of values such as [ " + series.element().unit().example() + " ]");
        }
        if (read.size() == rows.size()) values.put(series, read);
    }

    /** A list of entries that all have the same settings. */
    void group(Group group, Tree tree, Values values) {
        if (!(tree instanceof Rows rows)) {
            problems.report(tree.at(), group.name() + " are a list: one '- ' before each, or [ {…}, {…} ]");
            return;
        }
        if (rows.rows().size() > group.most()) {
            problems.report(tree.at(), group.name() + " has at most " + group.most() + " entries, not " + rows.rows().size());
            return;
        }
        List<Values> entries = new ArrayList<>();
        String owner = "an entry of " + group.name();
        for (Tree row : rows.rows()) entries.add(table(owner, group.entry(), row));
        values.put(group, entries);
        values.place(group, tree.at());
    }
}
