package linnet.hear;

import java.util.Arrays;
import linnet.dsp.Sound;
import linnet.dsp.repair.HumLines;

/**
 * Hum of the mains, as the step {@code hum} finds it that takes it away: what is measured and what is done with its usual values are one finding.
 *
 * @param hz of the mains, as found
 * @param dbfs of all harmonics together
 * @param harmonics the level of each that stands out
 */
public record Hum(double hz, double dbfs, Bands harmonics) {
    /** Looks for it in a sound. */
    static Measured<Hum> in(Sound sound) {
        return HumLines.find(sound, HumLines.mains(), HumLines.USUAL_HARMONICS, HumLines.step(sound.rate()), HumLines.USUAL_WIDTH).map(Hum::of)
                .orElseGet(() -> Measured.not("no hum stands out of what sounds in it"));
    }

    private static Measured<Hum> of(HumLines lines) {
        double[] hz = Arrays.stream(lines.numbers()).mapToDouble(n -> n * lines.hz()).toArray();
        return Measured.of(new Hum(lines.hz(), lines.dbfs(), new Bands(hz, lines.eachDbfs())), lines.certainty());
    }
}
