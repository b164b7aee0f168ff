package linnet.yaml;

import java.util.List;
import java.util.Map;
import linnet.text.Span;
import linnet.text.Word;

/** A node of a YAML text. */
public sealed interface Tree {
    Span at();

    /** A single value. */
    record Leaf(Word word) implements Tree {
        @Override
        public Span at() {
            return word.at();
        }
    }

    /** A list. */
    record Rows(Span at, List<Tree> rows) implements Tree {}

    /** A mapping, in the order of the text. */
    record Table(Span at, Map<String, Entry> entries) implements Tree {}

    /** A value of a mapping with its key, which knows its own place. */
    record Entry(Word key, Tree value) {}
}
