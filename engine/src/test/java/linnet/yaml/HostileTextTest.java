package linnet.yaml;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;

import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.SourceText;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What nobody writes, as long as a text may be: it is refused, or read, in a moment. */
class HostileTextTest {
    private static final int LONGEST = 1_000_000;

    @ParameterizedTest
    @ValueSource(strings = {" ", "\"\" ", "\\\"", "a: ", "- ", "#]", "'", "1,2 "})
    void aLongLineOfSlipsIsToldSoon(String part) {
        String line = part.repeat(LONGEST / part.length());
        for (String text : List.of(line + "[", "[" + line, "a: \"" + line, "a:\n  b: c\n d: " + line)) {
            assertTimeoutPreemptively(Duration.ofSeconds(20), () -> read(text));
        }
    }

    @Test
    void aLongListOfNumbersCutByCommasIsReadSoon() {
        StringBuilder list = new StringBuilder("a: [1");
        for (int k = 0; k < 50_000; k++) list.append(',').append(k % 9).append(" dB ").append(k % 7);
        assertTimeoutPreemptively(Duration.ofSeconds(20), () -> read(list.append(']').toString()));
    }

    /** Of a comment only so much is looked at as somebody may have meant for a name. */
    @ParameterizedTest
    @ValueSource(strings = {"#", ".wav", " .wav", "1 dB ", " #2.wav", "a/"})
    void aLongValueBeforeACommentIsReadSoon(String part) {
        String line = part.repeat(LONGEST / part.length());
        for (String text : List.of("take: a #" + line + ".wav", "take: a" + line + " #2.wav", "a: 1" + line + " #2.wav", "a: 1 d" + line + " #2",
                "- chain: a #2\n- a: b #2.wav\n".repeat(40_000))) {
            assertTimeoutPreemptively(Duration.ofSeconds(20), () -> read(text));
        }
    }

    private static void read(String text) {
        try {
            Problems problems = new Problems();
            Yaml.read(new SourceText("x.yaml", text.lines().toList()), problems);
            problems.check();
        } catch (ProblemsException e) {
            assertFalse(e.getMessage().isEmpty());
        }
    }

    /** Looked for folder by folder. */
    @Test
    void aPathWithoutEndIsLeftAsItIs() {
        Path deep = Path.of("ä/".repeat(20_000) + "ä.wav");
        assertEquals(deep, Siblings.named(deep));
        assertEquals(Path.of("nöwhere.wav"), Siblings.named(Path.of("nöwhere.wav")));
    }
}
