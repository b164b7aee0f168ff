package linnet.setting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;

/**
 * The settings of a step, or of one entry of a list, in the order of their declaration. A setting is handed out only by
 * {@code doc(…)}, so one without a sentence does not compile.
 */
public final class Settings {
    /** Settings of which only one may be given; {@code needed} if one must. */
    public record OneOf(List<Setting> settings, boolean needed) {}

    private final List<Setting> all = new ArrayList<>();
    /** Where one setting is given another must be, if {@code needed}, or may not be; what a step then says it says in its own words. */
    public record With(Setting setting, Setting other, boolean needed) {}

    private final List<OneOf> rules = new ArrayList<>();
    private final List<With> withs = new ArrayList<>();

    public List<Setting> all() {
        return Collections.unmodifiableList(all);
    }

    /** The one that a text calls so; empty where there is none. Those of entries are not among them. */
    public Optional<Setting> named(String name) {
        return all.stream().filter(s -> s.name().equals(name)).findFirst();
    }

    public List<OneOf> rules() {
        return Collections.unmodifiableList(rules);
    }

    public List<With> withs() {
        return Collections.unmodifiableList(withs);
    }

    public LiveDraft live(String name, Unit unit) {
        return new LiveDraft(name, unit);
    }

    public FixedDraft fixed(String name, Unit unit) {
        return new FixedDraft(name, unit);
    }

    public <E extends Enum<E>> ChoiceDraft<E> choice(String name, E usual) {
        return new ChoiceDraft<>(name, usual);
    }

    /** Words with a meaning of their own, such as a key. */
    public <T> TextDraft<T> text(String name, Text.Form<T> form) {
        return new TextDraft<>(name, form);
    }

    /** A list of entries; {@code entry} declares the settings of one. */
    public GroupDraft group(String name, Settings entry, int most) {
        return new GroupDraft(name, entry, most);
    }

    /** Exactly one of these must be given. */
    public void exactlyOne(Setting... settings) {
        rules.add(new OneOf(List.of(settings), true));
    }

    /** At most one of these may be given. */
    public void atMostOne(Setting... settings) {
        rules.add(new OneOf(List.of(settings), false));
    }

    /** Where one is given, the other must be. */
    public void needs(Setting setting, Setting other) {
        withs.add(new With(setting, other, true));
    }

    /** Where one is given, the other may not be. */
    public void refuses(Setting setting, Setting other) {
        withs.add(new With(setting, other, false));
    }

    private <T extends Setting> T add(T setting) {
        all.add(setting);
        return setting;
    }

    /** A number being declared. */
    public abstract sealed class Draft<D extends Draft<D>> permits LiveDraft, FixedDraft {
        final String name;
        private final Unit unit;
        private double min = Double.NEGATIVE_INFINITY;
        private double max = Double.POSITIVE_INFINITY;
        private String usual;
        private String otherwise = "not set";
        private final Set<Reference> references = EnumSet.noneOf(Reference.class);
        private final List<String> words = new ArrayList<>();
        private boolean notes;
        private String neutral;
        private boolean whole;

        private Draft(String name, Unit unit) {
            this.name = name;
            this.unit = unit;
        }

        abstract D self();

        /** Lowest and highest value, in the setting's own unit. */
        public D range(double lowest, double highest) {
            min = lowest;
            max = highest;
            return self();
        }

        /** The value where the text gives none, written as a user would. */
        public D usual(String value) {
            usual = value;
            return self();
        }

        /** The value at which, with every other neutral value of the step, the step changes nothing. */
        public D neutral(String value) {
            neutral = value;
            return self();
        }

        /** Without a usual value: what happens if the text gives none, for the docs. */
        public D otherwise(String words) {
            otherwise = words;
            return self();
        }

        /** Words it knows beside numbers. */
        public D words(String... known) {
            words.addAll(Arrays.asList(known));
            return self();
        }

        /** Lets the value be a note value such as {@code 1/8 dotted}; only for times. */
        public D notes() {
            notes = true;
            return self();
        }

        /** Marks what counts something; whoever reads it refuses parts of one. */
        public D whole() {
            whole = true;
            return self();
        }

        D against(Reference... known) {
            references.addAll(Arrays.asList(known));
            return self();
        }

        Quantity.Spec spec() {
            return new Quantity.Spec(unit, min, max, usual, otherwise, Collections.unmodifiableSet(references), List.copyOf(words), notes, neutral,
                    whole);
        }
    }

    /** A live number being declared. */
    public final class LiveDraft extends Draft<LiveDraft> {
        private LiveDraft(String name, Unit unit) {
            super(name, unit);
        }

        @Override
        LiveDraft self() {
            return this;
        }

        /** Lets the value be stated against what is measured of the singer. Only live settings can: latency never moves. */
        public LiveDraft relative(Reference... references) {
            return against(references);
        }

        public Live doc(String sentence) {
            return add(new Live(name, sentence, spec()));
        }

        /** A list of such numbers. */
        public Series series(int fewest, int most, String sentence) {
            return add(new Series(new Live(name, sentence, spec()), fewest, most));
        }
    }

    /** A fixed number being declared. */
    public final class FixedDraft extends Draft<FixedDraft> {
        private FixedDraft(String name, Unit unit) {
            super(name, unit);
        }

        @Override
        FixedDraft self() {
            return this;
        }

        public Fixed doc(String sentence) {
            return add(new Fixed(name, sentence, spec()));
        }
    }

    /** A choice being declared. */
    public final class ChoiceDraft<E extends Enum<E>> {
        private final String name;
        private final E usual;

        private ChoiceDraft(String name, E usual) {
            this.name = name;
            this.usual = usual;
        }

        public Choice<E> doc(String sentence) {
            return add(new Choice<>(name, sentence, usual.getDeclaringClass(), usual));
        }
    }

    /** Words with a meaning being declared. */
    public final class TextDraft<T> {
        private final String name;
        private final Text.Form<T> form;
        private int most = 1;
        private String otherwise = "not set";

        private TextDraft(String name, Text.Form<T> form) {
            this.name = name;
            this.form = form;
        }

        /** Makes it a list of at most so many. */
        public TextDraft<T> list(int longest) {
            most = longest;
            return this;
        }

        /** What happens if the text gives none, for the docs. */
        public TextDraft<T> otherwise(String words) {
            otherwise = words;
            return this;
        }

        public Text<T> doc(String sentence) {
            return add(new Text<>(name, sentence, form, most, otherwise));
        }
    }

    /** A list of entries being declared. */
    public final class GroupDraft {
        private final String name;
        private final Settings entry;
        private final int most;

        private GroupDraft(String name, Settings entry, int most) {
            this.name = name;
            this.entry = entry;
            this.most = most;
        }

        public Group doc(String sentence) {
            return add(new Group(name, sentence, entry, most));
        }
    }

    /** Every setting of this and of the entries of its lists, in order. */
    public void each(Consumer<Setting> visit) {
        for (Setting s : all) {
            visit.accept(s);
            if (s instanceof Group g) g.entry().each(visit);
        }
    }
}
