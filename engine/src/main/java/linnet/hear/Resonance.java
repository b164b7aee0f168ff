package linnet.hear;

/**
 * A narrow place where the voice stands out from its own spectrum smoothed over an octave.
 *
 * @param hz where it is strongest
 * @param width in octaves, between the points of half its height: the {@code bandwidth} of the bell that undoes it
 * @param height in dB above the smoothed spectrum
 */
public record Resonance(double hz, double width, double height) {}
