package linnet.hear;

/**
 * Something short that happens in a take, such as a breath.
 *
 * @param from its first sample
 * @param to the sample after its last
 * @param dbfs its level: RMS of a breath, peak of a click or of a clipped run
 * @param confidence from 0, a guess, to 1, certain
 */
public record Event(long from, long to, double dbfs, double confidence) {}
