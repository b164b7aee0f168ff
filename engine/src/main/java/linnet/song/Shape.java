package linnet.song;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import linnet.setting.Quantity;

/**
 * What may stand in a mapping of a song file: each key with its form and a sentence. Readers refuse what is not declared here, and the schema
 * for editors is made of it, so that neither knows a key that the other does not.
 */
public final class Shape {
    public record Key(String name, Form form, String doc) {}

    /**
     * Entries that the song names itself.
     *
     * @param names a regular expression for what they may be called; empty for anything
     */
    public record Others(String names, Form form, String doc) {}

    /** Keys of which some must be there: all, exactly one or at least one. */
    public record Need(How how, List<String> keys) {}

    public enum How { ALL, ONE, ANY }

    /** Where {@code key} is given, {@code others} must be too, or else must not. */
    public record With(String key, boolean needed, List<String> others) {}

    private final String owner;
    private final List<Key> keys = new ArrayList<>();
    private final List<Need> needs = new ArrayList<>();
    private final List<With> withs = new ArrayList<>();
    private Others others;

    /** @param owner what has these keys, for messages: "a part" */
    Shape(String owner) {
        this.owner = owner;
    }

    Shape key(String name, String doc, Form... forms) {
        keys.add(new Key(name, forms.length == 1 ? forms[0] : Form.either(forms), doc));
        return this;
    }

    /** A number as it is declared. */
    Shape number(Quantity setting) {
        return key(setting.name(), setting.doc(), new Form.Amount(setting));
    }

    Shape others(String names, String doc, Form form) {
        others = new Others(names, form, doc);
        return this;
    }

    Shape need(How how, String... names) {
        needs.add(new Need(how, List.of(names)));
        return this;
    }

    /** Where {@code key} is given, so are these. */
    Shape with(String key, String... needed) {
        withs.add(new With(key, true, List.of(needed)));
        return this;
    }

    /** Where {@code key} is given, none of these is. */
    Shape without(String key, String... refused) {
        withs.add(new With(key, false, List.of(refused)));
        return this;
    }

    public String owner() {
        return owner;
    }

    public List<Key> keys() {
        return Collections.unmodifiableList(keys);
    }

    public Optional<Others> others() {
        return Optional.ofNullable(others);
    }

    public List<Need> needs() {
        return Collections.unmodifiableList(needs);
    }

    public List<With> withs() {
        return Collections.unmodifiableList(withs);
    }

    List<String> names() {
        return keys.stream().map(Key::name).toList();
    }

    @Override
    public String toString() {
        return owner + " " + names();
    }
}
