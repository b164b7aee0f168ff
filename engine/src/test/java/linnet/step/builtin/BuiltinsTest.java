package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import linnet.Rig;
import linnet.Voices;
import linnet.demo.Performance;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import linnet.hear.Ear;
import linnet.plan.Plan;
import linnet.plan.Planner;
import linnet.render.Renderer;
import linnet.render.Witness;
import linnet.setting.Values;
import linnet.step.Step;
import org.junit.jupiter.api.Test;

class BuiltinsTest {
    /** What a step says of its curves is what its kernels have. */
    @Test
    void aStepHasCurvesWhereItSaysSo() throws Exception {
        Samples take = new Samples(48_000, Performance.sing(SevenLanterns.lead(), Singer.high(), 48_000).samples());
        List<String> some = new ArrayList<>();
        for (Step step : Builtins.catalogue().steps()) {
            Plan plan = Planner.plan(Rig.usual().chain("  - " + step.word()), take.rate(), 1, OptionalDouble.of(100));
            try (Renderer renderer = new Renderer(plan, new Ear(take), Renderer.Options.usual(), Renderer.Progress.SILENT, Witness.NONE)) {
                renderer.resolve();
                boolean has = !renderer.curves(plan.steps().get(0)).isEmpty();
                assertEquals(has, step.hasCurves(), step.word());
                if (has) some.add(step.word());
            }
        }
        assertEquals(List.of("compressor", "de-ess", "eq", "gate", "limit", "multiband"), some);
    }

    /** A print is checked against it. */
    @Test
    void whatHoldsPeaksSaysUnderWhatCeiling() {
        for (Step step : Builtins.catalogue().steps()) {
            assertEquals(step.holdsPeaks(), step.ceiling(new Values(step.settings())).isPresent(), step.word());
        }
        assertEquals(-1, Builtins.catalogue().find("limit").orElseThrow().ceiling(new Values(new Limit().settings())).orElseThrow());
    }

    /** The laws hold for any step; what this one is meant to do is shown by a test of its own. */
    @Test
    void everyStepHasATestWithItsName() throws IOException {
        Path folder = Voices.repository().resolve("engine/src/test/java/linnet/step/builtin");
        try (Stream<Path> files = Files.list(folder)) {
            List<String> tests = files.map(f -> f.getFileName().toString()).filter(f -> f.endsWith("Test.java")).toList();
            for (Step step : Builtins.catalogue().steps()) {
                String name = step.getClass().getSimpleName();
                assertTrue(tests.stream().anyMatch(t -> t.contains(name)), "no test in step/builtin is called after " + name);
            }
        }
    }
}
