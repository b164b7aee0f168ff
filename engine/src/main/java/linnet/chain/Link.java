package linnet.chain;

import java.util.List;
import java.util.Optional;
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

    /** A step with its values. */
    record Use(String name, Span at, Optional<Value> mix, Step step, Values values) implements Link {}

    /** Branches that are added up. */
    record Parallel(String name, Span at, Optional<Value> mix, List<Branch> branches) implements Link {}

    /** A branch and the level at which it is added. */
    record Branch(Span at, Value level, List<Link> links) {}
}
