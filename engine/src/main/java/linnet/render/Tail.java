package linnet.render;

/** How long a print runs on after its take. */
public sealed interface Tail {
    /** Until the last half second stays below -90 dBFS. */
    record Auto() implements Tail {}

    /** For so many seconds, then a short fade. */
    record Seconds(double seconds) implements Tail {}
}
