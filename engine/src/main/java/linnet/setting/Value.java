package linnet.setting;

import java.util.List;
import java.util.Optional;
import linnet.text.Span;

/** A value as the text gives it, before anything is measured. */
public sealed interface Value {
    /** A number in the setting's own unit. */
    record Amount(double value) implements Value {}

    /** A length in quarter notes; it becomes a time when the tempo is known. */
    record Notes(double quarters, String text) implements Value {
        /** How long that is. */
        public double seconds(double bpm) {
            return quarters * 60 / bpm;
        }
    }

    /**
     * Stated against the singer. For levels {@code amount} is dB added to the reference, for frequencies a factor.
     *
     * @param index which resonance, from 1; else 1
     */
    record Relative(Reference reference, int index, double amount, String text) implements Value {}

    /** One of the words that a setting knows beside numbers, such as {@code match}. */
    record Named(String word) implements Value {}

    /**
     * So much more than another value, which is known when that is.
     *
     * @param base a number, a length in notes or what is stated against the singer
     * @param by in the setting's own unit
     */
    record Shifted(Value base, double by) implements Value {}

    /** Moves from point to point: straight lines between them, on the setting's own scale, held at both ends. */
    record Curve(List<Point> points) implements Value {
        public Curve {
            points = List.copyOf(points);
        }
    }

    /**
     * At that time of the take, that value.
     *
     * @param said where a move says so; empty where the chain does
     */
    record Point(double seconds, Value value, Optional<Span> said) {
        public Point(double seconds, Value value) {
            this(seconds, value, Optional.empty());
        }
    }
}
