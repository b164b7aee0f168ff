package linnet.plan;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import linnet.song.Song;
import linnet.text.Problems;
import linnet.text.ProblemsException;

/**
 * Plans what is printed. The <em>stems</em> of a song are its groups, the parts in no group, its returns and the instrumental: together they are all
 * that goes into the mix. Each print but the mixes, what is without bus and what is dry is given the share that it has in what the chain of the mix makes of
 * that, so stems add up to the mix; without bus they are what goes into that chain, and add up to the mix without it.
 */
final class PrintPlanner {
    private static final String VOCALS = "vocals", INSTRUMENTAL = "instrumental";
    private static final int SHOWN = 3;

    private final Desk desk;
    private final Song song;
    private final double rate;
    private final SharePlanner shares;
    private final List<String> stems = new ArrayList<>();
    private final Set<String> all = new HashSet<>();
    private final List<SongPlan.Bus> buses = new ArrayList<>();
    /** The one without a chain; -1 where none is needed so far. */
    private int bare = -1;

    PrintPlanner(Desk desk, double rate) {
        this.desk = desk;
        this.song = desk.song();
        this.rate = rate;
        shares = new SharePlanner(desk);
        Set<String> grouped = new HashSet<>();
        song.groups().forEach(g -> g.parts().forEach(p -> grouped.add(p.text())));
        for (Song.Part p : SongPlanner.parts(song)) {
            all.add(p.name().text());
            if (!grouped.contains(p.name().text())) stems.add(p.name().text());
        }
        song.groups().forEach(g -> stems.add(g.name().text()));
        song.returns().forEach(r -> stems.add(r.name().text()));
    }

    SongPlan plan(long least, List<Work> works) throws ProblemsException {
        Plan chain = desk.plan(song.mix());
        buses.add(new SongPlan.Bus(sum(stems), chain, sum(stems)));
        for (Song.Wanted w : song.prints()) for (Part p : parts(w.content())) shares.want(p.strip, p.selection);
        for (Song.Wanted w : song.prints()) if (w.content() instanceof Song.Content.Turned t && !t.name().equals(VOCALS)) variant(t).want(all);
        shares.plan();
        List<SongPlan.SongPrint> prints = new ArrayList<>();
        for (Song.Wanted w : song.prints()) prints.add(print(w));
        check(chain, prints);
        return new SongPlan(rate, least, works, buses, prints, stems, shares.notes());
    }

    private List<Work.Tap> sum(List<String> names) {
        return works(names).map(desk::tap).toList();
    }

    private Stream<String> works(List<String> names) {
        return names.stream().flatMap(n -> desk.works(n).stream());
    }

    private List<String> voices() {
        return stems.stream().filter(s -> !s.equals(INSTRUMENTAL)).toList();
    }

    /** What a selection has of a part, group or return. */
    private record Part(String strip, Selection selection) {}

    /** What a print that is a share of the mix is put together from. */
    private List<Part> parts(Song.Content content) {
        if (content instanceof Song.Content.Vocals) return of(voices(), Selection.of(all));
        if (content instanceof Song.Content.Throws) return of(returns(), new Selection(all, true));
        if (content instanceof Song.Content.Strip s) return stems.contains(s.name()) ? of(List.of(s.name()), Selection.of(all)) : member(s.name());
        if (content instanceof Song.Content.Wet w) {
            Set<String> own = parts(w.name());
            List<Part> parts = new ArrayList<>(stems.contains(w.name()) ? of(List.of(w.name()), Selection.of(own)) : member(w.name()));
            parts.addAll(of(returns(), Selection.of(own)));
            return parts;
        }
        if (content instanceof Song.Content.Without w) {
            List<String> whole = w.vocals() ? voices() : stems;
            if (returns().contains(w.name())) return of(whole.stream().filter(s -> !s.equals(w.name())).toList(), Selection.of(all));
            Set<String> others = new HashSet<>(all);
            others.removeAll(parts(w.name()));
            return of(whole, Selection.of(others));
        }
        return List.of();
    }

    private List<Part> of(List<String> strips, Selection selection) {
        return works(strips).map(s -> new Part(s, selection)).toList();
    }

    /** A part of a group, as its share in what the chain of the group makes of them all. */
    private List<Part> member(String part) {
        return song.groups().stream().filter(g -> g.parts().stream().anyMatch(p -> p.text().equals(part)))
                .map(g -> new Part(g.name().text(), Selection.of(Set.of(part)))).toList();
    }

    private List<String> returns() {
        return song.returns().stream().map(r -> r.name().text()).toList();
    }

    /** The parts that a name stands for. */
    private Set<String> parts(String name) {
        if (name.equals(VOCALS)) return new HashSet<>(song.parts().stream().map(p -> p.name().text()).toList());
        Set<String> members = shares.members(name);
        return members.isEmpty() ? Set.of(name) : members;
    }

    private SongPlan.SongPrint print(Song.Wanted w) throws ProblemsException {
        Song.Content content = w.content();
        if (content instanceof Song.Content.Mix m) return whole(w, m.bus() ? 0 : bare());
        if (content instanceof Song.Content.Turned t) return whole(w, bus(turned(t), buses.get(0).chain()));
        if (content instanceof Song.Content.Dry d) return alone(w, d.part(), " dry", desk.mended(d.part()));
        if (content instanceof Song.Content.Untuned u) return alone(w, u.part(), " untuned", desk.untouched(u.part()));
        List<Work.Tap> sum = parts(content).stream().flatMap(p -> shares.of(p.strip, p.selection).stream()).toList();
        return made(w, sum, 2, content.bus() ? 0 : bare(), false);
    }

    /** What goes into a part, through a chain of its own, at no fader and through no bus. */
    private SongPlan.SongPrint alone(Song.Wanted w, String name, String how, Plan chain) {
        Work part = desk.work(name), work = desk.add(name + how, part.input(), part.channels(), chain, List.of());
        Work.Tap tap = new Work.Tap(new Work.Source.Made(work.id()), Work.Course.of(0), new Work.Pan(true, Work.Course.of(0)));
        return made(w, List.of(tap), chain.output().channels(), bare(), false);
    }

    private List<Work.Tap> turned(Song.Content.Turned t) {
        if (!t.name().equals(VOCALS)) return variant(t).stems(works(stems).toList(), all);
        return works(stems).map(s -> s.equals(INSTRUMENTAL) ? desk.tap(s) : VariantPlanner.louder(desk.tap(s), t.db())).toList();
    }

    private VariantPlanner variant(Song.Content.Turned t) {
        return new VariantPlanner(desk, shares, t.name(), t.db());
    }

    private SongPlan.SongPrint whole(Song.Wanted w, int bus) {
        return made(w, List.of(), 2, bus, true);
    }

    private SongPlan.SongPrint made(Song.Wanted w, List<Work.Tap> sum, int channels, int bus, boolean whole) {
        long from = w.range().map(r -> Math.round(r.from() * rate)).orElse(0L);
        long to = w.range().map(r -> Math.round(r.to() * rate)).orElse(Long.MAX_VALUE); // an end without bound is the largest there is
        return new SongPlan.SongPrint(w.called(), sum, channels, bus, whole, from, to);
    }

    private int bus(List<Work.Tap> input, Plan chain) {
        buses.add(new SongPlan.Bus(input, chain, buses.get(0).input()));
        return buses.size() - 1;
    }

    private int bare() {
        Plan chain = buses.get(0).chain();
        if (bare < 0) bare = bus(buses.get(0).input(), chain.upTo(chain.nodes().get(0)));
        return bare;
    }

    private void check(Plan chain, List<SongPlan.SongPrint> prints) throws ProblemsException {
        List<String> shares = prints.stream().filter(p -> !p.whole() && p.bus() == 0).map(SongPlan.SongPrint::name).toList();
        if (shares.isEmpty()) return;
        Problems problems = new Problems();
        for (Node n : SharePlanner.unshared(chain)) {
            problems.report(n.work().orElseThrow().use().at(), "what '" + n.name() + "' makes of the mix cannot be shared out, so that "
                    + (shares.size() == 1 ? "the print '" + shares.get(0) + "' is no part"
                    : shares.size() + " prints (" + String.join(", ", shares.subList(0, Math.min(SHOWN, shares.size()))) + (shares.size() > SHOWN ? ", …" : "")
                            + ") are no parts")
                    + " of it: print the mix alone, or 'stems without bus', or put this step into the chains of parts and groups");
        }
        problems.check();
    }
}
