package linnet.render;

import java.util.ArrayList;
import java.util.Optional;
import linnet.dsp.Samples;
import linnet.hear.Ear;
import linnet.hear.Memory;
import linnet.hear.Told;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.text.Problems;

/**
 * What the render of a chain stops at, as far as that is remembered of its input and of what steps make of it: no sound is read for it. A step that others
 * come before goes by what arrives there, never by what is known of the take: a chain may bring up what the take does not have by itself.
 */
final class Foreseen {
    private final Plan chain;
    private final Memory memory;

    /** @param memory of what goes into the chain */
    Foreseen(Plan chain, Memory memory) {
        this.chain = chain;
        this.memory = new Known(memory);
    }

    /** All that cannot be measured in the first stage in which something cannot; none where not all is known that is wanted up to there. */
    Problems problems() {
        Problems here = new Problems();
        try {
            for (int stage = 0; stage < chain.stages() && here.isEmpty(); stage++) {
                for (Node node : chain.steps()) if (node.stage() == stage && isRelative(node)) resolve(node, ear(node.feeds().get(0).from()), here);
            }
            return here;
        } catch (Unknown e) {
            return new Problems();
        }
    }

    /** Hears, and so remembers, what the steps that this take goes straight into want of it. */
    static void hear(Plan chain, Ear take) {
        for (Node node : chain.steps()) if (isRelative(node) && node.feeds().get(0).from() == 0) resolve(node, take, new Problems());
    }

    static boolean isRelative(Node step) {
        return step.work().orElseThrow().use().values().isRelative();
    }

    private static void resolve(Node step, Ear ear, Problems to) {
        var use = step.work().orElseThrow().use();
        new Resolver(step.name(), use, ear, to, new ArrayList<>()).resolve(use.values());
    }

    /** On what arrives from a node: on nothing but what is remembered of it. */
    private Ear ear(int source) {
        return new Ear(new Samples(chain.rate(), new double[0]), Told.nothing(), source == 0 ? memory : memory.at(Signature.upTo(chain, source)));
    }

    /** Something is wanted that is not remembered. */
    private static final class Unknown extends RuntimeException {
        private static final long serialVersionUID = 1;

        Unknown(String fact) {
            super(fact, null, false, false);
        }
    }

    private record Known(Memory of) implements Memory {
        @Override
        public Optional<byte[]> recall(String fact) {
            return Optional.of(of.recall(fact).orElseThrow(() -> new Unknown(fact)));
        }

        @Override
        public void keep(String fact, byte[] bytes) {
            // Nothing is heard that could be kept.
        }
    }
}
