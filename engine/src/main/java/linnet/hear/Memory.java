package linnet.hear;

import java.util.Optional;
import java.util.function.DoubleSupplier;
import java.util.function.Supplier;

/**
 * What was heard of a sound before, by a name for each fact, so that it need not be heard again. It is as good as hearing only where the
 * name of the sound stands for its samples to the bit. Used by one thread at a time.
 */
public interface Memory {
    /** Remembers nothing. */
    Memory NONE = new Memory() {
        @Override
        public Optional<byte[]> recall(String fact) {
            return Optional.empty();
        }

        @Override
        public void keep(String fact, byte[] bytes) {}
    };

    /** The name of the list of marks, but for the clicks. */
    String SPEECH = "speech";

    /** A fact that was kept. */
    Optional<byte[]> recall(String fact);

    void keep(String fact, byte[] bytes);

    /** The memory of what becomes of the sound at a place that this name stands for. */
    default Memory at(String place) {
        if (this == NONE) return NONE;
        Memory whole = this;
        return new Memory() {
            @Override
            public Optional<byte[]> recall(String fact) {
                return whole.recall(place + " " + fact);
            }

            @Override
            public void keep(String fact, byte[] bytes) {
                whole.keep(place + " " + fact, bytes);
            }
        };
    }

    /** One in which a single fact is remembered here, and all others elsewhere; what is new of the one is kept there too, for whoever asks there next. */
    default Memory keeping(String one, Memory others) {
        Memory here = this;
        return new Memory() {
            @Override
            public Optional<byte[]> recall(String fact) {
                return (fact.equals(one) ? here : others).recall(fact);
            }

            @Override
            public void keep(String fact, byte[] bytes) {
                if (fact.equals(one)) here.keep(fact, bytes);
                others.keep(fact, bytes);
            }
        };
    }

    /** The same, in which what is not remembered here is recalled from another, and kept here. */
    default Memory recalling(Memory other) {
        Memory here = this;
        return new Memory() {
            @Override
            public Optional<byte[]> recall(String fact) {
                Optional<byte[]> kept = here.recall(fact);
                if (kept.isPresent()) return kept;
                Optional<byte[]> known = other.recall(fact);
                known.ifPresent(bytes -> here.keep(fact, bytes));
                return known;
            }

            @Override
            public void keep(String fact, byte[] bytes) {
                here.keep(fact, bytes);
            }
        };
    }

    /** A fact in a form of its own: recalled, or heard now and kept. */
    default <T> T fact(String name, Remembered<T> form, Supplier<T> hear) {
        Optional<T> kept = recall(name).flatMap(form::read);
        if (kept.isPresent()) return kept.get();
        T heard = hear.get();
        if (this != NONE) keep(name, form.write(heard));
        return heard;
    }

    /** A number that a step finds by hearing. */
    default double number(String name, DoubleSupplier hear) {
        return fact(name, Remembered.NUMBER, hear::getAsDouble);
    }
}
