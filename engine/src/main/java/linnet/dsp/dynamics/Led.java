package linnet.dsp.dynamics;

/** A signal of its own, turned down as another one was: it is given blocks right after that one, of the same length. */
public interface Led {
    /** Mono, in place. */
    void process(double[] x, int n);

    /** Stereo, in place. */
    void process(double[] l, double[] r, int n);

    /** To be called at the end of each cell. */
    default void settle() {}

    /** Whether silence leaves it as silence, whatever the gain. */
    boolean rests();
}
