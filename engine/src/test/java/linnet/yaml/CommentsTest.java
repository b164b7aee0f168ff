package linnet.yaml;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import java.util.List;
import linnet.text.Problems;
import linnet.text.SourceText;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What is meant as a comment stays one; what is rather the rest of a value is told. */
class CommentsTest {
    private static List<String> told(String text) {
        Problems problems = new Problems();
        Yaml.read(new SourceText("x.yaml", text.lines().toList()), problems);
        return problems.sorted().stream().map(p -> p.at().line() + ":" + p.at().column() + " " + p.message()).toList();
    }

    @ParameterizedTest
    @ValueSource(strings = {"a: b # 2 dB less", "a: b #quiet", "a: b #", "a: b ## 2", "a: # 2", "# 1\na: b", "#1\na: b", "a:\n  #1\n  b: c", "a: 'b #2'", "a: \"b #2\"", "a: 'b' #2", "a: b#2", "a: [ b, c ] #2", "a: { b: c } #2", "a: |\n  b #2"})
    void comments(String text) {
        assertEquals(List.of(), told(text));
    }

    @ParameterizedTest
    @ValueSource(strings = {"a: b #2", "a: b  #2 c", "- a #2", "a: #2", "a: b #c.wav", "a: b #c.YAML"})
    void restsOfValues(String text) {
        assertEquals(1, told(text).size(), () -> told(text).toString());
    }

    @Test
    void aPairWithoutASpaceIsAPair() {
        assertEquals(List.of("1:6 a space is missing after the colon: b: c"), told("a: { b:c }"));
        assertFalse(told("a: { b:c: d }").toString().contains("a space is missing"));
        assertEquals(List.of(), told("a: { https://b: }"));
    }
}
