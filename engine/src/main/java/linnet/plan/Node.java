package linnet.plan;

import java.util.List;
import java.util.Optional;
import linnet.chain.Link;
import linnet.dsp.filter.Biquad;
import linnet.step.Prepared;

/**
 * A point that the signal passes: the take (no feeds), a step or a turn (one feed), or a sum (two or more).
 *
 * @param id place in {@link Plan#nodes()}; feeds come from lower ids
 * @param name what the text calls it, numbered where a name comes twice
 * @param channels that leave it
 * @param arrival samples by which what comes in is later than the take
 * @param latency samples that it adds itself
 * @param stage 0, or one more than the last stage that must have run before it: a step that hears first begins a new one
 * @param work the step, if it is one
 * @param turn the all-passes by which a feed of a sum is brought into the phase of the others; empty unless it is a turn
 */
public record Node(
        int id, String name, List<Feed> feeds, int channels, int arrival, int latency, int stage, Optional<Work> work, List<Biquad> turn) {

    /**
     * A step with its values, planned for this place.
     *
     * @param tempo beats per minute, 0 if there is none (then no note value is used)
     */
    public record Work(Link.Use use, double tempo, Prepared prepared) {
        /** True if the whole arriving signal must be there before it can begin. */
        public boolean hears() {
            return prepared.hears() || use.values().isRelative();
        }
    }

    /** Samples by which what leaves it is later than the take. */
    public int departure() {
        return arrival + latency;
    }
}
