package linnet.plan;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import linnet.chain.Chain;
import linnet.chain.Link;
import linnet.dsp.filter.Biquad;
import linnet.setting.Group;
import linnet.setting.Quantity;
import linnet.setting.Setting;
import linnet.setting.Unit;
import linnet.setting.Value;
import linnet.setting.Values;
import linnet.song.Timeline;
import linnet.step.FixedValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.Span;

/** Turns a chain into a plan for a take of a given rate and number of channels. */
public final class Planner {
    private static final String NO_TEMPO = " needs a tempo: add 'tempo: 96 bpm' at the top of the chain, or say --tempo",
            NO_STEADY_TEMPO = " needs a tempo, and that of this song changes: ";

    private final double rate;
    private final OptionalDouble tempo;
    private final Optional<Timeline> changing;
    private final Problems problems = new Problems();
    private final List<Node> nodes = new ArrayList<>();
    /** The all-passes that what leaves each node has gone through since the take. */
    private final List<List<Biquad>> turned = new ArrayList<>();
    private final Map<String, Integer> uses = new HashMap<>();

    private Planner(double rate, OptionalDouble tempo, Optional<Timeline> changing) {
        this.rate = rate;
        this.tempo = tempo;
        this.changing = changing;
    }

    /**
     * Plans a chain.
     *
     * @param tempo overrides those that go with the steps
     * @throws ProblemsException if the chain cannot be used at this rate or without a tempo
     */
    public static Plan plan(Chain chain, double rate, int channels, OptionalDouble tempo) throws ProblemsException {
        return new Planner(rate, tempo, Optional.empty()).plan(chain, channels);
    }

    /**
     * Plans a chain of a song.
     *
     * @param time of the song; its tempo is that of its chains, where it has only one
     * @throws ProblemsException if the chain cannot be used at this rate or without a tempo
     */
    static Plan ofSong(Chain chain, double rate, int channels, Timeline time) throws ProblemsException {
        OptionalDouble steady = time.steadyBpm();
        return new Planner(rate, steady, steady.isPresent() ? Optional.empty() : Optional.of(time)).plan(chain, channels);
    }

    private Plan plan(Chain chain, int channels) throws ProblemsException {
        nodes.add(new Node(0, "take", List.of(), channels, 0, 0, 0, Optional.empty(), List.of()));
        turned.add(List.of());
        links(chain.links(), 0);
        problems.check();
        return new Plan(rate, nodes);
    }

    /** Plans links one after the other; returns the last node. */
    private int links(List<Link> links, int from) {
        int at = from;
        for (Link link : links) at = link instanceof Link.Use use ? use(use, at) : parallel((Link.Parallel) link, at);
        return at;
    }

    private int use(Link.Use use, int from) {
        double bpm = tempo.orElse(use.tempo().orElse(0));
        if (!timesAreKnown(use.values(), bpm, use.at())) return from;
        Node source = nodes.get(from);
        Prepared prepared = use.step().prepare(new FixedValues(use.values(), bpm), new Setup(rate, source.channels()));
        Node.Work work = new Node.Work(use, bpm, prepared);
        int stage = source.stage() + (work.hears() ? 1 : 0);
        int id = add(numbered(use.name()), List.of(new Feed(from, 0, new Level.Unity())), prepared.channels(), source.departure(), prepared.latency(), stage,
                Optional.of(work), List.of());
        turned.add(together(turned.get(from), prepared.turn()));
        Value mix = use.mix().orElse(new Value.Amount(use.step().usualMix()));
        return mixed(mix, from, id, use.name());
    }

    private int parallel(Link.Parallel parallel, int from) {
        List<Integer> ends = new ArrayList<>();
        List<Level> levels = new ArrayList<>();
        for (Link.Branch branch : parallel.branches()) {
            ends.add(links(branch.links(), from));
            levels.add(isAlways(branch.level(), 0) ? new Level.Unity() : new Level.Branch(branch.level()));
        }
        return mixed(parallel.mix().orElse(new Value.Amount(100)), from, sum(numbered(parallel.name()), ends, levels), parallel.name());
    }

    private static boolean isAlways(Value value, double amount) {
        return value instanceof Value.Amount a && a.value() == amount;
    }

    private int mixed(Value mix, int dry, int wet, String name) {
        if (isAlways(mix, 100)) return wet;
        return sum(numbered(name + " mix"), List.of(dry, wet), List.of(new Level.Dry(mix), new Level.Wet(mix)));
    }

    /** Adds up what leaves some nodes, each delayed to the latest and turned in phase as the others are. */
    private int sum(String name, List<Integer> ends, List<Level> levels) {
        int arrival = ends.stream().mapToInt(e -> nodes.get(e).departure()).max().orElseThrow();
        int channels = ends.stream().mapToInt(e -> nodes.get(e).channels()).max().orElseThrow();
        int stage = ends.stream().mapToInt(e -> nodes.get(e).stage()).max().orElseThrow();
        List<Biquad> all = List.of();
        for (int end : ends) all = together(all, without(turned.get(end), all));
        List<Feed> feeds = new ArrayList<>();
        for (int i = 0; i < ends.size(); i++) {
            int end = turned(ends.get(i), all, stage);
            feeds.add(new Feed(end, arrival - nodes.get(end).departure(), levels.get(i)));
        }
        int id = add(name, feeds, channels, arrival, 0, stage, Optional.empty(), List.of());
        turned.add(all);
        return id;
    }

    /** What leaves a node, through those of some all-passes that it has not gone through yet. */
    private int turned(int end, List<Biquad> all, int stage) {
        List<Biquad> missing = without(all, turned.get(end));
        if (missing.isEmpty()) return end;
        Node node = nodes.get(end);
        int id = add(numbered(node.name() + " turned"), List.of(new Feed(end, 0, new Level.Unity())), node.channels(), node.departure(), 0, stage,
                Optional.empty(), missing);
        turned.add(all);
        return id;
    }

    private static List<Biquad> together(List<Biquad> some, List<Biquad> others) {
        return Stream.concat(some.stream(), others.stream()).toList();
    }

    /** One that comes twice is taken out once for each time it comes in the others. */
    private static List<Biquad> without(List<Biquad> some, List<Biquad> others) {
        List<Biquad> left = new ArrayList<>(some);
        others.forEach(left::remove);
        return left;
    }

    private int add(String name, List<Feed> feeds, int channels, int arrival, int latency, int stage, Optional<Node.Work> work, List<Biquad> turn) {
        nodes.add(new Node(nodes.size(), name, feeds, channels, arrival, latency, stage, work, turn));
        return nodes.size() - 1;
    }

    private String numbered(String name) {
        int n = uses.merge(name, 1, Integer::sum);
        return n == 1 ? name : name + " " + n;
    }

    /** Note values need a tempo, and must lie in range at it. */
    private boolean timesAreKnown(Values values, double bpm, Span link) {
        boolean known = true;
        for (Setting s : values.settings().all()) {
            if (s instanceof Quantity q) {
                Span at = values.place(q).orElse(link);
                known &= values.get(q).map(v -> isKnown(q, v, bpm, at)).orElse(true);
            } else if (s instanceof Group g) {
                for (Values entry : values.get(g)) known &= timesAreKnown(entry, bpm, link);
            }
        }
        return known;
    }

    private boolean isKnown(Quantity q, Value value, double bpm, Span at) {
        if (value instanceof Value.Curve c) return c.points().stream().allMatch(p -> isKnown(q, p, bpm, at));
        return isKnown(q, new Value.Point(0, value), bpm, at);
    }

    /** What a move goes to is told where the move is. */
    private boolean isKnown(Quantity q, Value.Point point, double bpm, Span setting) {
        Value value = point.value();
        Span at = point.said().orElse(setting);
        double by = value instanceof Value.Shifted s ? s.by() : 0;
        if (!((value instanceof Value.Shifted s ? s.base() : value) instanceof Value.Notes n)) return true;
        if (bpm == 0) {
            problems.report(at, n.text() + changing.map(t -> NO_STEADY_TEMPO + steadied(q, n, point, t)).orElse(NO_TEMPO));
            return false;
        }
        double seconds = n.seconds(bpm) + (q.unit() == Unit.SECONDS ? by : by / 1000);
        if (q.inRange(q.unit() == Unit.SECONDS ? seconds : seconds * 1000)) return true;
        problems.report(at, n.text() + (by == 0 ? "" : q.difference(by)) + " is " + Unit.MS.format(seconds * 1000) + " at " + Unit.BPM.format(bpm) + ": "
                + q.name() + " is outside " + q.rangeText());
        return false;
    }

    /** What to write in a song of several tempos. A move lies at one of them. */
    private static String steadied(Quantity q, Value.Notes notes, Value.Point point, Timeline time) {
        double bpm = time.bpm(point.seconds());
        String file = "put the one it goes by, such as 'tempo: " + Unit.BPM.format(bpm) + "', at the top of a chain file with these steps";
        if (point.said().isEmpty()) return file + ", or give the time in ms";
        double seconds = notes.seconds(bpm);
        String there = q.unit() == Unit.SECONDS ? q.unit().format(seconds) : Unit.MS.format(1000 * seconds);
        return "say 'to " + there + "' for the " + Unit.BPM.format(bpm) + " there, or " + file;
    }
}
