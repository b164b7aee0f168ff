package linnet.render;

import linnet.plan.Node;

/** Sees what each node of a plan gets and gives while it is rendered, for reports. */
public interface Witness {
    /** Watches nothing. */
    Witness NONE = node -> null;

    /** Who watches a node; null if nobody does. Each is called from one thread at a time. */
    Watch of(Node node);

    /** Sees the blocks of one node in time order, none longer than a cell. It must not change them, nor keep them. */
    interface Watch {
        /**
         * @param x what comes in, from index 0 of each channel
         * @param at time of the first sample: {@link Node#arrival} samples later than in the take
         */
        void before(double[][] x, int channels, int n, long at);

        /**
         * @param x what the node made of it
         * @param reductionDb by how many dB the gain of a step stood below unity at the last sample
         */
        void after(double[][] x, int channels, int n, double reductionDb);
    }
}
