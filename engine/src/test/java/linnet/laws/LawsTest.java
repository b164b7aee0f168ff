package linnet.laws;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import linnet.Rig;
import linnet.chain.Link;
import linnet.step.FixedValues;
import linnet.step.Prepared;
import linnet.step.Setup;
import linnet.step.Step;
import linnet.step.builtin.Builtins;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
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

    /** A bus may hold these; a step that leaves the list takes stems away from users. */
    @Test
    void theStepsThatCanBeSharedOut() {
        List<String> shared = Builtins.catalogue().steps().stream().filter(s -> prepared(s).sharing() != Prepared.Sharing.NONE).map(Step::word).toList();
        assertEquals(List.of("compressor", "de-ess", "delay", "eq", "gate", "level", "limit", "multiband", "pan", "reverb", "trim", "width"), shared);
    }

    private static Prepared prepared(Step step) {
        Link.Use use = (Link.Use) Rig.usual().chain("- " + step.word() + (step.body() == null ? "" : ": [ { bell: 1 kHz, gain: 1 dB } ]")).links().get(0);
        return step.prepare(new FixedValues(use.values(), 100), new Setup(48_000, 2));
    }
}
