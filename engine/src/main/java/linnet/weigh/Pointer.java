package linnet.weigh;

import java.util.Arrays;
import linnet.dsp.loudness.Loudness;

/** Hears one thing and ends as its {@link Scale}. One number is kept for each frame, and one for each side in ten of them. */
final class Pointer {
    private final Loudness loudness;
    private final int frame;
    private double[] power = new double[4096];
    private int frames, filled;
    private double sum;
    private final int stretch;
    private final double[][] sides;
    private int stretches, inStretch;

    /** @param channels 1 or 2 */
    Pointer(double rate, int channels) {
        loudness = new Loudness(rate, channels);
        frame = (int) Math.round(rate * Scale.FRAME_SECONDS);
        stretch = (int) Math.round(rate * Scale.SIDE_SECONDS);
        sides = new double[channels][512];
    }

    /** Hears the next samples. */
    void add(double[][] x, int n) {
        loudness.add(x, n);
        for (int i = 0; i < n; i++) {
            for (int c = 0; c < x.length; c++) {
                double square = x[c][i] * x[c][i];
                sum += square;
                sides[c][stretches] += square;
            }
            if (++inStretch == stretch) nextStretch();
            if (++filled < frame) continue;
            if (frames == power.length) power = Arrays.copyOf(power, 2 * frames);
            power[frames++] = sum / frame;
            filled = 0;
            sum = 0;
        }
    }

    private void nextStretch() {
        inStretch = 0;
        if (++stretches < sides[0].length) return;
        for (int c = 0; c < sides.length; c++) sides[c] = Arrays.copyOf(sides[c], 2 * stretches);
    }

    Scale scale() {
        double integrated = loudness.integrated();
        double[] lufs = loudness.stretches(), powers = Arrays.copyOf(power, frames);
        // The last stretch may be a shorter one.
        return sides.length == 1 ? new Scale(integrated, lufs, powers)
                : new Scale(integrated, lufs, powers, Arrays.copyOf(sides[0], stretches + 1), Arrays.copyOf(sides[1], stretches + 1));
    }
}
