package linnet.setting;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import linnet.text.Span;

/** What a text gives for some {@link Settings}; what it does not give has its usual value. Immutable once read. */
public final class Values {
    private final Settings settings;
    private final Map<Setting, Object> given = new IdentityHashMap<>();
    private final Map<Setting, Span> places = new IdentityHashMap<>();
    private final Set<Setting> meant = new HashSet<>();
    private Optional<Span> place = Optional.empty();

    public Values(Settings settings) {
        this.settings = settings;
    }

    public Settings settings() {
        return settings;
    }

    /** Only for the reader of a text: where all of them stand. */
    public void place(Span at) {
        place = Optional.of(at);
    }

    /** Where they stand, if the text gives any. */
    public Optional<Span> place() {
        return place;
    }

    /** Only for the reader of a text: where the value of a setting stands. */
    public void place(Setting setting, Span at) {
        places.put(setting, at);
    }

    /** Where the value stands, if the text gives it. */
    public Optional<Span> place(Setting setting) {
        return Optional.ofNullable(places.get(setting));
    }

    /** True if the text says something for it, be it right or wrong. */
    public boolean mentioned(Setting setting) {
        return places.containsKey(setting);
    }

    /** Only for the reader of a text: a word in it was probably meant to be this setting, and that is told. */
    public void meant(Setting setting) {
        meant.add(setting);
    }

    /** True if the text says something for it, or in other words what was probably meant so: that it is missing is then nothing to tell. */
    public boolean isMeant(Setting setting) {
        return mentioned(setting) || meant.contains(setting);
    }

    /** Only for the reader of a text. */
    public void put(Quantity setting, Value value) {
        given.put(setting, value);
    }

    /** Only for the reader of a text. */
    public void put(Choice<?> setting, Enum<?> value) {
        given.put(setting, value);
    }

    /** Only for the reader of a text; at least one. */
    public void put(Text<?> setting, List<?> values) {
        given.put(setting, List.copyOf(values));
    }

    /** Only for the reader of a text. */
    public void put(Series setting, List<Value> values) {
        given.put(setting, List.copyOf(values));
    }

    /** Only for the reader of a text. */
    public void put(Group setting, List<Values> entries) {
        given.put(setting, List.copyOf(entries));
    }

    /** True if the text gives it. */
    public boolean given(Setting setting) {
        return given.containsKey(setting);
    }

    /** The given or usual value; empty if there is neither. */
    public Optional<Value> get(Quantity setting) {
        Object value = given.get(setting);
        return value != null ? Optional.of((Value) value) : setting.usual();
    }

    /** The given or usual value where that is a plain number, in the setting's own unit; empty where it moves, goes by something heard, or is a word. */
    public OptionalDouble amount(Quantity setting) {
        return get(setting).filter(Value.Amount.class::isInstance).map(v -> OptionalDouble.of(((Value.Amount) v).value())).orElse(OptionalDouble.empty());
    }

    public <E extends Enum<E>> E get(Choice<E> setting) {
        Object value = given.get(setting);
        return value != null ? setting.cast(value) : setting.usual();
    }

    /** What is given; empty if nothing is. */
    @SuppressWarnings("unchecked")
    public <T> List<T> get(Text<T> setting) {
        return (List<T>) given.getOrDefault(setting, List.of());
    }

    @SuppressWarnings("unchecked")
    public List<Value> get(Series setting) {
        return (List<Value>) given.getOrDefault(setting, List.of());
    }

    @SuppressWarnings("unchecked")
    public List<Values> get(Group setting) {
        return (List<Values>) given.getOrDefault(setting, List.of());
    }

    /** True if any value, usual ones too, is stated against the singer. */
    public boolean isRelative() {
        for (Setting s : settings.all()) {
            if (s instanceof Quantity q && get(q).filter(Values::isRelative).isPresent()) return true;
            if (s instanceof Series q && get(q).stream().anyMatch(Values::isRelative)) return true;
            if (s instanceof Group g && get(g).stream().anyMatch(Values::isRelative)) return true;
        }
        return false;
    }

    /** Whether this one is stated against the take. */
    public boolean isRelative(Quantity setting) {
        return get(setting).filter(Values::isRelative).isPresent();
    }

    private static boolean isRelative(Value value) {
        return value instanceof Value.Relative
                || value instanceof Value.Shifted s && isRelative(s.base())
                || value instanceof Value.Curve c && c.points().stream().anyMatch(p -> isRelative(p.value()));
    }

    private <T> String write(Text<T> text) {
        return text.write(get(text));
    }

    /** Canonical text of what is given, one setting after the other in order of name. */
    public String write() {
        Map<String, String> parts = new TreeMap<>();
        for (Setting s : settings.all()) {
            if (s instanceof Quantity q) {
                if (given(q)) parts.put(q.name(), q.write(get(q).orElseThrow()));
            } else if (s instanceof Choice<?> c) {
                if (given(c)) parts.put(c.name(), Choice.word(get(c)));
            } else if (s instanceof Text<?> t) {
                if (given(t)) parts.put(t.name(), write(t));
            } else if (s instanceof Series q) {
                if (given(q)) parts.put(q.name(), get(q).stream().map(q.element()::write).toList().toString());
            } else if (s instanceof Group g && given(g)) {
                List<String> entries = new ArrayList<>();
                get(g).forEach(e -> entries.add(e.write()));
                parts.put(g.name(), entries.toString());
            }
        }
        StringBuilder text = new StringBuilder("{ ");
        parts.forEach((name, value) -> text.append(text.length() > 2 ? ", " : "").append(name).append(": ").append(value));
        return text.append(" }").toString();
    }
}
