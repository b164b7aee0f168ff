package linnet.plan;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import linnet.song.Song;
import linnet.step.Prepared;
import linnet.text.Problems;
import linnet.text.ProblemsException;

/**
 * Plans what is printed. The <em>stems</em> of a song are its groups, the parts in no group, its returns and the instrumental: together they are all
 * that goes into the mix. Each print but the mix is given the share that it has in what the chain of the mix makes of that, so stems add up to the mix.
 */
final class PrintPlanner {
    static final String MIX = "mix", VOCALS = "vocals", INSTRUMENTAL = "instrumental";

    /** What the planner of the works knows of them. */
    interface Strips {
        /** A work at its own level and place. */
        Work.Tap tap(String name);

        /** Another sound at the level and place of a work. */
        Work.Tap tap(Work.Source source, String at);

        /** The work of that name. */
        Work work(String name);

        /** One more work. */
        Work add(String name, List<Work.Tap> input, int channels, Plan chain, List<List<Work.Tap>> shares);
    }

    private final Song song;
    private final Strips strips;
    /** Group of each part that has one. */
    private final Map<String, Song.Group> groupOf = new HashMap<>();
    private final List<String> notes = new ArrayList<>();
    private final Map<String, Work.Tap> members = new HashMap<>();

    PrintPlanner(Song song, Strips strips) {
        this.song = song;
        this.strips = strips;
        for (Song.Group g : song.groups()) g.parts().forEach(p -> groupOf.put(p.text(), g));
    }

    /** The stems, in the order of the song. */
    List<String> stems() {
        List<String> stems = new ArrayList<>();
        song.parts().stream().map(p -> p.name().text()).filter(p -> !groupOf.containsKey(p)).forEach(stems::add);
        song.instrumental().ifPresent(i -> stems.add(i.name().text()));
        song.groups().forEach(g -> stems.add(g.name().text()));
        song.returns().forEach(r -> stems.add(r.name().text()));
        return stems;
    }

    private List<Work.Tap> sum(List<String> names) {
        return names.stream().map(strips::tap).toList();
    }

    /** @param chain of the mix */
    SongPlan plan(double rate, long least, List<Work> works, Plan chain) throws ProblemsException {
        List<String> stems = stems();
        List<SongPlan.SongPrint> prints = new ArrayList<>();
        shareMembers();
        for (Song.Wanted w : song.prints()) {
            String name = w.name().text();
            List<Work.Tap> sum = switch (name) {
                case MIX -> List.of();
                case VOCALS -> sum(stems.stream().filter(s -> !s.equals(INSTRUMENTAL)).toList());
                default -> List.of(members.containsKey(name) ? members.get(name) : strips.tap(name));
            };
            prints.add(new SongPlan.SongPrint(name, sum, 2, 0, name.equals(MIX)));
        }
        check(chain, prints);
        return new SongPlan(rate, least, works, List.of(new SongPlan.Bus(sum(stems), chain)), prints, notes);
    }

    /** Members of a group that are printed by themselves get their share in what its chain makes of them all. */
    private void shareMembers() {
        for (Song.Group g : song.groups()) {
            Work group = strips.work(g.name().text());
            Map<String, Work.Tap> wanted = new LinkedHashMap<>();
            for (int m = 0; m < g.parts().size(); m++) {
                String part = g.parts().get(m).text();
                if (song.prints().stream().anyMatch(w -> w.name().text().equals(part))) wanted.put(part, group.input().get(m));
            }
            if (wanted.isEmpty()) continue;
            List<Node> alone = unshared(group.chain());
            Plan chain = alone.isEmpty() ? group.chain() : group.chain().upTo(group.chain().nodes().get(0));
            if (!alone.isEmpty()) {
                notes.add(String.join(", ", wanted.keySet()) + ": printed as " + (wanted.size() == 1 ? "it goes" : "they go") + " into '" + group.name() + "', because what '" + alone.get(0).name()
                        + "' makes of the group cannot be shared out among its parts");
            }
            Work shares = strips.add("parts of " + group.name(), group.input(), group.channels(), chain, wanted.values().stream().map(List::of).toList());
            int share = 0;
            for (String part : wanted.keySet()) members.put(part, strips.tap(new Work.Source.Made(shares.id(), share++), group.name()));
        }
    }

    /** Steps of which a sum does not get the sum. */
    private static List<Node> unshared(Plan chain) {
        return chain.steps().stream().filter(n -> n.work().orElseThrow().prepared().sharing() == Prepared.Sharing.NONE).toList();
    }

    private void check(Plan chain, List<SongPlan.SongPrint> prints) throws ProblemsException {
        List<String> shares = prints.stream().filter(p -> !p.whole()).map(SongPlan.SongPrint::name).toList();
        if (shares.isEmpty()) return;
        Problems problems = new Problems();
        for (Node n : unshared(chain)) {
            problems.report(n.work().orElseThrow().use().at(), "what '" + n.name() + "' makes of the mix cannot be shared out, so that " + (shares.size() == 1 ? "the print '" + shares.get(0) + "' is no part"
                    : shares.size() + " prints (" + String.join(", ", shares.subList(0, Math.min(3, shares.size()))) + (shares.size() > 3 ? ", …" : "") + ") are no parts")
                    + " of it: print the mix alone, or put this step into the chains of parts and groups");
        }
        problems.check();
    }
}
