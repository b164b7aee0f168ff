package linnet.step;

import java.util.List;
import linnet.dsp.filter.Biquad;
import linnet.hear.Ear;

/**
 * A step planned for a place: how many samples late its output is, how many channels leave it, whether it must hear the
 * whole arriving signal before it can begin, whether its kernels go on reading that while they run, whether what it does to a sum can be shared out
 * among what was added up, through which all-passes the whole signal goes in it (what is added to its output must have gone through the same, or
 * they cancel), and how to start it.
 */
public record Prepared(int latency, int channels, boolean hears, boolean readsOn, Sharing sharing, List<Biquad> turn, Start start) {
    /** Makes a fresh kernel. */
    public interface Start {
        /**
         * @param ear the whole signal that will arrive, aligned to the take; null unless the step {@link #hears}
         */
        Kernel kernel(LiveValues values, Ear ear);
    }

    /** How a sum's treatment is shared out among the signals in it. */
    public enum Sharing {
        /** Not at all: what it makes of a sum is no sum of anything. */
        NONE,
        /** Each signal by a kernel of its own: it adds up by itself, as filters do. */
        LINEAR,
        /** Its kernels are {@link Leader}s. */
        LED
    }

    public Prepared(int latency, int channels, boolean hears, Start start) {
        this(latency, channels, hears, false, Sharing.NONE, List.of(), start);
    }

    /** A step that begins at once. */
    public static Prepared of(int latency, int channels, java.util.function.Function<LiveValues, Kernel> kernel) {
        return new Prepared(latency, channels, false, (values, ear) -> kernel.apply(values));
    }

    /** A step that must hear first. */
    public static Prepared hearing(int latency, int channels, Start start) {
        return new Prepared(latency, channels, true, start);
    }

    /** The same, for one whose kernels go on reading what they heard: it is kept for them to its end. */
    public Prepared readingOn() {
        return new Prepared(latency, channels, hears, true, sharing, turn, start);
    }

    /** The same, for one whose kernels give of a sum the sum of what they give of its parts, and that needs no ear to start. */
    public Prepared linear() {
        return new Prepared(latency, channels, hears, readsOn, Sharing.LINEAR, turn, start);
    }

    /** The same, for one whose kernels are {@link Leader}s. */
    public Prepared led() {
        return new Prepared(latency, channels, hears, readsOn, Sharing.LED, turn, start);
    }

    /** The same, for one that turns all that passes in phase. */
    public Prepared turning(List<Biquad> allPasses) {
        return new Prepared(latency, channels, hears, readsOn, sharing, allPasses, start);
    }
}
