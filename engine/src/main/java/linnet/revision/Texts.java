package linnet.revision;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import linnet.setting.YesNo;
import linnet.step.Routing;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.SourceText;
import linnet.text.Span;
import linnet.text.Word;
import linnet.yaml.Siblings;
import linnet.yaml.Tree;
import linnet.yaml.Yaml;

/** Compares two texts entry by entry, with the chain files that they name. */
final class Texts {
    private static final String USE = "use", FILE = "file", STEPS = "steps", PRINT = "print", PRINTS = "prints", WITH = "with", ON = "on";
    private static final String EACH = "each";
    /** In place of the path of a chain: a part goes without what its group does to each. */
    private static final String NONE = "no";
    /** Keys whose word is the path of a chain. */
    private static final Set<String> CHAINS = Set.of("chain", EACH, USE);
    /** Keys that say where something stands in the text, and not what it is. */
    private static final Set<String> PLACES = Set.of("parts", "groups", "returns", "chain", STEPS, USE);
    /** Keys whose word is a name, be it one in digits. */
    private static final Set<String> NAMES = Set.of("song", "take", "name", FILE, PRINT);
    private static final Map<String, String> ONE = Map.of("throws", "throw", PRINTS, PRINT);
    private static final String SENDS = "sends", BALANCE = "balance";

    /** What another comparison tells already, by its path in the text. */
    interface ToldElsewhere {
        boolean told(List<String> path);
    }

    /** What is to be said behind a level that is stated against another, by its name. */
    interface Along {
        String along(String name);
    }

    private final ToldElsewhere told;
    private final Along along;
    private final Map<Span, String> before, after;
    private final List<Change> changes = new ArrayList<>();

    /**
     * @param before what values in the older text took the place of, by where they stand
     * @param after the same of the newer
     */
    Texts(ToldElsewhere told, Along along, Map<Span, String> before, Map<Span, String> after) {
        this.told = told;
        this.along = along;
        this.before = before;
        this.after = after;
    }

    /** The differences between two texts. */
    List<Change> between(Tree old, Tree now) {
        compare(List.of(), old, now);
        return changes;
    }

    /**
     * A text with the chains that it names.
     *
     * @param said what files said that were read already; others are read
     */
    static Tree load(Path file, Map<Path, SourceText> said) throws ProblemsException {
        Problems problems = new Problems();
        SourceText source = said.get(file.toAbsolutePath().normalize());
        Optional<Tree> tree = source == null ? Yaml.read("text", file, file.toString(), problems) : Yaml.read(source, problems);
        problems.check();
        Tree whole = whole(tree.orElseThrow(), file, said);
        if (!(whole instanceof Tree.Table top && top.entries().containsKey(PRINTS))) return whole;
        Map<String, Tree.Entry> entries = new LinkedHashMap<>(top.entries());
        entries.computeIfPresent(PRINTS, (key, e) -> new Tree.Entry(e.key(), prints(e.value())));
        return new Tree.Table(top.at(), entries);
    }

    /** Prints by what they are called: which stands first changes no sound. */
    private static Tree.Table prints(Tree prints) {
        Map<String, Tree.Entry> called = new LinkedHashMap<>();
        for (Tree row : prints instanceof Tree.Rows rows ? rows.rows() : List.of(prints)) {
            Map<String, Tree.Entry> print = row instanceof Tree.Table t ? new LinkedHashMap<>(t.entries())
                    : new LinkedHashMap<>(Map.of(PRINT, new Tree.Entry(new Word(PRINT, row.at()), row)));
            Tree.Entry name = Optional.ofNullable(print.remove("name")).orElse(print.get(PRINT));
            // Of two of one name the first is printed.
            called.putIfAbsent(text(name.value()) + stretch(name, print), new Tree.Entry(name.key(), new Tree.Table(row.at(), print)));
        }
        return new Tree.Table(prints.at(), called);
    }

    /** A stretch without a name of its own goes by where it lies. */
    private static String stretch(Tree.Entry name, Map<String, Tree.Entry> print) {
        if (name != print.get(PRINT)) return "";
        return Stream.of("from", "to").filter(print::containsKey).map(k -> " " + k + " " + text(print.get(k).value())).collect(Collectors.joining());
    }

    /** The same tree with the chains in it that it names. */
    private static Tree whole(Tree tree, Path file, Map<Path, SourceText> said) throws ProblemsException {
        if (tree instanceof Tree.Rows rows) {
            List<Tree> all = new ArrayList<>();
            for (Tree row : rows.rows()) all.add(whole(row, file, said));
            return new Tree.Rows(rows.at(), all);
        }
        if (!(tree instanceof Tree.Table table)) return tree;
        Map<String, Tree.Entry> entries = new LinkedHashMap<>();
        boolean isChain = table.entries().containsKey(STEPS);
        for (Tree.Entry e : table.entries().values()) {
            boolean named = !isChain && CHAINS.contains(e.key().text()) && e.value() instanceof Tree.Leaf leaf && !leaf.word().text().isBlank()
                    && !(e.key().text().equals(EACH) && leaf.word().text().equals(NONE));
            entries.put(e.key().text(),
                    new Tree.Entry(e.key(), named ? chain(((Tree.Leaf) e.value()).word(), file, said) : only(e.key().text(), whole(e.value(), file, said))));
        }
        return new Tree.Table(table.at(), entries);
    }

    /** A list that does nothing but use a chain is that chain. */
    private static Tree only(String key, Tree value) {
        boolean only = CHAINS.contains(key) && value instanceof Tree.Rows rows && rows.rows().size() == 1 && rows.rows().get(0) instanceof Tree.Table row
                && row.entries().size() == 1 && !used(row).isEmpty();
        return only ? ((Tree.Table) ((Tree.Rows) value).rows().get(0)).entries().get(USE).value() : value;
    }

    private static Tree chain(Word path, Path file, Map<Path, SourceText> said) throws ProblemsException {
        Tree chain = load(Siblings.named(file.toAbsolutePath().resolveSibling(path.text()).normalize()), said);
        Map<String, Tree.Entry> entries = new LinkedHashMap<>();
        entries.put(FILE, new Tree.Entry(new Word(FILE, path.at()), new Tree.Leaf(path)));
        if (chain instanceof Tree.Table t) {
            for (String key : List.of("tempo", STEPS)) if (t.entries().containsKey(key)) entries.put(key, t.entries().get(key));
        }
        return new Tree.Table(path.at(), entries);
    }

    private void compare(List<String> path, Tree was, Tree now) {
        if (isSame(was, now)) return;
        if (isSend(path)) {
            send(path, was, now);
            return;
        }
        if (told.told(path)) return;
        if (isSwitch(path, was) && isSwitch(path, now)) {
            switched(path, isOn(was), isOn(now));
            return;
        }
        String setting = path.isEmpty() ? "" : path.get(path.size() - 1);
        if (was instanceof Tree.Table a && now instanceof Tree.Table b) {
            Set<String> keys = new LinkedHashSet<>(b.entries().keySet());
            keys.addAll(a.entries().keySet());
            for (String key : keys) {
                List<String> inside = with(path, key);
                Tree.Entry before = a.entries().get(key), after = b.entries().get(key);
                if (before == null) added(inside, after.value());
                else if (after == null) gone(inside, before.value());
                else compare(inside, before.value(), after.value());
            }
        } else if (was instanceof Tree.Rows a && now instanceof Tree.Rows b) {
            rows(path, a.rows(), b.rows());
        } else if (isFile(was) && now instanceof Tree.Rows b) {
            compare(path, rows(was, b), now);
        } else if (was instanceof Tree.Rows a && isFile(now)) {
            compare(path, was, rows(now, a));
        } else if (!(was instanceof Tree.Leaf && now instanceof Tree.Leaf && !NAMES.contains(setting) && Wording.isSame(setting, text(was), text(now)))) {
            // A level beside another is told as a level is.
            change(isBalance(path) ? path.subList(1, 2) : path, Wording.of(setting, text(was), text(now)) + along(path));
        }
    }

    private static boolean isBalance(List<String> path) {
        return path.size() == 2 && path.get(0).equals(BALANCE);
    }

    /** Who goes along with what is stated against another. */
    private String along(List<String> path) {
        return isBalance(path) ? along.along(path.get(1)) : "";
    }

    /** Whether an entry leaves its step out or not. */
    private static boolean isSwitch(List<String> path, Tree value) {
        return path.size() > 1 && path.get(path.size() - 1).equals(ON) && value instanceof Tree.Leaf;
    }

    private static boolean isOn(Tree value) {
        return YesNo.read(text(value).strip()).orElse(true);
    }

    /** A step is on where its text says nothing of it. */
    private void switched(List<String> path, boolean was, boolean now) {
        List<String> step = new ArrayList<>(path.subList(0, path.size() - 1));
        int with = step.size() - 2;
        if (with >= 0 && step.get(with).equals(WITH)) step.remove(with);
        if (was != now) change(step, now ? "switched on" : "switched off");
    }

    /** Steps of a chain that is used, of which nothing is said but whether they are on. */
    private static boolean isOfSwitches(List<String> path, Tree what) {
        return path.get(path.size() - 1).equals(WITH) && what instanceof Tree.Table steps
                && steps.entries().values().stream().allMatch(e -> e.value() instanceof Tree.Table step && step.entries().keySet().equals(Set.of(ON)));
    }

    /**
     * A step with what every step may say beside its word, wherever that is written; one with nothing else behind its word has an empty table there, or an
     * empty list where the other has a list.
     */
    private static Tree stepLike(Tree row, Tree other) {
        String step = row instanceof Tree.Table t ? step(t) : row instanceof Tree.Leaf && other instanceof Tree.Table o && step(o).equals(text(row))
                ? text(row) : "";
        if (step.isEmpty()) return row;
        Map<String, Tree.Entry> entries = row instanceof Tree.Table t ? new LinkedHashMap<>(t.entries()) : new LinkedHashMap<>();
        Tree.Entry word = entries.getOrDefault(step, new Tree.Entry(new Word(step, row.at()), new Tree.Leaf(new Word("", row.at()))));
        Tree body = word.value(), facing = other instanceof Tree.Table o && o.entries().containsKey(step) ? o.entries().get(step).value() : body;
        if (body instanceof Tree.Table settings) {
            Map<String, Tree.Entry> own = new LinkedHashMap<>();
            settings.entries().forEach((key, e) -> (Routing.EVERY_STEP.contains(key) ? entries : own).putIfAbsent(key, e));
            body = new Tree.Table(body.at(), own);
        }
        boolean empty = isEmpty(body) || body instanceof Tree.Table t && t.entries().isEmpty();
        if (empty && facing instanceof Tree.Rows) body = new Tree.Rows(body.at(), List.of());
        else if (empty && (isEmpty(facing) || facing instanceof Tree.Table)) body = new Tree.Table(body.at(), Map.of());
        entries.put(step, new Tree.Entry(word.key(), body));
        return new Tree.Table(row.at(), entries);
    }

    private static boolean isEmpty(Tree body) {
        return body instanceof Tree.Leaf && text(body).isEmpty();
    }

    /** The word of a row that is a step: alone, or with nothing beside it but what every step may say. Empty for other rows. */
    private static String step(Tree.Table row) {
        List<String> words = row.entries().keySet().stream().filter(key -> row.entries().size() == 1 || !Routing.EVERY_STEP.contains(key)).toList();
        return words.size() == 1 ? words.get(0) : "";
    }

    /** Whether nothing in them differs but where a chain is written. */
    private static boolean isSame(Tree was, Tree now) {
        if (was instanceof Tree.Leaf a && now instanceof Tree.Leaf b) return a.word().text().equals(b.word().text());
        if (was instanceof Tree.Rows a && now instanceof Tree.Rows b) {
            return a.rows().size() == b.rows().size() && IntStream.range(0, a.rows().size()).allMatch(i -> isSame(a.rows().get(i), b.rows().get(i)));
        }
        return was instanceof Tree.Table a && now instanceof Tree.Table b && a.entries().keySet().equals(b.entries().keySet())
                && a.entries().keySet().stream().allMatch(key -> key.equals(FILE) || isSame(a.entries().get(key).value(), b.entries().get(key).value()));
    }

    /** A chain in a file of its own. */
    private static boolean isFile(Tree tree) {
        return tree instanceof Tree.Table t && t.entries().containsKey(FILE) && t.entries().containsKey(STEPS);
    }

    /** A chain in a file as a list: where the other list uses chains, one that uses it, else its steps. */
    private static Tree rows(Tree file, Tree.Rows other) {
        return other.rows().stream().anyMatch(r -> r instanceof Tree.Table t && !used(t).isEmpty()) ? using(file)
                : ((Tree.Table) file).entries().get(STEPS).value();
    }

    private static Tree.Rows using(Tree file) {
        return new Tree.Rows(file.at(), List.of(new Tree.Table(file.at(), Map.of(USE, new Tree.Entry(new Word(USE, file.at()), file)))));
    }

    /** What is sent to one return. */
    private static boolean isSend(List<String> path) {
        return path.size() > 2 && path.get(path.size() - 2).equals(SENDS);
    }

    /** Its level is written alone, or in a table beside where it is taken. */
    private void send(List<String> path, Tree was, Tree now) {
        if (!told.told(path) && !Wording.isSame(level(was), level(now))) change(path, Wording.of("level", level(was), level(now)));
        if (isBefore(was) != isBefore(now)) change(path, isBefore(now) ? "taken before the level, was after it" : "taken after the level, was before it");
    }

    private static String level(Tree send) {
        if (!(send instanceof Tree.Table t)) return text(send);
        return t.entries().containsKey("level") ? word(t, "level") : "0 dB";
    }

    private static boolean isBefore(Tree send) {
        return send instanceof Tree.Table t && t.entries().containsKey("before");
    }

    /** Rows that are the same in both stay out; of the others those of one label are compared. */
    private void rows(List<String> path, List<Tree> was, List<Tree> now) {
        List<String> before = labels(was), after = labels(now);
        List<Integer> left = new ArrayList<>();
        for (int i = 0; i < was.size(); i++) left.add(i);
        for (int j = 0; j < now.size(); j++) {
            int same = after.get(j).isEmpty() ? Math.min(j, was.size()) : before.indexOf(after.get(j));
            if (same >= 0 && same < was.size() && left.remove((Integer) same)) {
                compare(with(path, label(after.get(j), j)), stepLike(was.get(same), now.get(j)), stepLike(now.get(j), was.get(same)));
            }
            else added(with(path, label(after.get(j), j)), now.get(j));
        }
        for (int i : left) gone(with(path, label(before.get(i), i)), was.get(i));
        // What has no name has no order of its own either: it is compared row by row.
        List<String> kept = after.stream().filter(l -> !l.isEmpty() && before.contains(l)).toList();
        if (!kept.equals(before.stream().filter(l -> !l.isEmpty() && after.contains(l)).toList())) {
            change(path, "in another order: " + Wording.cut(String.join(", ", after)));
        }
    }

    private static String label(String label, int row) {
        return label.isEmpty() ? String.valueOf(row + 1) : label;
    }

    /** A step by its word, a chain that is used by its file, a throw by its word of the song; numbered where one comes again. Empty for what has no name. */
    private static List<String> labels(List<Tree> rows) {
        List<String> labels = new ArrayList<>();
        for (Tree row : rows) {
            String label = "";
            if (row instanceof Tree.Leaf leaf) label = leaf.word().text();
            if (row instanceof Tree.Table t) label = step(t);
            if (row instanceof Tree.Table t && !used(t).isEmpty()) label = used(t).substring(used(t).lastIndexOf('/') + 1);
            if (row instanceof Tree.Table t && t.entries().containsKey("word")) label = "of " + word(t, "part") + " at " + word(t, "word");
            int again = 1;
            String first = label;
            while (!label.isEmpty() && labels.contains(label)) label = first + " " + ++again;
            labels.add(label);
        }
        return labels;
    }

    /** The path of a chain that a row brings in; empty where it brings in none. */
    private static String used(Tree.Table row) {
        return row.entries().containsKey(USE) && row.entries().get(USE).value() instanceof Tree.Table chain ? word(chain, FILE) : "";
    }

    private static String word(Tree.Table table, String key) {
        return table.entries().containsKey(key) ? text(table.entries().get(key).value()) : "?";
    }

    private void added(List<String> path, Tree what) {
        if (told.told(path)) return;
        if (isSwitch(path, what)) switched(path, true, isOn(what));
        else if (isOfEntries(path, what) && what instanceof Tree.Table t) t.entries().values().forEach(e -> added(with(path, e.key().text()), e.value()));
        else if (isChain(path) && (isFile(what) || what instanceof Tree.Rows)) rows(path, List.of(), (isFile(what) ? using(what) : (Tree.Rows) what).rows());
        else change(path, "is new" + said(path, inPlace(what, after), ": ") + along(path));
    }

    private void gone(List<String> path, Tree what) {
        if (told.told(path)) return;
        if (isSwitch(path, what)) switched(path, isOn(what), true);
        else if (isOfEntries(path, what) && what instanceof Tree.Table t) t.entries().values().forEach(e -> gone(with(path, e.key().text()), e.value()));
        else if (isChain(path) && (isFile(what) || what instanceof Tree.Rows)) rows(path, (isFile(what) ? using(what) : (Tree.Rows) what).rows(), List.of());
        else change(path, "is gone" + said(path, inPlace(what, before), ", was ") + along(path));
    }

    /** With what its values took the place of behind them. */
    private static Tree inPlace(Tree what, Map<Span, String> replaced) {
        if (replaced.containsKey(what.at())) return new Tree.Leaf(new Word(text(what) + " in place of " + replaced.get(what.at()), what.at()));
        if (!(what instanceof Tree.Table table)) return what;
        Map<String, Tree.Entry> entries = new LinkedHashMap<>();
        table.entries().forEach((key, e) -> entries.put(key, new Tree.Entry(e.key(), inPlace(e.value(), replaced))));
        return new Tree.Table(table.at(), entries);
    }

    /** A table of what has a name of its own: each entry of it is told by itself. */
    private static boolean isOfEntries(List<String> path, Tree what) {
        return path.size() == 1 && (PLACES.contains(path.get(0)) || path.get(0).equals(PRINTS) || path.get(0).equals(BALANCE)) || isOfSwitches(path, what)
                || isOneSwitch(path, what);
    }

    /** A step of a chain that is used, of which nothing is said but whether it is on. */
    private static boolean isOneSwitch(List<String> path, Tree what) {
        return path.size() > 1 && path.get(path.size() - 2).equals(WITH) && what instanceof Tree.Table step && step.entries().keySet().equals(Set.of(ON));
    }

    /** A chain of something that was there before: its steps, or the chain that it uses, are told by themselves. */
    private static boolean isChain(List<String> path) {
        return path.get(path.size() - 1).equals("chain");
    }

    /** What is behind the name of an entry; nothing where that says it all. */
    private static String said(List<String> path, Tree what, String before) {
        if (what instanceof Tree.Table t && !used(t).isEmpty()) return "";
        String name = path.get(path.size() - 1);
        Tree inside = what;
        String beside = "";
        if (what instanceof Tree.Table t && !step(t).isEmpty() && (name.startsWith(step(t)) || step(t).equals(PRINT))) {
            inside = t.entries().get(step(t)).value();
            Map<String, Tree.Entry> others = new LinkedHashMap<>(t.entries());
            others.remove(step(t));
            beside = settings(new Tree.Table(t.at(), others), " ");
        }
        String text = inside instanceof Tree.Table t && !isFile(t) ? settings(t, " ") : text(inside);
        if (!beside.isEmpty()) text = text.isEmpty() ? beside : text + ", " + beside;
        return text.isEmpty() || text.equals(name) ? "" : before + Wording.cut(text);
    }

    private void change(List<String> path, String how) {
        List<String> words = new ArrayList<>();
        for (String key : path) {
            // Steps stand in their list under their word, and once more in their row.
            if (!PLACES.contains(key) && (words.isEmpty() || !words.get(words.size() - 1).equals(key))) words.add(ONE.getOrDefault(key, key));
        }
        // "lead to plate", as everywhere.
        int sends = words.indexOf(SENDS);
        if (sends > 0 && sends < words.size() - 1) words.set(sends, "to");
        changes.add(new Change("", String.join(" ", words), how));
    }

    private static List<String> with(List<String> path, String key) {
        List<String> longer = new ArrayList<>(path);
        longer.add(key);
        return longer;
    }

    /** As it could stand on one line. */
    private static String text(Tree tree) {
        if (tree instanceof Tree.Leaf leaf) return leaf.word().text();
        if (isFile(tree)) return word((Tree.Table) tree, FILE);
        if (tree instanceof Tree.Rows rows) return "[ " + String.join(", ", rows.rows().stream().map(Texts::text).toList()) + " ]";
        return "{ " + settings((Tree.Table) tree, ": ") + " }";
    }

    private static String settings(Tree.Table table, String is) {
        return String.join(", ", table.entries().values().stream().map(e -> e.key().text() + is + text(e.value())).toList());
    }
}
