package linnet.tidy;

import java.util.OptionalDouble;

/**
 * What is wanted of a part that follows a lead; what is empty or false is left alone.
 *
 * @param timing seconds by which it may be off
 * @param reach seconds by which a phrase is moved at most
 * @param breaths whether its breaths give way to the room
 * @param consonants dB by which a hard consonant is lowered where the lead says one too
 * @param ends whether what outlasts a phrase of the lead is faded
 * @param level RMS of what is sung in each phrase, in dBFS
 */
public record Aims(OptionalDouble timing, double reach, boolean breaths, OptionalDouble consonants, boolean ends, OptionalDouble level) {}
