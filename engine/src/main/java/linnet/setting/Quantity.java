package linnet.setting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.Word;

/** A number with a unit and a range. */
public abstract sealed class Quantity extends Setting permits Live, Fixed {
    private static final Pattern LEVEL = Pattern.compile("(.+?)\\s+(over|under)\\s+(noise|voice|peak)");
    private static final Pattern PITCH =
            Pattern.compile("(?:([0-9.]+)\\s*x\\s+)?(lowest note|sibilance|resonance(?:\\s+([1-4]))?)");
    private static final Pattern NOTE = Pattern.compile("(\\d{1,2})/(\\d{1,2})(?:\\s+(dotted|triplet))?");

    /** What a declaration says of a number. */
    record Spec(
            Unit unit, double min, double max, String usual, String otherwise, Set<Reference> references, List<String> words, boolean notes, String neutral,
            boolean whole) {}

    private final Spec spec;
    private final Value usual;

    Quantity(String name, String doc, Spec spec) {
        super(name, doc);
        this.spec = spec;
        this.usual = spec.usual == null ? null : parse(spec.usual).orElseThrow(() -> new IllegalStateException(name + ": usual value " + spec.usual));
    }

    public Unit unit() {
        return spec.unit;
    }

    public double min() {
        return spec.min;
    }

    public double max() {
        return spec.max;
    }

    /** The value where the text gives none; empty if the step then does without. */
    public Optional<Value> usual() {
        return Optional.ofNullable(usual);
    }

    /** Whether it is one of 0, 1, 2 and so on. */
    public boolean isWhole() {
        return spec.whole;
    }

    /** The usual value as a user would write it, or what happens without one. */
    public String usualText() {
        return spec.usual != null ? spec.usual : spec.otherwise;
    }

    /** The value at which, with every other neutral value of the step, the step changes nothing; as a user would write it. */
    public Optional<String> neutral() {
        return Optional.ofNullable(spec.neutral);
    }

    /** What the value may be stated against. */
    public Set<Reference> references() {
        return spec.references;
    }

    /** Words it knows beside numbers. */
    public List<String> words() {
        return spec.words;
    }

    /** True if a note value such as {@code 1/8 dotted} is understood. */
    public boolean takesNotes() {
        return spec.notes;
    }

    /** The range as text. */
    public String rangeText() {
        return spec.unit.format(spec.min) + " … " + spec.unit.format(spec.max);
    }

    /** The same, with the unit of a bare number where that cannot be read from it: in "1 ms … 5 s" two are named, in "3 kHz … 12 kHz" another. */
    public String rangeAndUnit() {
        if (spec.unit != Unit.MS && spec.unit != Unit.HZ) return rangeText();
        String own = " " + spec.unit.suffixes().get(0);
        return spec.unit.format(spec.min).endsWith(own) && spec.unit.format(spec.max).endsWith(own) ? rangeText() : rangeText() + " (bare:" + own + ")";
    }

    /** Reads a value; anything wrong becomes a problem at the word. */
    public Optional<Value> read(Word word, Problems problems) {
        String text = word.text().strip();
        Optional<Value> value = parse(text);
        if (value.isEmpty()) {
            problems.report(word.at(), complaint(text));
        } else if (value.get() instanceof Value.Amount a && !inRange(a.value())) {
            problems.report(word.at(), name() + " is outside " + rangeText() + sexagesimal(text));
            return Optional.empty();
        }
        return value;
    }

    /** A ratio that went through a program which reads YAML 1.1, where 6:1 is a number to the base of 60. */
    private String sexagesimal(String text) {
        if (spec.unit != Unit.RATIO || !text.matches("[0-9]{1,5}") || Integer.parseInt(text) % 60 != 1 || !inRange(Integer.parseInt(text) / 60)) return "";
        String meant = Integer.parseInt(text) / 60 + ":1";
        return "; " + text + " is what some programs make of " + meant + ": write \"" + meant + "\", in quotes";
    }

    public boolean inRange(double value) {
        return value >= spec.min && value <= spec.max;
    }

    private String complaint(String text) {
        String shown = text.length() > 40 ? text.substring(0, 40) + "…" : text;
        List<String> forms = new ArrayList<>();
        forms.add("a " + spec.unit.noun() + " such as \"" + spec.unit.example() + "\"");
        if (spec.notes) forms.add("a note value such as \"1/8 dotted\"");
        if (spec.references.stream().anyMatch(Reference::isLevel)) forms.add("\"10 dB over noise\"");
        spec.references.stream().filter(f -> !f.isLevel()).findFirst()
                .ifPresent(f -> forms.add(f == Reference.LOWEST_NOTE ? "\"0.8 x lowest note\"" : "\"1 x " + f.words() + "\""));
        spec.words.forEach(w -> forms.add("\"" + w + "\""));
        String last = forms.remove(forms.size() - 1);
        String wants = forms.isEmpty() ? last : String.join(", ", forms) + " or " + last;
        return name() + " wants " + wants + ", not \"" + shown + "\"" + Nearest.hint(text, vocabulary(), t -> parse(t).isPresent());
    }

    /** The words of all that can be read. */
    public List<String> vocabulary() {
        List<String> words = new ArrayList<>(spec.unit.words());
        words.addAll(spec.words);
        if (spec.notes) words.addAll(List.of("dotted", "triplet"));
        for (Reference f : spec.references) words.addAll(f.isLevel() ? List.of(f.words(), "over", "under") : List.of(f.words(), "x"));
        return words;
    }

    private Optional<Value> parse(String text) {
        if (spec.words.contains(text)) return Optional.of(new Value.Named(text));
        OptionalDouble number = spec.unit.parse(text);
        if (number.isPresent()) return Optional.of(new Value.Amount(number.getAsDouble()));
        if (text.length() > 60) return Optional.empty();
        if (spec.notes) {
            Matcher note = NOTE.matcher(text);
            if (note.matches()) return note(note, text);
        }
        Matcher level = LEVEL.matcher(text);
        if (level.matches()) return level(level, text);
        Matcher pitch = PITCH.matcher(text);
        if (pitch.matches()) return pitch(pitch, text);
        return Optional.empty();
    }

    private static Optional<Value> note(Matcher m, String text) {
        int part = Integer.parseInt(m.group(2));
        if (part == 0 || Integer.parseInt(m.group(1)) == 0) return Optional.empty();
        double quarters = 4.0 * Integer.parseInt(m.group(1)) / part;
        if ("dotted".equals(m.group(3))) quarters *= 1.5;
        if ("triplet".equals(m.group(3))) quarters *= 2.0 / 3.0;
        return Optional.of(new Value.Notes(quarters, text));
    }

    private Optional<Value> level(Matcher m, String text) {
        Reference reference = Reference.valueOf(m.group(3).toUpperCase(Locale.ROOT));
        OptionalDouble db = Unit.DB.parse(m.group(1));
        if (!spec.references.contains(reference) || db.isEmpty()) return Optional.empty();
        double sign = m.group(2).equals("over") ? 1 : -1;
        return Optional.of(new Value.Relative(reference, 1, sign * db.getAsDouble(), text));
    }

    private Optional<Value> pitch(Matcher m, String text) {
        String words = m.group(2).replaceAll("\\s+[1-4]$", "");
        Optional<Reference> reference = Arrays.stream(Reference.values()).filter(f -> f.words().equals(words)).findFirst();
        if (reference.isEmpty() || !spec.references.contains(reference.get())) return Optional.empty();
        OptionalDouble factor = m.group(1) == null ? OptionalDouble.of(1) : Unit.PLAIN.parse(m.group(1));
        if (factor.isEmpty() || factor.getAsDouble() <= 0) return Optional.empty();
        int index = m.group(3) == null ? 1 : Integer.parseInt(m.group(3));
        return Optional.of(new Value.Relative(reference.get(), index, factor.getAsDouble(), text));
    }

    /** A difference as text, with its sign, to stand behind a value: {@code " + 2 dB"}. */
    public String difference(double by) {
        return (by < 0 ? " - " : " + ") + spec.unit.format(Math.abs(by), 9);
    }

    /** The value as canonical text: what {@link #read} would read back. */
    public String write(Value value) {
        if (value instanceof Value.Amount a) return spec.unit.format(a.value(), 9);
        if (value instanceof Value.Notes n) return n.text();
        if (value instanceof Value.Relative r) return r.text();
        if (value instanceof Value.Named n) return n.word();
        if (value instanceof Value.Shifted s) return write(s.base()) + difference(s.by());
        StringBuilder text = new StringBuilder("{ ");
        for (Value.Point p : ((Value.Curve) value).points()) {
            if (text.length() > 2) text.append(", ");
            text.append(Unit.SECONDS.format(p.seconds(), 9)).append(": ").append(write(p.value()));
        }
        return text.append(" }").toString();
    }
}
