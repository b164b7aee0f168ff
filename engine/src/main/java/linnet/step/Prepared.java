package linnet.step;

import linnet.hear.Ear;

/**
 * A step planned for a place: how many samples late its output is, how many channels leave it, whether it must hear the
 * whole arriving signal before it can begin, and how to start it.
 */
public record Prepared(int latency, int channels, boolean hears, Start start) {
    /** Makes a fresh kernel. */
    public interface Start {
        /**
         * @param ear the whole signal that will arrive, aligned to the take; null unless the step {@link #hears}
         */
        Kernel kernel(LiveValues values, Ear ear);
    }

    /** A step that begins at once. */
    public static Prepared of(int latency, int channels, java.util.function.Function<LiveValues, Kernel> kernel) {
        return new Prepared(latency, channels, false, (values, ear) -> kernel.apply(values));
    }

    /** A step that must hear first. */
    public static Prepared hearing(int latency, int channels, Start start) {
        return new Prepared(latency, channels, true, start);
    }
}
