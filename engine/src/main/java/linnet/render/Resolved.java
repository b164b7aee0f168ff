package linnet.render;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.stream.Stream;
import linnet.hear.Remembered;

/**
 * A number that was found by hearing.
 *
 * @param step name of the step
 * @param setting which of its settings
 * @param given what the text says; empty if the step found it by itself
 * @param value the number, with unit
 * @param odd whether it is no number, but something about that setting that somebody should look at
 * @param advised whether it is a number with something beside it that somebody should look at
 */
public record Resolved(String step, String setting, String given, String value, boolean odd, boolean advised) {
    /** All that was found, to be remembered. */
    static final Remembered<List<Resolved>> ALL =
            Remembered.list(new Remembered<>(r -> r.texts().mapToInt(t -> 4 + t.getBytes(StandardCharsets.UTF_8).length).sum() + 2, (r, to) -> {
        r.texts().forEach(t -> Remembered.putText(t, to));
        to.put((byte) (r.odd ? 1 : 0)).put((byte) (r.advised ? 1 : 0));
    }, from -> new Resolved(Remembered.readText(from), Remembered.readText(from), Remembered.readText(from), Remembered.readText(from), from.get() == 1,
            from.get() == 1)));

    /** As it is told. */
    public String words() {
        return step + ": " + setting + " " + (given.isEmpty() ? "" : given + " = ") + value;
    }

    /** The same of a step of another name. */
    Resolved of(String step) {
        return new Resolved(step, setting, given, value, odd, advised);
    }

    private Stream<String> texts() {
        return Stream.of(step, setting, given, value);
    }

    /** Written out: what would be made when two are first compared takes as long as a second of the render. */
    @Override
    public boolean equals(Object o) {
        return o instanceof Resolved r && step.equals(r.step) && setting.equals(r.setting) && given.equals(r.given) && value.equals(r.value) && odd == r.odd
                && advised == r.advised;
    }

    @Override
    public int hashCode() {
        return 31 * (31 * (31 * step.hashCode() + setting.hashCode()) + given.hashCode()) + value.hashCode();
    }
}
