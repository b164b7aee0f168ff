package linnet.song;

import java.util.Arrays;
import java.util.List;
import linnet.setting.Quantity;

/** What a value in a song file looks like, as far as that can be said without the song it stands in: readers know the rest. */
public sealed interface Form {
    /** A number with a unit and a range. */
    record Amount(Quantity setting) implements Form {}

    /** A number without a unit. */
    record Bare(double least, double most) implements Form {}

    /** One of a few words. */
    record Choice(List<String> words) implements Form {}

    /**
     * Words that mean something in a place of their own; what is only digits must stand in quotes.
     *
     * @param pattern a regular expression that matches what can be read, and little more; empty where only the song knows
     */
    record Words(String pattern, List<String> examples) implements Form {}

    /** A name or a line of text; it may look like a number. */
    record Line() implements Form {}

    /** A line of text that is not blank; it may look like a number, or like yes or no. */
    record Told() implements Form {}

    /** The path of a chain file, or steps. */
    record Steps() implements Form {}

    record Table(Shape shape) implements Form {}

    /**
     * A list.
     *
     * @param alone whether one row may stand without it
     * @param fewest rows that there must be
     */
    record Rows(Form row, boolean alone, int fewest) implements Form {}

    /** Any of these. */
    record Either(List<Form> forms) implements Form {}

    static Form words(String pattern, String... examples) {
        return new Words(pattern, List.of(examples));
    }

    static Form either(Form... forms) {
        return new Either(Arrays.asList(forms));
    }

    static Form oneOf(String... words) {
        return new Choice(List.of(words));
    }

    static Form yes() {
        return oneOf("yes", "no");
    }

    /** One alone, or some in a list. */
    static Form some(Form one) {
        return new Rows(one, true, 0);
    }
}
