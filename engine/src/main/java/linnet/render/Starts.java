package linnet.render;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Function;
import java.util.function.Supplier;
import linnet.dsp.Excerpt;
import linnet.dsp.Sound;
import linnet.hear.Ear;
import linnet.hear.Memory;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.setting.Values;
import linnet.step.Curve;
import linnet.step.Kernel;
import linnet.step.Leader;
import linnet.step.LiveValues;
import linnet.step.Prepared;
import linnet.text.Problems;

/** Starts the kernels of a plan, each when it has heard what it must, and has what was found by that and what it cost. One thread at a time starts. */
final class Starts {
    private final Plan plan;
    private final Ear take;
    private final long at;
    private final Function<Node, Sound> left;
    private final List<Resolved> resolved = new ArrayList<>();
    private final List<Rendered.Cost> costs = new ArrayList<>();
    private final Map<Integer, Kernel> kernels = new HashMap<>();
    /** How each is started once more, with the same values; where that is wanted, as it holds all that was heard. */
    private final Map<Integer, Supplier<Kernel>> again = new HashMap<>();
    private boolean onceMore;

    /**
     * @param at from which sample of what the ear hears the take is rendered
     * @param left what an earlier stage left of a node
     */
    Starts(Plan plan, Ear take, long at, Function<Node, Sound> left) {
        this.plan = plan;
        this.take = take;
        this.at = at;
        this.left = left;
    }

    /** From now on what is started can be started {@link #again}. */
    void onceMore() {
        onceMore = true;
    }

    /** The kernel of a node once more, from the front, set as it was. */
    Kernel again(Node node) {
        return again.get(node.id()).get();
    }

    /** What was found by hearing. */
    List<Resolved> resolved() {
        return resolved;
    }

    List<Rendered.Cost> costs() {
        return costs;
    }

    /** The longest silence, in samples, after which one of them may still sound. */
    long memory() {
        return kernels.values().stream().mapToLong(Kernel::memory).sum();
    }

    /** What the kernel of a node does to a steady signal. */
    List<Curve> curves(Node node) {
        Kernel kernel = kernels.get(node.id());
        return kernel == null ? List.of() : kernel.curves();
    }

    /** One that has heard what it must; null where a problem is told instead. */
    Kernel kernel(Node node, Problems problems) {
        if (node.work().isEmpty()) return PhaseTurn.of(node);
        Node.Work work = node.work().get();
        long began = System.nanoTime();
        Values values = work.use().values();
        Ear ear = null;
        if (work.hears()) {
            // The take's own length, in the take's own time: tails and delays are not the singer.
            int source = node.feeds().get(0).from();
            ear = source == 0 ? take : take.on(new Excerpt(left.apply(plan.nodes().get(source)), node.arrival() - at, take.sound().frames()), place(source),
                    s -> Transposition.cents(plan, source, s));
            Problems here = new Problems();
            values = new Resolver(node.name(), work.use(), ear, here, resolved).resolve(values);
            here.sorted().forEach(p -> problems.report(p.at(), p.message()));
            if (!here.isEmpty()) return null;
        }
        LiveValues live = new LiveValues(values, work.tempo(), plan.rate(), node.arrival() - at, findings(node.name()), take.memory().at(place(node.id())));
        Kernel kernel = work.prepared().start().kernel(live, ear);
        kernels.put(node.id(), kernel);
        LiveValues anew = new LiveValues(values, work.tempo(), plan.rate(), node.arrival(), (what, value) -> {});
        Ear heard = ear;
        if (onceMore) again.put(node.id(), () -> kernel instanceof Leader leader ? leader.afresh() : work.prepared().start().kernel(anew, heard));
        costs.add(new Rendered.Cost(node.name(), 0, (System.nanoTime() - began) * 1e-9));
        return kernel;
    }

    private LiveValues.Findings findings(String step) {
        return new LiveValues.Findings() {
            @Override
            public void found(String what, String value) {
                resolved.add(new Resolved(step, what, "", value, false, false));
            }

            @Override
            public void odd(String setting, String why) {
                resolved.add(new Resolved(step, setting, "", why, true, false));
            }
        };
    }

    /** Stands for all that is done to the take up to a node. */
    private String place(int node) {
        return take.memory() == Memory.NONE ? "" : Signature.upTo(plan, node);
    }

    /** Of which nodes steps hear the result again when the chain is started once more: those that do not take their numbers from the one before. */
    Set<Integer> heardOnceMore() {
        Set<Integer> heard = new HashSet<>();
        for (Node node : plan.steps()) {
            Prepared step = node.work().orElseThrow().prepared();
            if (onceMore && step.hears() && step.sharing() != Prepared.Sharing.LED) heard.add(node.feeds().get(0).from());
        }
        return heard;
    }

    /** Takes note of what posts cost that have run. */
    void ran(List<Post> posts) {
        Map<String, Double> seconds = new HashMap<>();
        posts.forEach(p -> seconds.put(p.node().name(), p.nanos() * 1e-9));
        costs.replaceAll(c -> seconds.containsKey(c.step()) ? new Rendered.Cost(c.step(), seconds.get(c.step()), c.hearingSeconds()) : c);
    }
}
