package linnet.text;

import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;

import java.time.Duration;
import java.util.List;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;

/** What a text full of faults costs. */
class ProblemsTest {
    @Test
    void twentyThousandProblemsAreCollectedAtOnceAndEachIsSaidOnce() {
        SourceText source = new SourceText("chain.yaml", List.of("steps:"));
        List<Problem> said = assertTimeoutPreemptively(Duration.ofSeconds(2), () -> {
            Problems problems = new Problems();
            for (int twice = 0; twice < 2; twice++) {
                for (int i = 20_000; i >= 1; i--) problems.report(new Span(source, i, 1, 1), "wrong");
            }
            return problems.sorted();
        });
        assertEquals(50, said.size());
        assertEquals(List.of(1, 2, 3), said.subList(0, 3).stream().map(p -> p.at().line()).toList());
    }

    /** What is read twice, as a chain that two parts use, and saved in between, is neither the one nor the other. */
    @Test
    void aTextThatChangesWhileItIsReadIsAProblem() {
        Problems problems = new Problems();
        Path file = Path.of("chain.yaml");
        problems.reads(file, new SourceText("chain.yaml", List.of("a")), "1");
        problems.reads(file.toAbsolutePath(), new SourceText("chain.yaml", List.of("a")), "1");
        assertTrue(problems.isEmpty());
        problems.reads(file, new SourceText("chain.yaml", List.of("b")), "2");
        assertTrue(problems.failed().getMessage().contains("this was saved anew while it was read; try again"), problems.failed().getMessage());
        assertEquals("1", problems.digests().get(file.toAbsolutePath()));
    }
}
