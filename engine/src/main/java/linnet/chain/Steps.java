package linnet.chain;

import java.util.ArrayList;
import java.util.List;
import linnet.setting.Choice;
import linnet.setting.Group;
import linnet.setting.Quantity;
import linnet.setting.Series;
import linnet.setting.Setting;
import linnet.setting.Text;
import linnet.setting.Values;

/** The steps of a chain in the order in which a plan names them. */
final class Steps {
    private static final String FIRST = " 1";

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
        List<String> names = new ArrayList<>();
        for (int i = 0; i < steps.size(); i++) {
            String name = steps.get(i).name();
            long n = steps.subList(0, i + 1).stream().filter(s -> s.name().equals(name)).count();
            names.add(n == 1 ? name : name + " " + n);
        }
        return names;
    }

    /** Which of these names is meant, or -1: the first of several goes by its bare name, and may be counted as the others are. */
    static int which(List<String> names, String said) {
        int which = names.indexOf(said);
        return which < 0 && said.endsWith(FIRST) ? names.indexOf(said.substring(0, said.length() - FIRST.length())) : which;
    }

    static List<Link> replaced(List<Link> links, Link old, Link with) {
        List<Link> all = new ArrayList<>();
        for (Link link : links) {
            if (link == old) all.add(with);
            else if (link instanceof Link.Parallel p) all.add(new Link.Parallel(p.name(), p.at(), p.mix(), p.branches().stream().map(b -> new Link.Branch(b.at(), b.level(), replaced(b.links(), old, with))).toList()));
            else all.add(link);
        }
        return all;
    }

    static Values copy(Values values) {
        Values copy = new Values(values.settings());
        values.place().ifPresent(copy::place);
        for (Setting s : values.settings().all()) {
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
