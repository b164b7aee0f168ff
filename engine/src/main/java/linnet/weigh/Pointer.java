package linnet.weigh;

import java.util.Arrays;
import linnet.dsp.Decibels;
import linnet.dsp.loudness.Loudness;

/** Hears one thing and ends as its {@link Scale}. One number is kept for each frame. */
final class Pointer {
    private final Loudness loudness;
    private final int frame;
    private double[] power = new double[4096];
    private int frames, filled;
    private double sum;
    private final double[] sides = new double[2];

    /** @param channels 1 or 2 */
    Pointer(double rate, int channels) {
        loudness = new Loudness(rate, channels);
        frame = (int) Math.round(rate * Scale.FRAME_SECONDS);
    }

    /** Hears the next samples. */
    void add(double[][] x, int n) {
        loudness.add(x, n);
        for (int i = 0; i < n; i++) {
            for (int c = 0; c < x.length; c++) {
                double square = x[c][i] * x[c][i];
                sum += square;
                sides[c] += square;
            }
            if (++filled < frame) continue;
            if (frames == power.length) power = Arrays.copyOf(power, 2 * frames);
            power[frames++] = sum / frame;
            filled = 0;
            sum = 0;
        }
    }

    Scale scale() {
        return new Scale(loudness.integrated(), loudness.stretches(), Arrays.copyOf(power, frames),
                sides[0] > 0 && sides[1] > 0 ? Decibels.ofPower(sides[0] / sides[1]) : 0);
    }
}
