package linnet.laws;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import linnet.step.Step;
import linnet.step.builtin.Builtins;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;

/** Every law over every step: a new step is under the law by being in the list. */
class LawsTest {
    @TestFactory
    List<DynamicTest> everyStepKeepsEveryLaw() {
        List<DynamicTest> tests = new ArrayList<>();
        for (Step step : Builtins.catalogue().steps()) {
            Laws.all().forEach((name, law) -> tests.add(dynamicTest(step.word() + ": " + name, () -> assertEquals(Optional.empty(), law.broken(step)))));
        }
        return tests;
    }
}
