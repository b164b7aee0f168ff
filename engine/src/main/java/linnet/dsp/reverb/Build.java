package linnet.dsp.reverb;

/** How a reverb is built. */
public enum Build {
    /** Feedback delay network: smooth at any decay, as its modes wander. */
    NETWORK,
    /** Parallel combs: brighter and grainier; above about 2 s single modes begin to stand out. */
    COMBS;

    Room room(double rate, double size, double decay, double damping) {
        return this == COMBS ? new Combs(rate, size, decay, damping) : new Network(rate, size, decay, damping);
    }
}
