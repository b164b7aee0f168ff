package linnet.setting;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.Word;

/** One of a few words; each is a constant of the enum, in lower case with hyphens. */
public final class Choice<E extends Enum<E>> extends Setting {
    private final Class<E> type;
    private final E usual;

    Choice(String name, String doc, Class<E> type, E usual) {
        super(name, doc);
        this.type = type;
        this.usual = usual;
    }

    public E usual() {
        return usual;
    }

    public List<String> words() {
        return Arrays.stream(type.getEnumConstants()).map(Choice::word).toList();
    }

    /** The word for a constant. */
    public static String word(Enum<?> constant) {
        return constant.name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    public Optional<E> read(Word word, Problems problems) {
        for (E constant : type.getEnumConstants()) if (YesNo.withOthers(List.of(word(constant))).contains(word.text())) return Optional.of(constant);
        String known = String.join(", ", words().subList(0, words().size() - 1)) + " or " + words().get(words().size() - 1);
        problems.report(word.at(), name() + " is " + known + ", not \"" + word.text() + "\"" + Nearest.hint(word.text(), words()));
        return Optional.empty();
    }

    E cast(Object value) {
        return type.cast(value);
    }
}
