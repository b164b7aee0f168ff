package linnet.audio;

import java.nio.file.Path;

/**
 * A print that is done.
 *
 * @param frames length in samples per channel
 * @param over   samples of all channels that lay beyond full scale and were held there (integers), or lie there (float)
 * @param peak   largest magnitude before the cut, full scale 1.0
 */
public record Written(Path file, long frames, long over, double peak) {}
