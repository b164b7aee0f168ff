package linnet.chain;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import linnet.setting.Choice;
import linnet.setting.Group;
import linnet.setting.Quantity;
import linnet.setting.Series;
import linnet.setting.Setting;
import linnet.setting.Settings;
import linnet.setting.Text;
import linnet.setting.Value;
import linnet.setting.Values;
import linnet.step.Complaint;
import linnet.step.Routing;
import linnet.text.Comma;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.SourceText;
import linnet.text.Span;
import linnet.text.Word;
import linnet.yaml.Tree.Leaf;

/**
 * A chain with one setting at another value. Which one is said as {@code STEP.SETTING}: the step by its name or by its word, with a
 * number where there are several ({@code compressor 2}), in the order of the chain; a setting of an entry in a list as
 * {@code gain of band 3}, a number of a list as {@code split 2}; also {@code mix} of any step.
 *
 * @param step name of the step that differs, as a plan has it
 * @param setting which of its settings
 * @param value as the user wrote it
 */
public record Variation(String step, String setting, String value, Chain chain) {
    private static final Pattern ENTRY = Pattern.compile("(.+) of (.+) (\\d{1,3})");
    private static final Pattern BARE = Pattern.compile("[+\u2212-]?\\d+"), WITH_UNIT = Pattern.compile("\\d[\\d.]*\\s*[^\\d.\\s].*");
    private static final Pattern ELEMENT = Pattern.compile("(.+) (\\d{1,3})");

    /**
     * Reads {@code STEP.SETTING = V1, V2, …}.
     *
     * @param name what to call the text in messages
     * @throws ProblemsException where there is no such step or setting, or a value is none for it
     */
    public static List<Variation> read(String text, String name, Chain chain) throws ProblemsException {
        return new Reader(text, name, chain).read();
    }

    private static final class Reader {
        private final String text;
        private final SourceText source;
        private final Chain chain;
        private final Problems problems = new Problems();
        private final SettingsReader reader = new SettingsReader(problems);

        Reader(String text, String name, Chain chain) {
            this.text = text;
            this.source = new SourceText(name, List.of(text));
            this.chain = chain;
        }

        List<Variation> read() throws ProblemsException {
            int equals = text.indexOf('=');
            int dot = equals < 0 ? -1 : text.lastIndexOf('.', equals);
            if (dot < 0) {
                problems.report(new Span(source, 1, 1, text.length()), "wants a setting and its values, such as \"compressor.ratio = 2:1, 4:1, 8:1\"");
                problems.check();
            }
            Word step = word(0, dot), setting = word(dot + 1, equals);
            List<Link> links = Steps.of(chain.links());
            List<String> names = Steps.names(links);
            int which = Steps.which(links, step.text());
            if (which < 0) {
                Optional<String> off = chain.off(step.text());
                problems.report(step.at(),
                        off.isPresent() ? "step '" + off.get() + "' is off in this chain, and nothing of it is heard: leave out its 'on: no' to vary it"
                        : "this chain has no step '" + Steps.cut(step.text()) + "'" + meant(step.text(), links, names) + " (it has "
                        + String.join(", ", names) + ")");
                problems.check();
            }
            List<Variation> variations = new ArrayList<>();
            for (int from = equals + 1; from <= text.length(); ) {
                int comma = end(from);
                Word value = word(from, comma);
                from = comma + 1;
                if (value.text().isEmpty()) problems.report(value.at(), "here a value is missing");
                else if (comma < text.length() && isCut(value.text(), text.substring(from))) cut(value, word(from, end(from)));
                else vary(links.get(which), setting, value).ifPresent(l -> variations.add(new Variation(
                        names.get(which), setting.text(), value.text(),
                                new Chain(chain.title(), chain.about(), Steps.replaced(chain.links(), links.get(which), l)))));
            }
            problems.check();
            return variations;
        }

        /** The steps of that word where all have names of their own, else a name that is near. */
        private static String meant(String said, List<Link> links, List<String> names) {
            List<String> called = IntStream.range(0, links.size()).filter(i -> links.get(i) instanceof Link.Use u && u.step().word().equals(said))
                    .mapToObj(names::get).toList();
            if (called.isEmpty()) return Steps.tooHigh(said, Steps.called(links)).orElseGet(() -> Nearest.hint(said, names));
            return called.size() == 1 ? "; its " + said + " is called " + called.get(0) : "; those that are one are called " + String.join(" and ", called);
        }

        private int end(int from) {
            return text.indexOf(',', from) < 0 ? text.length() : text.indexOf(',', from);
        }

        /** One number of two values: the first has no unit, and the second has one. */
        private static boolean isCut(String value, String rest) {
            return BARE.matcher(value).matches() && WITH_UNIT.matcher(rest.split(",", 2)[0].strip()).matches();
        }

        private void cut(Word value, Word next) {
            Span at = new Span(source, 1, value.at().column(), next.at().column() + next.at().length() - value.at().column());
            String both = text.substring(at.column() - 1, at.column() - 1 + at.length());
            problems.report(at, Comma.mended(both).equals(both)
                    ? value.text() + " has no unit and what follows has one: write it with each, or a point where both are one number"
                    : "a comma parts two values here; " + Comma.remedy(both));
        }

        private Word word(int from, int to) {
            String piece = text.substring(from, to);
            int lead = piece.length() - piece.stripLeading().length();
            return new Word(piece.strip(), new Span(source, 1, from + lead + 1, Math.max(1, piece.strip().length())));
        }

        private Optional<Link> vary(Link link, Word setting, Word value) {
            if (setting.text().equals("mix")) {
                Optional<Value> mix = reader.quantity(Routing.MIX, new Leaf(value));
                if (link instanceof Link.Use u) return mix.map(m -> u.with(Optional.of(m)));
                Link.Parallel p = (Link.Parallel) link;
                return mix.map(m -> new Link.Parallel(p.name(), p.at(), Optional.of(m), p.branches()));
            }
            return link instanceof Link.Use use ? use(use, setting, value) : branch((Link.Parallel) link, setting, value);
        }

        private Optional<Link> branch(Link.Parallel parallel, Word setting, Word value) {
            Matcher m = ENTRY.matcher(setting.text());
            int n = m.matches() && m.group(1).equals("level") && m.group(2).equals("branch") ? Integer.parseInt(m.group(3)) : 0;
            if (n < 1 || n > parallel.branches().size()) {
                problems.report(setting.at(), parallel.name() + " has no setting '" + Steps.cut(setting.text()) + "'; it has mix and level of branch 1 … "
                        + parallel.branches().size());
                return Optional.empty();
            }
            return reader.quantity(Routing.LEVEL, new Leaf(value)).map(level -> {
                List<Link.Branch> branches = new ArrayList<>(parallel.branches());
                branches.set(n - 1, new Link.Branch(branches.get(n - 1).at(), level, branches.get(n - 1).links()));
                return new Link.Parallel(parallel.name(), parallel.at(), parallel.mix(), branches);
            });
        }

        private Optional<Link> use(Link.Use use, Word setting, Word value) {
            Optional<Values> values = put(use.name(), use.values(), setting, setting.text(), value);
            values.ifPresent(v -> {
                for (Complaint c : use.step().complaints(v)) problems.report(value.at(), c.message());
            });
            return values.map(use::with);
        }

        /** The values with one of them replaced; {@code name} may point into a list. */
        private Optional<Values> put(String owner, Values values, Word at, String name, Word value) {
            Matcher entry = ENTRY.matcher(name);
            if (entry.matches()) {
                for (Setting s : values.settings().all()) {
                    if (s instanceof Group g && Steps.one(g).equals(entry.group(2))) {
                        return putEntry(values, g, at, entry.group(1), Integer.parseInt(entry.group(3)), value);
                    }
                }
            }
            Matcher element = ELEMENT.matcher(name);
            for (Setting s : values.settings().all()) {
                if (s.name().equals(name) && !(s instanceof Group)) return single(values, s, value);
                if (s instanceof Series q && element.matches() && Steps.one(q).equals(element.group(1))) {
                    return putElement(values, q, at, Integer.parseInt(element.group(2)), value);
                }
            }
            List<String> known = known(values);
            problems.report(at.at(), owner + " has no setting '" + Steps.cut(name) + "'" + Nearest.hint(name, known) + " (it has "
                    + String.join(", ", known) + ")");
            return Optional.empty();
        }

        private Optional<Values> single(Values values, Setting s, Word value) {
            // As where a chain is used with another setting: it takes the place of what cannot stand beside it.
            Set<Setting> gone = values.settings().rules().stream().map(Settings.OneOf::settings).filter(alternatives -> alternatives.contains(s))
                    .flatMap(List::stream).collect(Collectors.toSet());
            Values changed = Steps.copy(values, gone);
            int before = problems.sorted().size();
            reader.read(s, new Leaf(value), changed);
            return problems.sorted().size() > before ? Optional.empty() : Optional.of(changed);
        }

        private Optional<Values> putEntry(Values values, Group group, Word at, String inner, int n, Word value) {
            List<Values> entries = values.get(group);
            if (n < 1 || n > entries.size()) {
                problems.report(at.at(), "there is no " + Steps.one(group) + " " + n + "; there are " + entries.size());
                return Optional.empty();
            }
            return put(Steps.one(group) + " " + n, entries.get(n - 1), at, inner, value).map(changed -> {
                List<Values> all = new ArrayList<>(entries);
                all.set(n - 1, changed);
                Values out = Steps.copy(values);
                out.put(group, all);
                return out;
            });
        }

        private Optional<Values> putElement(Values values, Series series, Word at, int n, Word value) {
            List<Value> numbers = new ArrayList<>(values.get(series));
            if (n < 1 || n > numbers.size()) {
                problems.report(at.at(), "there is no " + Steps.one(series) + " " + n + "; there are " + numbers.size());
                return Optional.empty();
            }
            return series.element().read(value, problems).map(v -> {
                numbers.set(n - 1, v);
                Values out = Steps.copy(values);
                out.put(series, numbers);
                return out;
            });
        }

        /** Every way to name a setting here. */
        private static List<String> known(Values values) {
            List<String> known = new ArrayList<>();
            for (Setting s : values.settings().all()) {
                if (s instanceof Group g) {
                    List<Values> entries = values.get(g);
                    for (int i = 0; i < entries.size(); i++) {
                        for (Setting inner : entries.get(i).settings().all()) {
                            if (entries.get(i).given(inner)) known.add(inner.name() + " of " + Steps.one(g) + " " + (i + 1));
                        }
                    }
                } else if (s instanceof Series q) {
                    for (int i = 0; i < values.get(q).size(); i++) known.add(Steps.one(q) + " " + (i + 1));
                } else {
                    known.add(s.name());
                }
            }
            return known;
        }
    }
}
