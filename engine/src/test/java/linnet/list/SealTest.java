package linnet.list;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

class SealTest {
    /** Hashed anew for each line, the longest list took a quarter of a minute. */
    @Test
    void theLongestListIsKnownAgainAtOnce() {
        List<String> lines = new ArrayList<>();
        for (int i = 0; i < MarksFile.MOST; i++) lines.add("  - { click: " + i / 100.0 + " s, length: 2 ms }");
        lines.add(0, Seal.line(lines));
        assertTimeoutPreemptively(Duration.ofSeconds(2), () -> assertTrue(Seal.holds(lines)));
        lines.remove(lines.size() - 1);
        assertTimeoutPreemptively(Duration.ofSeconds(2), () -> assertFalse(Seal.holds(lines)));
    }
}
