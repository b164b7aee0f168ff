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
    @ValueSource(strings = {"a: b # 2 dB less", "a: b #quiet", "a: b #", "a: b ## 2", "a: # 2", "# 1\na: b", "#1\na: b", "a:\n  #1\n  b: c", "a: 'b #2'",
            "a: \"b #2\"", "a: 'b' #2", "a: b#2", "a: [ b, c ] #2", "a: { b: c } #2", "a: |\n  b #2",
            "a: -40 dB #2 dB less", "a: b #2", "a: #2", "- a #2", "a: -40 dB #was 30, see take.wav", "a: b #see c.yaml", "a: -40 dB #c.wav", "a: 4:1 #c.wav",
                    "a: b #c.wav is old",
            "take: b.wav #2", "chain: b.yaml #2", "use: b.yml #c.yaml", "chain: b #quiet", "chain: #2\n  - b", "take: b #see c.wav"})
    void comments(String text) {
        assertEquals(List.of(), told(text));
    }

    @ParameterizedTest
    @ValueSource(strings = {"chain: b #2", "song: b  #2 c", "- take: a #2", "about: #2", "x: { y: { name: b #2\n } }", "a: b #c.wav", "a: b #c.YAML",
            "- b #2.wav", "- 2 #3.yml", "take: 2 b #3.wav", "take: -4 dB #c.wav"})
    void restsOfValues(String text) {
        assertEquals(1, told(text).size(), () -> told(text).toString());
    }

    /** What is said of a value that is cut is said once: whatever else is wrong with it comes of that. */
    @Test
    void aSlipIsToldOnce() {
        Problems problems = new Problems();
        Tree.Table read = (Tree.Table) Yaml.read(new SourceText("x.yaml", List.of("take: lead #2.wav", "from: b")), problems).orElseThrow();
        Tree.Leaf take = (Tree.Leaf) read.entries().get("take").value(), from = (Tree.Leaf) read.entries().get("from").value();
        assertEquals("lead #2.wav", take.word().text());
        problems.report(take.at(), "there is no such file");
        assertEquals(1, problems.sorted().size(), () -> problems.sorted().toString());
        problems.report(from.at(), "there is no such part");
        assertEquals(2, problems.sorted().size(), () -> problems.sorted().toString());
    }

    @Test
    void aPairWithoutASpaceIsAPair() {
        assertEquals(List.of("1:6 a space is missing after the colon: b: c"), told("a: { b:c }"));
        assertFalse(told("a: { b:c: d }").toString().contains("a space is missing"));
        assertEquals(List.of(), told("a: { https://b: }"));
    }
}
