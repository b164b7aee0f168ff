package linnet.song;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import linnet.text.Word;
import linnet.yaml.Tree;

/** Reads {@code about} and {@code credits}. Which rows there are is for the song to say: what is asked for differs from one who asks to the next. */
final class CreditsReader {
    private static final Shape CREDITS = new Shape("credits").others("", "A line of text, or several in a list.", new Form.Rows(new Form.Told(), true, 1));

    private final Reading text;

    CreditsReader(Reading text) {
        this.text = text;
    }

    static Shape declare(Shape top) {
        return top.key("about", "What one should know of it; its sheet has it.", new Form.Line())
                .key("credits", "What goes with the prints in words, in rows that you name: artist, written by, produced by, language, rights.",
                        new Form.Table(CREDITS));
    }

    Credits read(Fields top) {
        Map<String, List<String>> rows = new LinkedHashMap<>();
        for (Tree.Entry e : text.entries(top, "credits")) {
            List<Tree> lines = e.value() instanceof Tree.Rows r ? r.rows() : List.of(e.value());
            boolean told = !lines.isEmpty() && lines.stream().allMatch(l -> l instanceof Tree.Leaf leaf && !leaf.word().text().isBlank());
            if (!told) text.problems().report(e.key().at(), "'" + e.key().text() + "' is a line of text, or several in a list");
            else rows.put(e.key().text(), lines.stream().map(l -> ((Tree.Leaf) l).word().text().strip()).toList());
        }
        return new Credits(top.word("about").map(Word::text).map(String::strip).orElse(""), rows);
    }
}
