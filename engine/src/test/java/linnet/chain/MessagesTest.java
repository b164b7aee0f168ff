package linnet.chain;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import linnet.Voices;
import linnet.plan.Planner;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/** Broken chain files and what is said of them, word for word: {@code messages/*.yaml} and the {@code .txt} beside each. */
class MessagesTest {
    private static final Path FOLDER = Voices.repository().resolve("engine/src/test/resources/messages");

    private static List<Path> files() throws IOException {
        try (Stream<Path> files = Files.list(FOLDER)) {
            return files.filter(f -> f.toString().endsWith(".yaml")).sorted().toList();
        }
    }

    @TestFactory
    List<DynamicTest> everyBrokenChainIsExplained() throws IOException {
        return files().stream().map(f -> dynamicTest(f.getFileName().toString(), () -> {
            ProblemsException said = assertTimeoutPreemptively(Duration.ofSeconds(2), () -> assertThrows(
                    ProblemsException.class, () -> Planner.plan(ChainReader.read(f, Builtins.catalogue()), 48_000, 1, OptionalDouble.empty())));
            Path expected = Path.of(f.toString().replace(".yaml", ".txt"));
            assertEquals(Files.readString(expected).stripTrailing(), said.getMessage().replace(FOLDER + "/", ""));
        })).toList();
    }

    @Test
    void thereAreEnoughOfThem() throws IOException {
        assertTrue(files().size() >= 40);
    }
}
