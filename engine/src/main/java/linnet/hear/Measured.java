package linnet.hear;

import java.util.Optional;
import java.util.function.Function;

/**
 * A fact heard in a sound, or the reason in plain words why it can't be heard there: never a default in disguise.
 *
 * @param value empty where it can't be measured
 * @param confidence from 0 (a guess) to 1 (certain); 0 where there is no value
 * @param reason why there is no value, as the end of the sentence "… can't be measured: "; else empty
 */
public record Measured<T>(Optional<T> value, double confidence, String reason) {
    public Measured {
        if (value.isPresent() != reason.isEmpty()) throw new IllegalArgumentException("either a value or a reason");
    }

    /** @param confidence held inside 0 to 1 */
    public static <T> Measured<T> of(T value, double confidence) {
        return new Measured<>(Optional.of(value), Math.max(0, Math.min(1, confidence)), "");
    }

    public static <T> Measured<T> not(String reason) {
        return new Measured<>(Optional.empty(), 0, reason);
    }

    public boolean known() {
        return value.isPresent();
    }

    /** The same fact seen otherwise, such as the frequency of a resonance. */
    public <R> Measured<R> map(Function<T, R> view) {
        return then(v -> of(view.apply(v), confidence));
    }

    /** What is measured from this fact; where this one is not known, neither is that, for the same reason. */
    public <R> Measured<R> then(Function<T, Measured<R>> measure) {
        return known() ? measure.apply(value.get()) : not(reason);
    }
}
