package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import linnet.Voices;
import linnet.step.Step;
import org.junit.jupiter.api.Test;

class BuiltinsTest {
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
