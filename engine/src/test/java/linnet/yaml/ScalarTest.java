package linnet.yaml;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Files;
import java.nio.file.Path;
import linnet.text.Problems;
import linnet.text.Scalar;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What is written as a scalar is read back by what reads every text here. */
class ScalarTest {
    @TempDir
    Path folder;

    private String readBack(String scalar) throws Exception {
        Path file = folder.resolve("scalar.yaml");
        Files.writeString(file, "list:\n  - { one: " + scalar + ", two: 2 }\n");
        Problems problems = new Problems();
        Tree.Table top = (Tree.Table) Yaml.read("list", file, "scalar.yaml", problems).orElseThrow();
        problems.check();
        Tree.Table row = (Tree.Table) ((Tree.Rows) top.entries().get("list").value()).rows().get(0);
        assertEquals("2", ((Tree.Leaf) row.entries().get("two").value()).word().text());
        return ((Tree.Leaf) row.entries().get("one").value()).word().text();
    }

    private void readsBack(String text) throws Exception {
        assertEquals(text, readBack(Scalar.quoted(text)));
        assertEquals(text, readBack(Scalar.of(text)));
    }

    @Test
    void everyCharacterReadsBackWhereverItStands() throws Exception {
        for (int c = 0; c <= 0x2100; c++) {
            String one = Character.toString(c);
            if (c < 0x100) for (String text : new String[] {one, one + "a", "a" + one, "a" + one + " b", "a " + one + "b"}) readsBack(text);
            else readsBack("a" + one);
        }
        for (int c : new int[] {0x2028, 0xFEFF, 0xFFFD, 0xFFFE, 0xFFFF, 0x1F3A4}) readsBack("a" + Character.toString(c) + "b");
        assertEquals("a\uFFFD", readBack(Scalar.quoted("a\ud800")));
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', quoteCharacter = '`', value = {
        "lead 2 | lead 2",
        "verse 1 bar 4 beat 2.5 | verse 1 bar 4 beat 2.5",
        "größer | größer",
        "it's | it's",
        "oh, no | \"oh, no\"",
        "hook: high | \"hook: high\"",
        "'high' | \"'high'\"",
        "say \"on\" | \"say \\\"on\\\"\"",
        "a#1 | \"a#1\"",
        "- low | \"- low\"",
        "`` | \"\""
    })
    void quotesStandOnlyWhereTheyAreNeeded(String text, String scalar) {
        assertEquals(scalar, Scalar.of(text));
    }
}
