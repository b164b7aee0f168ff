package linnet.plan;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import linnet.song.Song;

/** Plans the song as it is with something turned up or down, with all that this moves: what it sends, and the groups and returns that it is heard in. */
final class VariantPlanner {
    private final Desk desk;
    private final String turned;
    private final double db;
    private final Set<String> members;
    /** Works that are made anew, by name. */
    private final Map<String, Work.Source> anew = new HashMap<>();

    /**
     * @param turned a part, group, return or the instrumental
     * @param members of it, where it is a group
     */
    VariantPlanner(Desk desk, String turned, double db, Set<String> members) {
        this.desk = desk;
        this.turned = turned;
        this.db = db;
        this.members = members;
    }

    /** Those stems as they are then, in their order. */
    List<Work.Tap> stems(List<String> names) {
        for (Song.Group g : desk.song().groups()) {
            if (g.parts().stream().noneMatch(p -> p.text().equals(turned))) continue;
            Work work = desk.work(g.name().text());
            List<Work.Tap> input = new ArrayList<>();
            for (int m = 0; m < g.parts().size(); m++) input.add(g.parts().get(m).text().equals(turned) ? louder(work.input().get(m), db) : work.input().get(m));
            again(work, input);
        }
        for (Song.Return r : desk.song().returns()) {
            List<Work.Tap> input = new ArrayList<>();
            boolean other = false;
            for (Desk.Fed f : desk.fed(r.name().text())) {
                boolean sent = f.from().equals(turned) || members.contains(f.from());
                Work.Tap tap = anew.containsKey(f.from()) ? f.of(anew.get(f.from())).tap() : f.tap();
                other |= sent || anew.containsKey(f.from());
                input.add(sent ? louder(tap, db) : tap);
            }
            if (other) again(desk.work(r.name().text()), input);
        }
        List<Work.Tap> stems = new ArrayList<>();
        for (String name : names) {
            Work.Tap tap = anew.containsKey(name) ? desk.tap(anew.get(name), name) : desk.tap(name);
            stems.add(name.equals(turned) ? louder(tap, db) : tap);
        }
        return stems;
    }

    private void again(Work work, List<Work.Tap> input) {
        anew.put(work.name(), new Work.Source.Made(desk.add(work.name() + " with " + turned + (db > 0 ? " up" : " down"), input, work.channels(), work.chain(), List.of()).id()));
    }

    static Work.Tap louder(Work.Tap tap, double db) {
        return new Work.Tap(tap.source(), tap.level().plus(db), tap.pan());
    }
}
