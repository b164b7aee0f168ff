package linnet.hear;

import java.util.function.Function;

/**
 * A fact heard in a sound, or the reason in plain words why it can't be heard there. A fact is never a default in
 * disguise: who asks for the value of an unheard one gets an exception that carries the reason.
 *
 * @param confidence from 0 (a guess) to 1 (certain); 0 where there is no value
 * @param reason null where there is a value; else the end of the sentence "… can't be measured: "
 */
public record Measured<T>(T value, double confidence, String reason) {
    public Measured {
        if ((value == null) == (reason == null)) throw new IllegalArgumentException("either a value or a reason");
    }

    static <T> Measured<T> of(T value, double confidence) {
        return new Measured<>(value, Math.max(0, Math.min(1, confidence)), null);
    }

    static <T> Measured<T> not(String reason) {
        return new Measured<>(null, 0, reason);
    }

    public boolean known() {
        return reason == null;
    }

    /** @throws IllegalStateException with the reason if there is no value; ask {@link #known()} first */
    @Override
    public T value() {
        if (!known()) throw new IllegalStateException(reason);
        return value;
    }

    /** The same fact seen otherwise, such as the frequency of a resonance. */
    public <R> Measured<R> map(Function<T, R> view) {
        return known() ? of(view.apply(value), confidence) : not(reason);
    }
}
