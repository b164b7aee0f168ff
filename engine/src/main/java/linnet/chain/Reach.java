package linnet.chain;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.setting.Group;
import linnet.setting.Live;
import linnet.setting.Setting;
import linnet.setting.Settings;
import linnet.setting.Value;
import linnet.setting.Values;
import linnet.step.Complaint;
import linnet.step.Routing;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.Span;

/**
 * Finds live settings in a chain by words such as {@code compressor 2 threshold}, {@code eq gain of band 3}, {@code reverb mix} or
 * {@code parallel level of branch 2}, and gives the chain with one of them at another value. Steps are called as a plan calls them.
 */
public final class Reach {
    private static final Pattern ENTRY = Pattern.compile("(.+) of (.+) (\\d{1,3})"), NUMBER = Pattern.compile("(\\d{1,9})( .*)?");

    private final Chain chain;
    private final Problems problems;

    public Reach(Chain chain, Problems problems) {
        this.chain = chain;
        this.problems = problems;
    }

    /**
     * A live setting in a chain.
     *
     * @param step what it is called there
     * @param words the setting, in the words of the text
     * @param setting its declaration
     * @param base what the chain has there
     */
    public record Found(String step, String words, Live setting, Value base) {
        /** Whether it is the same setting. */
        public boolean isSame(Found other) {
            return step.equals(other.step) && words.equals(other.words);
        }
    }

    /** Whether words begin with the name of a step. */
    public boolean names(String words) {
        return said(words).isPresent();
    }

    /** The names of its steps. */
    public List<String> steps() {
        return Steps.names(Steps.of(chain.links()));
    }

    /** The words of all that can be found. */
    public List<String> words() {
        List<String> words = new ArrayList<>(List.of("of", "branch", Routing.LEVEL.name(), Routing.MIX.name()));
        for (Link link : Steps.of(chain.links())) if (link instanceof Link.Use use) words.addAll(live(use.values()));
        words.addAll(steps());
        return words;
    }

    /** The words that name the step. */
    private Optional<String> said(String words) {
        return Steps.ways(Steps.of(chain.links())).stream().filter(n -> words.startsWith(n + " ")).max(Comparator.comparingInt(String::length));
    }

    /** The setting that words name, where it can move and has a number to move from; else that is a problem at their place. */
    public Optional<Found> find(String words, Span at) {
        String said = said(words).orElseThrow(), setting = words.substring(said.length()).strip(),
                step = steps().get(Steps.which(Steps.of(chain.links()), said));
        Link link = link(step);
        Matcher number = NUMBER.matcher(setting);
        if (number.matches() && link.name().equals(said)) {
            String counted = said + " " + number.group(1);
            problems.report(at, "there is no '" + counted + "'" + Steps.tooHigh(counted, Steps.called(Steps.of(chain.links()))).orElse(""));
            return Optional.empty();
        }
        if (setting.equals(Routing.MIX.name())) return based(new Found(step, setting, Routing.MIX, mix(link)), at);
        if (link instanceof Link.Parallel p) return branch(p, step, setting, at);
        Values values = ((Link.Use) link).values();
        Matcher entry = ENTRY.matcher(setting);
        if (entry.matches()) {
            for (Setting s : values.settings().all()) {
                if (s instanceof Group g && Steps.one(g).equals(entry.group(2))) {
                    return entry(step, setting, g, values.get(g), entry.group(1), Integer.parseInt(entry.group(3)), at);
                }
            }
        }
        return in(step, setting, setting, values, at);
    }

    private Optional<Found> branch(Link.Parallel parallel, String step, String words, Span at) {
        if (isOfABranch(words, parallel)) return based(new Found(step, words, Routing.LEVEL, parallel.branches().get(branchOf(words) - 1).level()), at);
        problems.report(at,
                "'" + step + "' has no '" + words + "'" + Nearest.hint(words, List.of(Routing.MIX.name(), "level of branch"), t -> isOfABranch(t, parallel))
                + " (it has mix and level of branch 1 … " + parallel.branches().size() + ")");
        return Optional.empty();
    }

    private static boolean isOfABranch(String words, Link.Parallel parallel) {
        return branchOf(words) >= 1 && branchOf(words) <= parallel.branches().size();
    }

    private static int branchOf(String words) {
        Matcher m = ENTRY.matcher(words);
        return m.matches() && m.group(1).equals(Routing.LEVEL.name()) && m.group(2).equals("branch") ? Integer.parseInt(m.group(3)) : 0;
    }

    private Optional<Found> entry(String step, String words, Group group, List<Values> entries, String inner, int n, Span at) {
        if (n >= 1 && n <= entries.size()) return in(step, words, inner, entries.get(n - 1), at);
        problems.report(at, "'" + step + "' has no " + Steps.one(group) + " " + n + "; it has " + entries.size());
        return Optional.empty();
    }

    private Optional<Found> in(String step, String words, String name, Values values, Span at) {
        Optional<Setting> setting = values.settings().named(name);
        if (setting.isPresent() && setting.get() instanceof Live live) {
            Optional<Value> base = values.get(live);
            if (base.isPresent()) return based(new Found(step, words, live, base.get()), at);
            List<String> others = values.settings().rules().stream().map(Settings.OneOf::settings).filter(r -> r.contains(live)).flatMap(List::stream)
                    .filter(values::given).map(Setting::name).toList();
            problems.report(at, "'" + step + "' has no " + name + " to move from: give it in the chain"
                    + (others.isEmpty() ? "" : ", in place of " + String.join(" and ", others)));
            return Optional.empty();
        }
        List<String> live = live(((Link.Use) link(step)).values());
        String can = live.isEmpty() ? "; no setting of it can" : "; of '" + step + "' these can: " + String.join(", ", live);
        if (setting.isPresent()) problems.report(at, name + " cannot move while it sounds" + can);
        else problems.report(at, "'" + step + "' has no setting '" + Steps.cut(words) + "'" + Nearest.hint(words, live) + can);
        return Optional.empty();
    }

    private Optional<Found> based(Found found, Span at) {
        if (found.base instanceof Value.Named n) {
            problems.report(at, found.setting.name() + " of '" + found.step + "' is '" + n.word() + "', and no number to move from");
        }
        else if (found.base instanceof Value.Curve) problems.report(at, found.setting.name() + " of '" + found.step + "' moves in its chain already");
        else return Optional.of(found);
        return Optional.empty();
    }

    /** What can move, in the words of a text. */
    private static List<String> live(Values values) {
        List<String> names = new ArrayList<>();
        for (Setting s : values.settings().all()) {
            if (s instanceof Live) names.add(s.name());
            if (!(s instanceof Group g)) continue;
            for (int i = 0; i < values.get(g).size(); i++) {
                Values entry = values.get(g).get(i);
                for (Setting inner : entry.settings().all()) {
                    if (inner instanceof Live && entry.given(inner)) names.add(inner.name() + " of " + Steps.one(g) + " " + (i + 1));
                }
            }
        }
        names.add(Routing.MIX.name());
        return names;
    }

    private Link link(String step) {
        List<Link> links = Steps.of(chain.links());
        return links.get(Steps.which(links, step));
    }

    private static Value mix(Link link) {
        return link.mix().orElse(new Value.Amount(link instanceof Link.Use u ? u.step().usualMix() : 100));
    }

    /** The chain with another value there; what its step finds wrong with that is a problem at the place of the change. */
    public Chain with(Found found, Value value, Span at) {
        Link link = link(found.step);
        return chain.with(Steps.replaced(chain.links(), link, changed(link, found, value, at)));
    }

    private Link changed(Link link, Found found, Value value, Span at) {
        Matcher entry = ENTRY.matcher(found.words);
        if (link instanceof Link.Parallel p) {
            if (found.setting == Routing.MIX) return new Link.Parallel(p.name(), p.at(), Optional.of(value), p.branches());
            if (!entry.matches()) throw new IllegalArgumentException(found.words);
            List<Link.Branch> branches = new ArrayList<>(p.branches());
            int n = Integer.parseInt(entry.group(3)) - 1;
            branches.set(n, new Link.Branch(branches.get(n).at(), value, branches.get(n).links()));
            return new Link.Parallel(p.name(), p.at(), p.mix(), branches);
        }
        Link.Use use = (Link.Use) link;
        if (found.setting == Routing.MIX) return use.with(Optional.of(value));
        Values values = Steps.copy(use.values());
        Optional<Group> list = values.settings().all().stream().filter(Group.class::isInstance).map(Group.class::cast)
                .filter(g -> entry.matches() && Steps.one(g).equals(entry.group(2))).findFirst();
        if (list.isPresent()) {
            List<Values> entries = new ArrayList<>(values.get(list.get()));
            int n = Integer.parseInt(entry.group(3)) - 1;
            Values one = Steps.copy(entries.get(n));
            put(one, found.setting, value, at);
            entries.set(n, one);
            values.put(list.get(), entries);
        } else {
            put(values, found.setting, value, at);
        }
        for (Complaint c : use.step().complaints(values)) problems.report(at, c.message());
        return use.with(values);
    }

    /** A usual value that moves counts as given. */
    private void put(Values values, Live setting, Value value, Span at) {
        values.put(setting, value);
        for (Settings.OneOf rule : values.settings().rules()) {
            List<Setting> given = rule.settings().stream().filter(values::given).toList();
            if (given.size() > 1 && given.contains(setting)) {
                problems.report(at, setting.name() + " has no part in it: the chain gives " + given.get(given.get(0) == setting ? 1 : 0).name());
            }
        }
    }
}
