package linnet.hear;

import java.util.Arrays;
import linnet.dsp.Sound;
import linnet.dsp.repair.HumLines;

/**
 * Hum of the mains, as the step {@code hum} finds it that takes it away: what is measured and what is done are one finding.
 *
 * @param hz of the mains, as found
 * @param dbfs of all harmonics together
 * @param harmonics the level of each that stands out
 */
public record Hum(double hz, double dbfs, Bands harmonics) {
    /** What the step has as its usual values. */
    private static final double[] MAINS = {50, 60};
    private static final int HARMONICS = 10, PIECES = 5;
    private static final double WIDTH = 0.4;

    /** Looks for it in a sound. */
    static Measured<Hum> in(Sound sound) {
        int step = PIECES * (int) Math.round(HumLines.STEP_SECONDS / PIECES * sound.rate());
        return HumLines.find(sound, MAINS, HARMONICS, step, WIDTH).map(Hum::of).orElseGet(() -> Measured.not("no hum stands out of what sounds in it"));
    }

    private static Measured<Hum> of(HumLines lines) {
        double[] hz = Arrays.stream(lines.numbers()).mapToDouble(n -> n * lines.hz()).toArray();
        return Measured.of(new Hum(lines.hz(), lines.dbfs(), new Bands(hz, lines.eachDbfs())), lines.certainty());
    }
}
