package linnet.laws;

import java.util.Optional;
import linnet.step.Step;

/** Something that holds for every step, whatever it does. */
interface Law {
    /** How a step breaks it; empty if it keeps it. */
    Optional<String> broken(Step step);
}
