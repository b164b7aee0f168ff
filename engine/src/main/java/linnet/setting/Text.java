package linnet.setting;

import java.util.List;
import java.util.Optional;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.Word;

/** Words with a meaning of their own, such as a key, or a list of such. They are read once, where the text is. */
public final class Text<T> extends Setting {
    /** How such words are read and written. */
    public interface Form<T> {
        /** What they are, for messages: "a key". */
        String noun();

        Optional<T> read(String text);

        /** The words that {@link #read} reads back to the same. */
        String write(T value);

        /** The first is shown in messages; together they go through what can be said. */
        List<String> examples();

        /** What a mistyped one may have been meant to be. */
        List<String> known();

        /** What words of the trade are short for, which is written out here. */
        default Optional<String> meant(String text) {
            return Optional.empty();
        }

        /** A regular expression that matches what can be read, and little more. */
        String pattern();
    }

    private final Form<T> form;
    private final int most;
    private final String otherwise;

    Text(String name, String doc, Form<T> form, int most, String otherwise) {
        super(name, doc);
        this.form = form;
        this.most = most;
        this.otherwise = otherwise;
    }

    public Form<T> form() {
        return form;
    }

    /** How many may be given; 1 if it is no list. */
    public int most() {
        return most;
    }

    /** What happens without it. */
    public String usualText() {
        return otherwise;
    }

    /** What it takes, as text. */
    public String rangeText() {
        return (most == 1 ? form.noun() : "1 to " + most + " of " + form.noun()) + " such as " + form.examples().get(0);
    }

    /** Reads one; anything wrong becomes a problem at the word. */
    public Optional<T> read(Word word, Problems problems) {
        Optional<T> value = form.read(word.text().strip());
        if (value.isEmpty()) {
            String shown = word.text().length() > 40 ? word.text().substring(0, 40) + "…" : word.text();
            problems.report(word.at(), name() + " wants " + form.noun() + " such as \"" + form.examples().get(0) + "\", not \"" + shown + "\""
                    + form.meant(word.text().strip()).map(m -> "; did you mean '" + m + "'?").orElseGet(() -> Nearest.hint(word.text().strip(), form.known())));
        }
        return value;
    }

    /** The values as canonical text: what is read back. */
    public String write(List<T> values) {
        return most == 1 ? form.write(values.get(0)) : values.stream().map(form::write).toList().toString();
    }
}
