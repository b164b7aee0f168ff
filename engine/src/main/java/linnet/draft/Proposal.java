package linnet.draft;

import java.util.List;

/**
 * What a rule makes of the facts.
 *
 * @param why the measured reason, in words
 * @param lines of the step in a chain file, without indent; empty if the rule leaves the step out
 */
record Proposal(String why, List<String> lines) {
    static Proposal step(String why, String... lines) {
        return new Proposal(why, List.of(lines));
    }

    static Proposal leftOut(String why) {
        return new Proposal(why, List.of());
    }

    boolean isStep() {
        return !lines.isEmpty();
    }
}
