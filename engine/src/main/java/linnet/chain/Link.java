package linnet.chain;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.setting.Value;
import linnet.setting.Values;
import linnet.step.Step;
import linnet.text.Span;

/** One entry of a chain. */
public sealed interface Link {
    /** What the text calls it, or the step's word. */
    String name();

    Span at();

    /** The given share of the processed signal. */
    Optional<Value> mix();

    /**
     * A step with its values.
     *
     * @param tempo beats per minute, where its text names one: it goes with the step, whatever chain that is joined to
     * @param by the chain file by which the outermost text has it, as that writes it; empty where the step stands in that text
     */
    record Use(String name, Span at, Optional<Value> mix, Step step, Values values, OptionalDouble tempo, Optional<String> by) implements Link {
        /** The same step with other values. */
        public Use with(Values others) {
            return new Use(name, at, mix, step, others, tempo, by);
        }

        /** The same step at another mix. */
        public Use with(Optional<Value> other) {
            return new Use(name, at, other, step, values, tempo, by);
        }
    }

    /** Branches that are added up. */
    record Parallel(String name, Span at, Optional<Value> mix, List<Branch> branches) implements Link {}

    /** A branch and the level at which it is added. */
    record Branch(Span at, Value level, List<Link> links) {}
}
