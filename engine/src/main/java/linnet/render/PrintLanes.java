package linnet.render;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.ToIntFunction;
import java.util.stream.Collectors;
import linnet.dsp.Sound;
import linnet.plan.SongPlan;
import linnet.text.ProblemsException;

/** The prints of a song: how long they are, and which thread makes which of them. */
final class PrintLanes {
    private final SongPlan plan;
    private final Inputs inputs;
    private final List<BusRun> buses;
    private final int jobs;
    /** Where each print goes that is not there. */
    private final Map<SongPlan.SongPrint, List<Renderer.Sink>> opened = new LinkedHashMap<>();

    /**
     * @param buses of the plan, in its order
     * @param jobs how many threads there are
     */
    PrintLanes(SongPlan plan, Inputs inputs, List<BusRun> buses, int jobs) {
        this.plan = plan;
        this.inputs = inputs;
        this.buses = buses;
        this.jobs = jobs;
    }

    /** Whether all prints of a song of this length are there. */
    static boolean areThere(long frames, SongPlan plan, SongRenderer.Prints prints) throws IOException {
        for (SongPlan.SongPrint p : plan.prints()) {
            OptionalLong there = prints.there(p);
            if (there.isEmpty() || there.getAsLong() != length(p, frames)) return false;
        }
        return true;
    }

    /** The length of a print of a song of that length. */
    private static long length(SongPlan.SongPrint print, long frames) {
        return Math.min(print.to(), frames) - Math.min(print.from(), frames);
    }

    /**
     * The length of all prints: a whole number of seconds, so that a tail a little longer than before does not change every print.
     *
     * @param least where what goes into them ends
     */
    long frames(long least) throws ProblemsException, IOException {
        long last = least;
        for (BusRun bus : buses) last = Math.max(last, bus.end(least));
        return (long) (Math.ceil(last / plan.rate()) * plan.rate());
    }

    /** What is wanted of all buses, dealt out. */
    List<Lane> lanes(long frames, SongRenderer.Prints prints) throws IOException {
        List<Lane> lanes = new ArrayList<>();
        AtomicBoolean spare = new AtomicBoolean();
        for (int l = 0; l < jobs; l++) lanes.add(new Lane(frames, spare));
        for (SongPlan.SongPrint p : plan.prints()) {
            List<Renderer.Sink> sinks = prints.open(p, length(p, frames));
            if (!sinks.isEmpty()) opened.put(p, sinks);
        }
        Map<Integer, List<SongPlan.SongPrint>> byBus = opened.keySet().stream().collect(Collectors.groupingBy(SongPlan.SongPrint::bus));
        if (jobs > 1 && byBus.size() == 1 && opened.keySet().stream().allMatch(SongPlan.SongPrint::whole)) {
            int bus = byBus.keySet().iterator().next();
            Lane lane = lanes.get(0);
            lane.only(buses.get(bus).undivided(sum(bus, lane)), whole(byBus.get(bus), lane).orElseThrow(), jobs);
            return lanes;
        }
        // What is least to be divided comes first, and what is most fills up.
        byBus.keySet().stream().sorted(Comparator.comparingInt(b -> byBus.get(b).size())).forEach(b -> {
            Map<Lane, List<SongPlan.SongPrint>> dealt = dealt(byBus.get(b), lanes, SharedOut.load(plan.buses().get(b).chain()),
                    p -> p.channels() * opened.get(p).size());
            dealt.forEach((lane, own) -> {
                Optional<Renderer.Sink> whole = whole(own, lane);
                List<SongPlan.SongPrint> shares = own.stream().filter(p -> !p.whole()).toList();
                put(lane, b, whole, shares, shares.stream().map(p -> sink(p, lane)).toList());
            });
        });
        return lanes;
    }

    /**
     * Prints of one bus, on as many lanes as they are enough for, each on the one that has least to do.
     *
     * @param once what each lane has to do beside them
     * @param load of a print: its channels, as often as somebody takes them
     */
    static Map<Lane, List<SongPlan.SongPrint>> dealt(List<SongPlan.SongPrint> prints, List<Lane> lanes, int once, ToIntFunction<SongPlan.SongPrint> load) {
        Map<Lane, List<SongPlan.SongPrint>> dealt = new LinkedHashMap<>();
        List<Lane> least = lanes.stream().sorted(Comparator.comparingInt(Lane::load)).limit(prints.size()).toList();
        prints.stream().sorted(Comparator.comparingInt(load).reversed()).forEach(p -> {
            Lane lane = least.stream().min(Comparator.comparingInt(Lane::load)).orElseThrow();
            lane.load(load.applyAsInt(p) + (dealt.containsKey(lane) ? 0 : once));
            dealt.computeIfAbsent(lane, l -> new ArrayList<>()).add(p);
        });
        return dealt;
    }

    /** Where what a bus makes of the whole goes; empty where none of these prints want that. */
    private Optional<Renderer.Sink> whole(List<SongPlan.SongPrint> prints, Lane lane) {
        return prints.stream().filter(SongPlan.SongPrint::whole).map(p -> sink(p, lane)).reduce(PrintLanes::both);
    }

    /** What goes into the chain of a bus. */
    private Sound sum(int bus, Lane lane) {
        return buses.get(bus).kept().<Sound>map(k -> k).orElseGet(() -> inputs.mixture(plan.buses().get(bus).input(), 2, 0, lane::reading));
    }

    /** Where a print goes. */
    private Renderer.Sink sink(SongPlan.SongPrint print, Lane lane) {
        Renderer.Sink all = opened.get(print).stream().map(s -> lane.handing(s, print.channels())).reduce(PrintLanes::both).orElseThrow();
        return Within.of(all, print.from(), print.to());
    }

    private void put(Lane lane, int bus, Optional<Renderer.Sink> whole, List<SongPlan.SongPrint> shares, List<Renderer.Sink> sinks) {
        List<Sound> sums = shares.stream().<Sound>map(p -> inputs.mixture(p.sum(), p.channels(), 0, lane::reading)).toList();
        lane.add(buses.get(bus).sharedOut(sum(bus, lane), whole.isPresent(), sums), whole.orElse(null), sinks);
    }

    private static Renderer.Sink both(Renderer.Sink one, Renderer.Sink other) {
        return (x, n) -> {
            one.write(x, n);
            other.write(x, n);
        };
    }
}
