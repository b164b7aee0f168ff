package linnet.plan;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import linnet.song.Song;
import linnet.step.Prepared;

/**
 * Plans what a selection of parts has of each group and return: its share in what the chain makes of everything that goes in. Where a chain cannot
 * be shared out, a group's parts are taken as they go into it, and a return is fed with the selection alone; both are noted.
 */
final class SharePlanner {
    private final Desk desk;
    private final Map<String, Set<String>> members = new LinkedHashMap<>();
    private final List<String> returnWorks;
    /** Shares that are wanted, by group or return. */
    private final Map<String, Set<Selection>> wanted = new LinkedHashMap<>();
    private final Map<String, Map<Selection, Work.Source>> planned = new HashMap<>();
    private final List<String> notes = new ArrayList<>();

    SharePlanner(Desk desk) {
        this.desk = desk;
        for (Song.Group g : desk.song().groups()) {
            Set<String> names = new LinkedHashSet<>();
            g.parts().forEach(p -> names.add(p.text()));
            members.put(g.name().text(), names);
        }
        returnWorks = desk.returnWorks();
    }

    /** To be called for all selections before {@link #plan}. */
    void want(String strip, Selection s) {
        if (members.containsKey(strip) && isPart(members.get(strip), s)) {
            wanted.computeIfAbsent(strip, k -> new LinkedHashSet<>()).add(s);
        } else if (returnWorks.contains(strip)) {
            List<Desk.Fed> fed = fed(strip, s);
            fed.forEach(f -> want(f.from(), s));
            boolean whole = fed.size() == desk.fed(strip).size()
                    && fed.stream().noneMatch(f -> members.containsKey(f.from()) && isPart(members.get(f.from()), s));
            if (!fed.isEmpty() && !whole) wanted.computeIfAbsent(strip, k -> new LinkedHashSet<>()).add(s);
        }
    }

    private static boolean isPart(Set<String> members, Selection s) {
        return members.stream().anyMatch(s.parts()::contains) && !s.parts().containsAll(members);
    }

    /** Of what flows into a return, that in which something of the selection is. */
    private List<Desk.Fed> fed(String work, Selection s) {
        return desk.fed(work).stream().filter(f -> (f.thrown() || !s.throwsOnly()) && has(f.from(), s)).toList();
    }

    private boolean has(String strip, Selection s) {
        return members.containsKey(strip) ? members.get(strip).stream().anyMatch(s.parts()::contains) : s.parts().contains(strip);
    }

    void plan() {
        for (String group : members.keySet()) {
            if (!wanted.containsKey(group)) continue;
            Work work = desk.work(group);
            Map<Selection, List<Work.Tap>> shares = new LinkedHashMap<>();
            for (Selection s : wanted.get(group)) {
                List<Work.Tap> taps = new ArrayList<>();
                int m = 0;
                for (String part : members.get(group)) {
                    Work.Tap tap = work.input().get(m++);
                    if (s.parts().contains(part)) taps.add(tap);
                }
                shares.put(s, taps);
            }
            List<Node> alone = unshared(work.chain());
            if (alone.isEmpty()) {
                share(work, work.chain(), shares);
            } else {
                notes.add(group + ": parts of it are printed as they go into it, because what '" + alone.get(0).name()
                        + "' makes of the group cannot be shared out among them: they do not add up to it");
                share(work, work.chain().upTo(work.chain().nodes().get(0)), shares);
            }
        }
        for (String name : returnWorks) {
            if (!wanted.containsKey(name)) continue;
            Work work = desk.work(name);
            Map<Selection, List<Work.Tap>> shares = new LinkedHashMap<>();
            for (Selection s : wanted.get(name)) shares.put(s, fed(name, s).stream().map(f -> source(f.from(), s).map(f::of).orElse(f).tap()).toList());
            List<Node> alone = unshared(work.chain());
            if (alone.isEmpty()) {
                share(work, work.chain(), shares);
            } else {
                notes.add(name + ": where not all that is sent there is wanted, what is wanted is sent alone, because what '" + alone.get(0).name()
                        + "' makes of it all cannot be shared out: such prints do not add up to the mix");
                shares.forEach((s, taps) ->
                        put(name, s, new Work.Source.Made(desk.add("part of " + name, taps, work.channels(), work.chain(), List.of()).id())));
            }
        }
    }

    private void share(Work of, Plan chain, Map<Selection, List<Work.Tap>> shares) {
        // Several selections may have the same of it.
        List<List<Work.Tap>> each = List.copyOf(new LinkedHashSet<>(shares.values()));
        Work made = desk.add("parts of " + of.name(), of.input(), of.channels(), chain, each);
        shares.forEach((s, taps) -> put(of.name(), s, new Work.Source.Made(made.id(), each.indexOf(taps))));
    }

    private void put(String strip, Selection s, Work.Source source) {
        planned.computeIfAbsent(strip, k -> new HashMap<>()).put(s, source);
    }

    /** The share, where it is neither all nor nothing. */
    private Optional<Work.Source> source(String strip, Selection s) {
        return Optional.ofNullable(planned.getOrDefault(strip, Map.of()).get(s));
    }

    /** What the selection has of a part, group or return in the mix; empty if nothing. */
    Optional<Work.Tap> of(String strip, Selection s) {
        Optional<Work.Source> source = source(strip, s);
        if (source.isPresent()) return Optional.of(desk.tap(source.get(), strip));
        boolean some = returnWorks.contains(strip) ? !fed(strip, s).isEmpty() : !s.throwsOnly() && has(strip, s);
        return some ? Optional.of(desk.tap(strip)) : Optional.empty();
    }

    /** Steps of which a sum does not get the sum. */
    static List<Node> unshared(Plan chain) {
        return chain.steps().stream().filter(n -> n.work().orElseThrow().prepared().sharing() == Prepared.Sharing.NONE).toList();
    }

    List<String> notes() {
        return notes;
    }

    Set<String> members(String group) {
        return members.getOrDefault(group, new HashSet<>());
    }
}
