package linnet.render;

import linnet.dsp.filter.Cascade;
import linnet.plan.Node;
import linnet.step.Block;
import linnet.step.Kernel;

/** Brings a feed of a sum into the phase of the others. */
final class PhaseTurn implements Kernel {
    private final Cascade allPasses;
    private final boolean stereo;

    private PhaseTurn(Node node) {
        allPasses = new Cascade(node.turn());
        stereo = node.channels() == 2;
    }

    /** The kernel of a node that is no step; null for one that has nothing to do but to add. */
    static Kernel of(Node node) {
        return node.turn().isEmpty() ? null : new PhaseTurn(node);
    }

    @Override
    public void process(Block block) {
        if (stereo) allPasses.process(block.x(0), block.x(1), block.length());
        else allPasses.process(block.x(0), block.length());
    }

    @Override
    public void settle() {
        allPasses.settle();
    }

    @Override
    public boolean rests() {
        return allPasses.rests();
    }
}
