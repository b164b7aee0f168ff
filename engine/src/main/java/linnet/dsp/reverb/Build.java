package linnet.dsp.reverb;

/** How a reverb is built. */
public enum Build {
    /** Feedback delay network: smooth at any decay, as its modes wander. */
    NETWORK,
    /** Parallel combs: brighter and grainier; above about 2 s single modes begin to stand out. */
    COMBS;

    /** As {@link Room#firstArrival} of the room that would be built. */
    int firstArrival(double rate, double size, double decay) {
        return this == COMBS ? Combs.firstArrival(rate, size, decay) : Network.lengths(rate, size, decay)[0];
    }

    Room room(double rate, double size, double decay, double damping) {
        return this == COMBS ? new Combs(rate, size, decay, damping) : new Network(rate, size, decay, damping);
    }
}
