package linnet.laws;

import java.util.List;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicLong;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.step.Block;
import linnet.step.Curve;
import linnet.step.Kernel;
import linnet.step.Leader;
import linnet.step.Prepared;

/** Plans whose kernels are counted, and may be kept from resting: what a render was before there was any resting. */
final class Awake {
    private Awake() {}

    /** The same plan, but no kernel ever rests. */
    static Plan always(Plan plan) {
        return with(plan, false, new AtomicLong());
    }

    /** The same plan; samples that kernels work on are counted. */
    static Plan counted(Plan plan, AtomicLong samples) {
        return with(plan, true, samples);
    }

    private static Plan with(Plan plan, boolean rests, AtomicLong samples) {
        return new Plan(plan.rate(), plan.nodes().stream().map(n -> new Node(n.id(), n.name(), n.feeds(), n.channels(), n.arrival(), n.latency(), n.stage(),
                n.work().map(w -> new Node.Work(w.use(), w.tempo(), watched(w.prepared(), rests, samples))), n.turn())).toList());
    }

    private static Prepared watched(Prepared p, boolean rests, AtomicLong samples) {
        return new Prepared(p.latency(), p.channels(), p.hears(), p.readsOn(), p.sharing(), p.turn(), (values, ear) -> {
            Kernel kernel = p.start().kernel(values, ear);
            return kernel instanceof Leader leader ? new Led(leader, rests, samples) : new Watched(kernel, rests, samples);
        });
    }

    private static class Watched implements Kernel {
        private final Kernel kernel;
        final boolean rests;
        final AtomicLong samples;

        Watched(Kernel kernel, boolean rests, AtomicLong samples) {
            this.kernel = kernel;
            this.rests = rests;
            this.samples = samples;
        }

        @Override
        public void process(Block block) {
            samples.addAndGet(block.length());
            kernel.process(block);
        }

        @Override
        public void settle() {
            kernel.settle();
        }

        @Override
        public boolean rests() {
            return rests && kernel.rests();
        }

        @Override
        public void rest(Block block) {
            kernel.rest(block);
        }

        @Override
        public long memory() {
            return kernel.memory();
        }

        @Override
        public List<Curve> curves() {
            return kernel.curves();
        }

        @Override
        public double reductionDb() {
            return kernel.reductionDb();
        }
    }

    private static final class Led extends Watched implements Leader {
        private final Leader leader;

        Led(Leader leader, boolean rests, AtomicLong samples) {
            super(leader, rests, samples);
            this.leader = leader;
        }

        @Override
        public Leader afresh() {
            return new Led(leader.afresh(), rests, samples);
        }

        @Override
        public Kernel follower() {
            return new Watched(leader.follower(), rests, samples);
        }
    }
}
