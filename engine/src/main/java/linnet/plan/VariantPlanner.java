package linnet.plan;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import linnet.song.Song;
import linnet.step.Prepared;

/**
 * Plans the song as it is with something turned up or down, with all that this moves: what it sends, and the groups and returns that it is heard in. What a
 * return makes of it is turned where that is the same, and made anew where it is not.
 */
final class VariantPlanner {
    private final Desk desk;
    private final SharePlanner shares;
    private final String turned;
    private final double db;
    private final Set<String> members;
    /** Works that are made anew, by name. */
    private final Map<String, Work.Source> anew = new HashMap<>();

    /**
     * @param turned a part, group, return or the instrumental
     * @param shares that know of what {@link #want} asks for
     */
    VariantPlanner(Desk desk, SharePlanner shares, String turned, double db) {
        this.desk = desk;
        this.shares = shares;
        this.turned = turned;
        this.db = db;
        members = shares.members(turned);
    }

    /** Asks for what will be turned in the returns. To be called before the shares are planned. */
    void want(Set<String> all) {
        for (String r : desk.returnWorks()) if (turns(r)) for (Selection s : List.of(own(), others(all))) shares.want(r, s);
    }

    private Selection own() {
        return Selection.of(members.isEmpty() ? Set.of(turned) : members);
    }

    private Selection others(Set<String> all) {
        Set<String> others = new HashSet<>(all);
        others.removeAll(own().parts());
        return Selection.of(others);
    }

    /** Whether what a return makes of a sum is the sum of what it makes of each, and what is turned flows into it as it is. */
    private boolean turns(String work) {
        boolean linear = desk.work(work).chain().steps().stream().allMatch(n -> n.work().orElseThrow().prepared().sharing() == Prepared.Sharing.LINEAR);
        return linear && desk.fed(work).stream().noneMatch(f -> shares.members(f.from()).contains(turned)) && desk.fed(work).stream().anyMatch(this::isSent);
    }

    private boolean isSent(Desk.Fed fed) {
        return fed.from().equals(turned) || members.contains(fed.from());
    }

    /** Those works as they are then, in their order. */
    List<Work.Tap> stems(List<String> names, Set<String> all) {
        for (Song.Group g : desk.song().groups()) {
            if (g.parts().stream().noneMatch(p -> p.text().equals(turned))) continue;
            Work work = desk.work(g.name().text());
            List<Work.Tap> input = new ArrayList<>();
            for (int m = 0; m < g.parts().size(); m++) {
                input.add(g.parts().get(m).text().equals(turned) ? louder(work.input().get(m), db) : work.input().get(m));
            }
            again(work, input);
        }
        for (String r : desk.returnWorks()) {
            if (turns(r)) continue;
            List<Work.Tap> input = new ArrayList<>();
            boolean other = false;
            for (Desk.Fed f : desk.fed(r)) {
                boolean sent = isSent(f);
                Work.Tap tap = anew.containsKey(f.from()) ? f.of(anew.get(f.from())).tap() : f.tap();
                other |= sent || anew.containsKey(f.from());
                input.add(sent ? louder(tap, db) : tap);
            }
            if (other) again(desk.work(r), input);
        }
        List<Work.Tap> stems = new ArrayList<>();
        for (String name : names) {
            if (desk.returnWorks().contains(name) && turns(name)) {
                shares.of(name, own()).ifPresent(t -> stems.add(louder(t, db)));
                shares.of(name, others(all)).ifPresent(stems::add);
                continue;
            }
            Work.Tap tap = anew.containsKey(name) ? desk.tap(anew.get(name), name) : desk.tap(name);
            stems.add(desk.works(turned).contains(name) ? louder(tap, db) : tap);
        }
        return stems;
    }

    private void again(Work work, List<Work.Tap> input) {
        anew.put(work.name(),
                new Work.Source.Made(desk.add(work.name() + " with " + turned + (db > 0 ? " up" : " down"), input, work.channels(), work.chain(),
                        List.of()).id()));
    }

    static Work.Tap louder(Work.Tap tap, double db) {
        return new Work.Tap(tap.source(), tap.level().plus(db), tap.pan());
    }
}
