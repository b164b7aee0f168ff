package linnet.chain;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import linnet.setting.Choice;
import linnet.setting.Group;
import linnet.setting.Quantity;
import linnet.setting.Series;
import linnet.setting.Setting;
import linnet.setting.Text;
import linnet.setting.Values;
import linnet.step.Routing;

/** The steps of a chain in the order in which a plan names them. */
final class Steps {
    private static final Pattern NUMBERED = Pattern.compile("(.+) \\d{1,9}");

    private Steps() {}

    static List<Link> of(List<Link> links) {
        List<Link> all = new ArrayList<>();
        for (Link link : links) {
            if (link instanceof Link.Parallel p) p.branches().forEach(b -> all.addAll(of(b.links())));
            all.add(link);
        }
        return all;
    }

    /** A second step of the same name is called {@code name 2}. */
    static List<String> names(List<Link> steps) {
        return IntStream.range(0, steps.size()).mapToObj(i -> count(steps, i) == 1 ? steps.get(i).name() : counted(steps, i)).toList();
    }

    /** Every way to call one of these steps. */
    static List<String> ways(List<Link> steps) {
        return Stream.concat(names(steps).stream(), IntStream.range(0, steps.size()).mapToObj(i -> counted(steps, i))).toList();
    }

    /**
     * A step among others.
     *
     * @param name what it is called, be others called so or not
     * @param kind its word
     * @param way how it alone is called
     */
    record Called(String name, String kind, String way) {}

    static List<Called> called(List<Link> steps) {
        List<String> names = names(steps);
        return IntStream.range(0, steps.size()).mapToObj(i -> new Called(steps.get(i).name(), kind(steps.get(i)), names.get(i))).toList();
    }

    private static String kind(Link link) {
        return link instanceof Link.Use use ? use.step().word() : Routing.PARALLEL;
    }

    /** Of a number that is too high: how many have that name, and how those of the kind are called, some of which may have names of their own. */
    static Optional<String> tooHigh(String said, List<Called> steps) {
        Matcher numbered = NUMBERED.matcher(said);
        if (!numbered.matches()) return Optional.empty();
        String name = numbered.group(1);
        List<Called> named = steps.stream().filter(s -> s.name.equals(name)).toList();
        List<String> kin = steps.stream().filter(s -> s.kind.equals(named.isEmpty() ? name : named.get(0).kind)).map(Called::way).toList();
        if (kin.isEmpty()) return Optional.empty();
        String count = named.isEmpty() ? "no step is" : named.size() == 1 ? "1 step is" : named.size() + " steps are";
        return Optional.of(": " + count + " called '" + name + "'"
                + (kin.size() == named.size() && kin.size() == 1 ? "" : "; of that kind there " + (kin.size() == 1 ? "is " : "are ") + String.join(", ", kin)));
    }

    /** Which of these steps is meant, or -1: the first of several goes by its bare name, and may be counted as the others are. */
    static int which(List<Link> steps, String said) {
        int way = ways(steps).indexOf(said);
        return way < 0 ? way : way % steps.size();
    }

    private static String counted(List<Link> steps, int i) {
        return counted(steps.get(i).name(), count(steps, i));
    }

    /** The step of a name by its number. */
    static String counted(String name, int n) {
        return name + " " + n;
    }

    private static int count(List<Link> steps, int i) {
        return (int) steps.subList(0, i + 1).stream().filter(s -> s.name().equals(steps.get(i).name())).count();
    }

    static List<Link> replaced(List<Link> links, Link old, Link with) {
        List<Link> all = new ArrayList<>();
        for (Link link : links) {
            if (link == old) all.add(with);
            else if (link instanceof Link.Parallel p) all.add(new Link.Parallel(p.name(), p.at(), p.mix(),
                    p.branches().stream().map(b -> new Link.Branch(b.at(), b.level(), replaced(b.links(), old, with))).toList()));
            else all.add(link);
        }
        return all;
    }

    static Values copy(Values values) {
        return copy(values, Set.of());
    }

    /** But for these settings, which are as if nobody gave them. */
    static Values copy(Values values, Set<Setting> but) {
        Values copy = new Values(values.settings());
        values.place().ifPresent(copy::place);
        for (Setting s : values.settings().all()) {
            if (but.contains(s)) continue;
            values.place(s).ifPresent(at -> copy.place(s, at));
            if (!values.given(s)) continue;
            if (s instanceof Quantity q) copy.put(q, values.get(q).orElseThrow());
            else if (s instanceof Choice<?> c) copy.put(c, values.get(c));
            else if (s instanceof Text<?> t) copy.put(t, values.get(t));
            else if (s instanceof Series q) copy.put(q, values.get(q));
            else if (s instanceof Group g) copy.put(g, values.get(g));
        }
        return copy;
    }

    /** {@code band} for {@code bands}. */
    static String one(Setting list) {
        return list.name().replaceFirst("s$", "");
    }

    static String cut(String word) {
        return word.length() > 40 ? word.substring(0, 40) + "…" : word;
    }
}
