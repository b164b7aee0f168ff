package linnet.chain;

import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashMap;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Stream;
import linnet.setting.Group;
import linnet.setting.Setting;
import linnet.setting.Settings;
import linnet.setting.Value;
import linnet.setting.Values;
import linnet.setting.YesNo;
import linnet.step.Catalogue;
import linnet.step.Complaint;
import linnet.step.Routing;
import linnet.step.Step;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.Span;
import linnet.text.Word;
import linnet.yaml.Siblings;
import linnet.yaml.Tree.Entry;
import linnet.yaml.Tree.Leaf;
import linnet.yaml.Tree.Rows;
import linnet.yaml.Tree.Table;
import linnet.yaml.Tree;
import linnet.yaml.Yaml;

/** Reads a chain file, and the chain files it uses. */
public final class ChainReader {
    private static final int MOST_STEPS = 200;
    private static final Set<String> TOP = new LinkedHashSet<>(List.of("chain", "about", "tempo", "steps"));
    private static final List<String> BRANCH = List.of("level", "steps");
    /** What may stand beside the word of a step. */
    private static final List<String> BESIDE = Stream.concat(Routing.EVERY_STEP.stream(), Stream.of("with")).toList();

    private final Catalogue catalogue;
    private final Problems problems;
    private final SettingsReader settings;
    /** The files being read, from the outermost in: a file that uses itself is found here. */
    private final List<Path> open = new ArrayList<>();
    /** What their users change, from the outermost in. */
    private final Deque<With> changes = new ArrayDeque<>();
    private final Set<String> off = new LinkedHashSet<>();
    private int steps;
    /** Of the outermost of those files that names one: whoever uses a chain has the last word, as with settings. */
    private OptionalDouble tempo = OptionalDouble.empty();
    /** What the outermost text calls the file that is read for it. */
    private Optional<String> by = Optional.empty();

    private ChainReader(Catalogue catalogue, Problems problems) {
        this.catalogue = catalogue;
        this.problems = problems;
        this.settings = new SettingsReader(problems);
    }

    /**
     * Reads a chain.
     *
     * @throws ProblemsException with everything that is wrong with it
     */
    public static Chain read(Path file, Catalogue catalogue) throws ProblemsException {
        return read(file, catalogue, new Problems());
    }

    /**
     * Reads a chain.
     *
     * @param problems told what is read, and what is wrong with it
     * @throws ProblemsException with everything that is wrong with it
     */
    public static Chain read(Path file, Catalogue catalogue, Problems problems) throws ProblemsException {
        ChainReader reader = new ChainReader(catalogue, problems);
        Chain chain = reader.file(file, file.toString());
        reader.problems.check();
        return reader.told(chain);
    }

    /**
     * Reads a chain that stands in another text: the path of its file, relative to that text, or its list of steps.
     *
     * @param file the text it stands in
     * @param problems told what is wrong, be it here or in the file
     * @throws ProblemsException where the file of the chain cannot be read at all
     */
    public static Chain read(Tree tree, Path file, Catalogue catalogue, Problems problems) throws ProblemsException {
        ChainReader reader = new ChainReader(catalogue, problems);
        if (!(tree instanceof Leaf leaf)) return reader.told(new Chain("", "", reader.links(tree, file)));
        Optional<Path> path = reader.beside(leaf.word(), file);
        if (path.isEmpty()) return new Chain("", "", List.of());
        reader.by = Optional.of(leaf.word().text());
        return reader.told(reader.file(path.get(), Path.of(nameOf(leaf.word())).resolveSibling(leaf.word().text()).normalize().toString()));
    }

    /** With what is off in it, wherever that was said. */
    private Chain told(Chain read) {
        return new Chain(read.title(), read.about(), read.links(), Set.copyOf(off));
    }

    /** Settings that the user of a chain changes in the step that is called so. */
    private static final class Change {
        final Word name;
        final Table settings;
        /** The steps that this could be, each by its number. */
        final List<String> meant = new ArrayList<>();

        Change(Word name, Table settings) {
            this.name = name;
            this.settings = settings;
        }
    }

    /** What the user of a chain changes in it, while its steps are read one after the other. */
    private final class With {
        private final List<Change> changes;
        private final Map<String, Integer> counts = new HashMap<>();
        private final List<Steps.Called> steps = new ArrayList<>();

        With(List<Change> changes) {
            this.changes = changes;
        }

        /** The changes of the next step. Steps that are off are counted too: which is meant must not depend on that. */
        List<Change> next(String name, String word) {
            String counted = Steps.counted(name, counts.merge(name, 1, Integer::sum));
            steps.add(new Steps.Called(name, word, counted));
            List<Change> own = changes.stream().filter(c -> c.name.text().equals(name) || c.name.text().equals(counted)).toList();
            own.forEach(c -> c.meant.add(counted));
            if (own.size() > 1) problems.report(own.get(1).name.at(), "'" + shown(name) + "' and '" + shown(counted) + "' are the same step");
            return own;
        }

        void refuse() {
            // Of several of one name none goes by that alone.
            List<Steps.Called> called = steps.stream().map(s -> counts.get(s.name()) > 1 ? s : new Steps.Called(s.name(), s.kind(), s.name())).toList();
            for (Change c : changes) {
                String said = "'" + shown(c.name.text()) + "'";
                if (c.meant.isEmpty()) {
                    problems.report(c.name.at(), "that chain has no step called " + said + Steps.tooHigh(c.name.text(), called)
                            .orElseGet(() -> Nearest.hint(c.name.text(), called.stream().map(Steps.Called::way).toList())));
                }
                if (c.meant.size() > 1) {
                    problems.report(c.name.at(), "that chain has " + c.meant.size() + " steps called " + said + "; say which: "
                            + String.join(", ", c.meant.stream().map(ChainReader::shown).toList()));
                }
            }
        }
    }

    private Chain file(Path file, String name) throws ProblemsException {
        open.add(file.toAbsolutePath().normalize());
        OptionalDouble outer = tempo;
        try {
            Optional<Tree> tree = Yaml.read("chain file", file, name, problems);
            if (tree.isEmpty()) return new Chain("", "", List.of());
            if (!(tree.get() instanceof Table top)) {
                problems.report(tree.get().at(), "a chain file begins with 'chain:' and 'steps:'");
                return new Chain("", "", List.of());
            }
            top.entries().values().stream().filter(e -> !TOP.contains(e.key().text())).forEach(e -> problems.report(
                    e.key().at(),
                    "a chain file has no '" + shown(e.key().text()) + "'" + Nearest.hint(e.key().text(), TOP) + " (it has chain, about, tempo and steps)"));
            OptionalDouble own = tempo(top.entries().get("tempo"));
            if (outer.isEmpty()) tempo = own;
            Entry list = top.entries().get("steps");
            if (list == null) {
                if (!Nearest.isHinted("steps", top.entries().keySet(), TOP)) problems.report(top.at(), "a chain file needs 'steps:', a list of steps");
                return new Chain("", "", List.of());
            }
            List<Link> links = links(list.value(), file);
            return new Chain(line(top, "chain").orElse(file.getFileName().toString()), line(top, "about").orElse(""), links);
        } finally {
            open.remove(open.size() - 1);
            tempo = outer;
        }
    }

    private Optional<String> line(Table top, String key) {
        Entry entry = top.entries().get(key);
        if (entry == null) return Optional.empty();
        if (entry.value() instanceof Leaf leaf && isPlain(leaf.word().text())) return Optional.of(leaf.word().text().strip());
        problems.report(entry.value().at(), "'" + key + "' is a line of text");
        return Optional.empty();
    }

    /** Other characters would move the cursor of a terminal, and break a picture that is titled with them. */
    private static boolean isPlain(String text) {
        return text.chars().noneMatch(c -> Character.isISOControl(c) && c != '\n');
    }

    private OptionalDouble tempo(Entry entry) {
        if (entry == null) return OptionalDouble.empty();
        Optional<Value> value = settings.quantity(Routing.TEMPO, entry.value());
        return value.isPresent() ? OptionalDouble.of(((Value.Amount) value.get()).value()) : OptionalDouble.empty();
    }

    private List<Link> links(Tree tree, Path file) throws ProblemsException {
        if (!(tree instanceof Rows rows)) {
            problems.report(tree.at(), "steps are a list: one '- ' before each");
            return List.of();
        }
        List<Link> links = new ArrayList<>();
        for (Tree row : rows.rows()) {
            if (++steps > MOST_STEPS) {
                problems.report(row.at(), "a chain has at most " + MOST_STEPS + " steps");
                return links;
            }
            links.addAll(link(row, file));
        }
        return links;
    }

    /** One row: a word, or a word with its settings and what else a step may say. */
    private List<Link> link(Tree row, Path file) throws ProblemsException {
        if (row instanceof Leaf leaf) {
            Table none = new Table(leaf.at(), Map.of());
            return link(leaf.word(), none, new Table(leaf.at(), Map.of()), file);
        }
        if (!(row instanceof Table table)) {
            problems.report(row.at(), "a step is a word with its settings, such as '- gate: { floor: -12 dB }'");
            return List.of();
        }
        List<Entry> words = table.entries().values().stream()
                .filter(e -> !BESIDE.contains(e.key().text()))
                .toList();
        if (words.size() != 1) {
            if (words.isEmpty()) {
                problems.report(table.at(),
                        "here a step is missing: " + (table.entries().isEmpty() ? "nothing" : "only " + String.join(", ", table.entries().keySet()))
                        + " is given");
            }
            for (Entry extra : words.stream().skip(1).toList()) {
                problems.report(extra.key().at(), extra(extra.key().text(), words.get(0).key().text()));
            }
            if (words.isEmpty()) return List.of();
        }
        Entry word = words.get(0);
        Map<String, Entry> rest = new LinkedHashMap<>(table.entries());
        words.forEach(w -> rest.remove(w.key().text()));
        return link(word.key(), word.value(), new Table(table.at(), rest), file);
    }

    /** What to do about a word beside that of a step. */
    private String extra(String word, String step) {
        boolean uses = step.equals(Routing.USE);
        if (known(word)) return "'" + word + "' is a step of its own: begin a new line with '- '" + (uses ? ", or change that of the chain under 'with'" : "");
        String hint = Nearest.hint(word, BESIDE);
        return "'" + word + "' does not belong to this step; " + (!uses ? "settings stand in braces or indented under '" + step + "'" + hint
                : "what is other in the chain that is used stands under 'with'" + (hint.isEmpty() ? ", as in with: { " + word + ": {…} }" : hint));
    }

    private boolean known(String word) {
        return catalogue.find(word).isPresent() || word.equals(Routing.PARALLEL) || word.equals(Routing.USE);
    }

    private List<Link> link(Word word, Tree body, Table beside, Path file) throws ProblemsException {
        if (word.text().equals(Routing.USE)) return use(word, body, beside, file);
        if (beside.entries().containsKey("with")) problems.report(beside.entries().get("with").key().at(), "'with' goes with 'use' only");
        boolean parallel = word.text().equals(Routing.PARALLEL);
        // Before the step that holds them, as a plan counts them.
        List<Link.Branch> branches = parallel ? branches(body, file) : List.of();
        Optional<Step> step = catalogue.find(word.text());
        Common common = new Common(word, body, beside, step);
        if (parallel) {
            return common.on ? List.of(new Link.Parallel(common.name, word.at(), common.mix, branches)) : List.of();
        }
        if (step.isEmpty()) {
            List<String> words = Stream.concat(catalogue.steps().stream().map(Step::word), Stream.of(Routing.PARALLEL, Routing.USE)).toList();
            problems.report(word.at(), "there is no step '" + shown(word.text()) + "'" + Nearest.hint(word.text(), words));
            return List.of();
        }
        Values values = values(word, step.get(), common.body());
        for (Complaint c : step.get().complaints(values)) problems.report(blamed(c, word, step.get(), common.bodies), c.message());
        return common.on ? List.of(new Link.Use(common.name, word.at(), common.mix, step.get(), values, tempo, by)) : List.of();
    }

    /**
     * The settings of a step as one text leaves them: that of the step itself, then that of each user who changes it, from the innermost out.
     *
     * @param at where that text speaks of the step
     */
    private record Body(Span at, Tree settings) {}

    /** Where to mend what is wrong: in the text of the step, or in that of the user whose change first made it so. */
    private Span blamed(Complaint complaint, Word word, Step step, List<Body> bodies) {
        Span place = complaint.at().orElse(word.at());
        if (bodies.size() == 1) return place;
        // What one of them alone has wrong is told when all are read, and here only compared.
        ChainReader quiet = new ChainReader(catalogue, new Problems());
        Span from = bodies.stream().filter(b -> step.complaints(quiet.values(word, step, b.settings)).stream()
                .anyMatch(c -> c.message().equals(complaint.message()))).findFirst().orElseThrow().at;
        return from == word.at() || from.source().equals(place.source()) ? place : from;
    }

    private static String shown(String word) {
        return word.length() > 40 ? word.substring(0, 40) + "…" : word;
    }

    private Values values(Word word, Step step, Tree body) {
        Group list = step.body();
        boolean empty = body instanceof Table t && t.entries().isEmpty() || body instanceof Leaf leaf && leaf.word().text().isEmpty();
        if (list == null || empty) {
            return settings.table(step.word(), step.settings(), empty ? new Table(word.at(), Map.of()) : body);
        }
        Values values = new Values(step.settings());
        if (body instanceof Table t && t.entries().containsKey(list.name())) {
            problems.report(t.entries().get(list.name()).key().at(),
                    "the " + list.name() + " are the list of " + step.word() + " itself; what every step may have stands beside it, as in { "
                    + step.word() + ": [ {…}, {…} ], mix: 50 % }");
            return values;
        }
        settings.group(list, body, values);
        return values;
    }

    private List<Link.Branch> branches(Tree body, Path file) throws ProblemsException {
        if (!(body instanceof Rows rows) || rows.rows().isEmpty()) {
            problems.report(body.at(), "parallel is a list of branches such as '- { level: -12 dB, steps: [ … ] }'");
            return List.of();
        }
        List<Link.Branch> branches = new ArrayList<>();
        for (Tree row : rows.rows()) {
            if (!(row instanceof Table branch)) {
                problems.report(row.at(), "a branch has 'level' and 'steps'");
                continue;
            }
            for (Entry e : branch.entries().values()) {
                if (!BRANCH.contains(e.key().text())) {
                    problems.report(e.key().at(), "a branch has no '" + shown(e.key().text()) + "'" + Nearest.hint(e.key().text(), BRANCH)
                            + " (it has level and steps)");
                }
            }
            Entry level = branch.entries().get("level");
            Entry list = branch.entries().get("steps");
            Value db = (level == null ? Optional.<Value>empty() : settings.quantity(Routing.LEVEL, level.value())).orElse(Routing.LEVEL.usual().orElseThrow());
            branches.add(new Link.Branch(branch.at(), db, list == null ? List.of() : links(list.value(), file)));
        }
        return branches;
    }

    private List<Link> use(Word word, Tree body, Table beside, Path file) throws ProblemsException {
        for (Entry e : beside.entries().values()) {
            if (!e.key().text().equals("with")) {
                problems.report(e.key().at(), "'use' has no '" + e.key().text() + "'; put the chain into a branch of 'parallel' instead");
            }
        }
        if (!(body instanceof Leaf leaf) || leaf.word().text().isBlank()) {
            problems.report(body.at(), "use wants the path of a chain file, relative to this one");
            return List.of();
        }
        Optional<Path> other = beside(leaf.word(), file);
        if (other.isEmpty()) return List.of();
        List<Change> inner = new ArrayList<>();
        Entry with = beside.entries().get("with");
        if (with != null) {
            if (with.value() instanceof Table table) {
                for (Entry e : table.entries().values()) {
                    if (e.value() instanceof Table t) inner.add(new Change(e.key(), t));
                    else problems.report(e.value().at(), "with wants settings for '" + shown(e.key().text()) + "' in braces");
                }
            } else {
                problems.report(with.value().at(), "with wants the names of steps, each with settings in braces");
            }
        }
        String name = Path.of(nameOf(word)).resolveSibling(leaf.word().text()).normalize().toString();
        With own = new With(inner);
        changes.addLast(own);
        Optional<String> outer = by;
        by = outer.or(() -> Optional.of(leaf.word().text()));
        List<Link> links = file(other.get(), name).links();
        by = outer;
        changes.removeLast();
        own.refuse();
        return links;
    }

    /** The chain file that a path names, relative to the file it stands in. */
    private Optional<Path> beside(Word word, Path file) {
        // A message shows the line that is wrong: of files that are no chains, no line is ever shown.
        if (!Yaml.isName(word.text())) {
            problems.report(word.at(), "a chain file is called something.yaml or something.yml, and " + shown(word.text()) + " is not");
            return Optional.empty();
        }
        Path other;
        try {
            other = Siblings.named(file.toAbsolutePath().getParent().resolve(word.text()).normalize());
        } catch (InvalidPathException e) {
            problems.report(word.at(), "this is no path: " + e.getReason());
            return Optional.empty();
        }
        if (open.contains(other)) {
            problems.report(word.at(), "this chain uses itself by way of " + shown(word.text()));
            return Optional.empty();
        }
        // Whoever waits for it to be mended waits for it to be there, too.
        problems.reads(other);
        if (!other.toFile().isFile()) {
            problems.report(word.at(), "there is no chain file at " + shown(word.text()) + ", seen from the folder of this file" + Siblings.hint(other));
            return Optional.empty();
        }
        return Optional.of(other);
    }

    private static String nameOf(Word word) {
        return word.at().source().name();
    }

    /** What every step may say, beside its word or among its settings, with the changes of whoever uses this chain. */
    private final class Common {
        final String name;
        final Optional<Value> mix;
        final boolean on;
        /** The settings that are the step's own, as each text leaves them. */
        final List<Body> bodies = new ArrayList<>();

        /** @param step what the word means; empty for branches, and where it means nothing */
        Common(Word word, Tree body, Table beside, Optional<Step> step) {
            Map<String, Entry> said = new LinkedHashMap<>(beside.entries());
            Map<String, Entry> own = new LinkedHashMap<>();
            if (body instanceof Table table) {
                for (Entry e : table.entries().values()) {
                    String key = e.key().text();
                    if (!Routing.EVERY_STEP.contains(key)) own.put(key, e);
                    else if (said.putIfAbsent(key, e) != null) problems.report(e.key().at(), "'" + key + "' is given twice for this step");
                }
            }
            String called = Optional.ofNullable(said.get("name")).map(e -> text(e, "name")).orElse(word.text());
            boolean named = body instanceof Table || body instanceof Leaf leaf && leaf.word().text().isEmpty();
            boolean changeable = named && step.map(s -> s.body() == null).orElse(true);
            bodies.add(new Body(word.at(), named ? new Table(body.at(), new LinkedHashMap<>(own)) : body));
            // Changes from outside win over those written further in, and go by the name that those gave it.
            for (Iterator<With> users = changes.descendingIterator(); users.hasNext(); ) {
                for (Change change : users.next().next(called, word.text())) {
                    Map<String, Entry> entries = change.settings.entries();
                    entries.forEach((key, e) -> {
                        if (Routing.EVERY_STEP.contains(key)) said.put(key, e);
                        else if (changeable) put(e, entries.keySet(), own, step);
                    });
                    if (changeable) bodies.add(new Body(change.name.at(), new Table(body.at(), new LinkedHashMap<>(own))));
                    else if (!Routing.EVERY_STEP.containsAll(entries.keySet())) {
                        problems.report(change.name.at(), "only mix, on and name of '" + shown(called) + "' can be changed: its body is a list");
                    }
                    if (entries.containsKey("name")) called = text(entries.get("name"), "name");
                }
            }
            this.name = called;
            this.mix = Optional.ofNullable(said.get("mix")).flatMap(e -> settings.quantity(Routing.MIX, e.value()));
            this.on = Optional.ofNullable(said.get("on")).map(this::isOn).orElse(true);
            if (!on) off.add(name);
        }

        /** As the outermost text leaves them. */
        Tree body() {
            return bodies.get(bodies.size() - 1).settings;
        }

        /** A setting that a user gives takes the place of those of the chain that cannot stand beside it; two that he gives himself are told. */
        private void put(Entry given, Set<String> beside, Map<String, Entry> own, Optional<Step> step) {
            String name = given.key().text();
            List<String> gone = new ArrayList<>();
            for (Settings.OneOf rule : step.map(s -> s.settings().rules()).orElse(List.of())) {
                List<String> names = rule.settings().stream().map(Setting::name).toList();
                if (!names.contains(name)) continue;
                names.stream().filter(n -> !beside.contains(n)).map(own::remove).filter(Objects::nonNull)
                        .forEach(e -> gone.add(e.key().text() + (e.value() instanceof Leaf leaf ? " " + leaf.word().text() : "")));
            }
            if (!gone.isEmpty()) problems.replaces(given.value().at(), String.join(" and ", gone));
            own.put(name, given);
        }

        private String text(Entry e, String key) {
            if (e.value() instanceof Leaf leaf && !leaf.word().text().isBlank() && isPlain(leaf.word().text())) return leaf.word().text();
            problems.report(e.value().at(), key + " wants a word");
            return key;
        }

        private boolean isOn(Entry e) {
            String word = text(e, "on");
            Optional<Boolean> on = YesNo.read(word);
            if (on.isEmpty()) problems.report(e.value().at(), "on is yes or no, not \"" + shown(word) + "\"" + Nearest.hint(word, YesNo.NAMED));
            return on.orElse(true);
        }
    }
}
