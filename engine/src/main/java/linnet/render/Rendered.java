package linnet.render;

import java.util.List;

/**
 * What a render did.
 *
 * @param frames length of the print
 * @param channels of the print
 * @param resolved every number found by hearing, in order of the chain
 * @param costs seconds spent by each step
 */
public record Rendered(long frames, int channels, List<Resolved> resolved, List<Cost> costs) {
    /** Time spent by a step at its work, and by what it heard before. */
    public record Cost(String step, double seconds, double hearingSeconds) {}
}
