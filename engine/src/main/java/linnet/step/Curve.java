package linnet.step;

import java.util.function.DoubleUnaryOperator;

/**
 * What a kernel does to a steady signal, for pictures.
 *
 * @param name of the curve, where a step has several
 * @param axis what it is drawn over
 * @param of for {@code FREQUENCY}, dB of gain at so many Hz; for {@code LEVEL}, output level in dBFS at an input level in dBFS
 */
public record Curve(String name, Axis axis, DoubleUnaryOperator of) {
    public enum Axis {
        FREQUENCY,
        LEVEL
    }
}
