package linnet.text;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;

import java.time.Duration;
import java.util.List;
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
}
