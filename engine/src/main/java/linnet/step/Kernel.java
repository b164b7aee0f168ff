package linnet.step;

import java.util.List;

/** A step at work: fresh for each render, on one thread at a time. */
public interface Kernel {
    /**
     * Processes a block in place. Blocks follow each other without gap; any cut into blocks gives the same bits. Allocates
     * nothing; only what a setting that moves is made into, such as a filter, is made anew at the border of a cell.
     */
    void process(Block block);

    /** Called at the end of each cell: states that have died away become zero. */
    default void settle() {}

    /**
     * Whether silence would come out of it as silence, for as long as nothing else arrives. Asked at the border of a cell. Whole cells of
     * silence, both {@link linnet.dsp.Silence} to the bit, then pass by {@link #rest} instead of {@link #process} and {@link #settle}.
     */
    default boolean rests() {
        return false;
    }

    /**
     * Does to a kernel that {@link #rests} what a cell of silence would do to it, to the bit: clocks go on, memories fade, settings
     * move.
     *
     * @param block a cell of silence, to be left as it is
     */
    default void rest(Block block) {
        settle();
    }

    /**
     * The longest silence, in samples, after which this kernel may still sound, such as the time of an echo. The print
     * does not end before that.
     */
    default long memory() {
        return 0;
    }

    /** What it does to a steady signal, as it stands now: an equaliser its response, a compressor its static curve. */
    default List<Curve> curves() {
        return List.of();
    }

    /** By how many dB the gain stood below unity at the last sample processed; 0 for what does not turn down. */
    default double reductionDb() {
        return 0;
    }
}
