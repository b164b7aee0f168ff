package linnet.render;

import java.io.IOException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Function;
import linnet.dsp.Cell;
import linnet.dsp.Sound;
import linnet.plan.Feed;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.render.Renderer.Sink;
import linnet.step.Kernel;
import linnet.step.Leader;
import linnet.step.Prepared;

/**
 * What a chain makes of a whole, shared out among signals that add up to it. The chain runs over the whole, and right after each cell over
 * every share of it: filters and delays are each share's own, gains are those of the whole. So levels are heard once, and a share costs
 * little more than its multiplications. In one {@link Lane}; several may each have some of the shares.
 */
final class SharedOut {
    /** What it costs to add up a whole, and the same with what a chain has to do on it as a rule, beside what it costs to write a channel of a print. */
    private static final int SUM = 1, WHOLE = 3;

    private final Plan plan;
    private final List<Post> whole;
    private final List<List<Post>> shares = new ArrayList<>();
    private final double[][] piece = new double[2][Cell.LENGTH];

    /**
     * @param starts how the kernels of the chain are started once more, set as they were
     * @param wantsWhole whether what the chain makes of the whole is wanted too
     */
    SharedOut(Plan plan, Function<Node, Kernel> starts, Sound whole, boolean wantsWhole, List<Sound> shares) {
        this.plan = plan;
        Map<Node, Leader> leaders = new LinkedHashMap<>();
        boolean led = !shares.isEmpty() && plan.steps().stream().anyMatch(SharedOut::isLed);
        this.whole = !wantsWhole && !led ? List.of() : cellByCell(whole, node -> {
            Kernel kernel = starts.apply(node);
            if (isLed(node)) leaders.put(node, (Leader) kernel);
            return kernel;
        });
        for (Sound share : shares) this.shares.add(cellByCell(share, node -> isLed(node) ? leaders.get(node).follower() : starts.apply(node)));
    }

    private static boolean isLed(Node node) {
        return node.work().orElseThrow().prepared().sharing() == Prepared.Sharing.LED;
    }

    private List<Post> cellByCell(Sound input, Function<Node, Kernel> kernels) {
        List<Post> posts = posts(plan, input, kernels);
        Pipeline.join(List.of(posts), Set.of(posts.get(posts.size() - 1)), 1, Cell.LENGTH);
        return posts;
    }

    /** The chain over a sound, from the front. */
    static List<Post> posts(Plan plan, Sound input, Function<Node, Kernel> kernels) {
        List<Post> posts = new ArrayList<>();
        for (Node node : plan.nodes()) {
            List<Supply> supplies = new ArrayList<>();
            if (node.feeds().isEmpty()) supplies.add(new Supply(new Supply.Source.There(input), input.channels(), 0, null));
            for (Feed feed : node.feeds()) {
                Post from = posts.get(feed.from());
                supplies.add(new Supply(new Supply.Source.Made(from), from.node().channels(), feed.delay(),
                        Supply.gain(feed.level(), plan.rate(), node.arrival())));
            }
            posts.add(new Post(node, supplies, node.work().isPresent() ? kernels.apply(node) : PhaseTurn.of(node), null));
        }
        return posts;
    }

    /** What a chain has to do beside its prints, in channels of prints. */
    static int load(Plan plan) {
        return plan.steps().isEmpty() ? SUM : WHOLE;
    }

    int latency() {
        return plan.output().departure();
    }

    /**
     * Runs one cell, each after the one before; what comes out has the latency of the chain taken out.
     *
     * @param frames wanted in all; past them nothing is done
     * @param whole where what is made of the whole goes; null unless it is wanted
     * @param shares one for each share
     */
    void run(long at, long frames, Sink whole, List<Sink> shares) throws IOException {
        int from = (int) Math.max(0, Math.min(Cell.LENGTH, latency() - at));
        int to = (int) Math.min(Cell.LENGTH, frames + latency() - at);
        if (to <= 0) return;
        pass(this.whole, at);
        if (whole != null) write(this.whole, from, to, whole);
        for (int s = 0; s < shares.size(); s++) {
            pass(this.shares.get(s), at);
            write(this.shares.get(s), from, to, shares.get(s));
        }
    }

    private static void pass(List<Post> posts, long at) {
        for (Post post : posts) post.run(0, 0, at, Cell.LENGTH);
    }

    private void write(List<Post> posts, int from, int to, Sink sink) throws IOException {
        if (from >= to) return;
        double[][] out = posts.get(posts.size() - 1).out(0);
        if (from == 0) {
            sink.write(out, to);
            return;
        }
        for (int c = 0; c < out.length; c++) System.arraycopy(out[c], from, piece[c], 0, to - from);
        sink.write(out.length == 1 ? new double[][] {piece[0]} : piece, to - from);
    }
}
