package linnet.hear;

/**
 * A spectrum in bands.
 *
 * @param hz the nominal centre of each band
 * @param dbfs its level; minus infinity where it is empty
 */
public record Bands(double[] hz, double[] dbfs) {}
