package linnet.dsp.pitch;

import java.util.Arrays;
import linnet.dsp.Approximation;
import linnet.dsp.spectral.Fft;

/**
 * The periodicity of one frame after A. de Cheveigné and H. Kawahara, "YIN, a fundamental frequency estimator for speech
 * and music", JASA 111(4), 2002. The difference function (their step 2) of a window W and lag τ,
 * {@code d(τ) = Σ (x[j] - x[j+τ])²}, is taken as {@code e(0) + e(τ) - 2 r(τ)}, energies from a running sum and r by a
 * transform; it is then divided by its own mean over the shorter lags (step 3). A minimum of this is a period that the
 * frame may have, placed between the samples by a parabola (step 5). Which one it has is left to who knows the
 * neighbouring frames: see {@link PitchTracker}.
 */
final class Yin {
    private final double rate, highest;
    private final int shortest, longest, window;
    private final Fft fft;
    private final double[] padded, re, im, windowRe, windowIm;
    private final double[] difference;

    /**
     * @param rate in Hz, of the frames
     * @param lowest Hz
     * @param highest Hz
     */
    Yin(double rate, double lowest, double highest) {
        this.rate = rate;
        this.highest = Approximation.log2(highest);
        shortest = Math.max(2, (int) Math.floor(rate / highest));
        longest = (int) Math.ceil(rate / lowest) + 1;
        // Long enough that the correlation up to the longest lag does not wrap round, with a window of that lag or more.
        int length = Integer.highestOneBit(2 * longest) * 2;
        window = length - longest;
        fft = new Fft(length);
        padded = new double[length];
        re = new double[fft.bins()];
        im = new double[fft.bins()];
        windowRe = new double[fft.bins()];
        windowIm = new double[fft.bins()];
        difference = new double[longest + 1];
    }

    /** Samples in a frame. */
    int length() {
        return padded.length;
    }

    /** The sample of a frame that its estimate belongs to, for a period of that frequency: the middle of all that was compared. */
    int centre(double hz) {
        return (int) Math.round((window + rate / hz) / 2);
    }

    /** Hears the frame {@code x[0] … x[length - 1]}. */
    void hear(double[] x) {
        fft.forward(x, re, im);
        System.arraycopy(x, 0, padded, 0, window);
        Arrays.fill(padded, window, padded.length, 0);
        fft.forward(padded, windowRe, windowIm);
        for (int k = 0; k < re.length; k++) {
            double a = re[k], b = im[k], c = windowRe[k], d = windowIm[k];
            re[k] = a * c + b * d;
            im[k] = b * c - a * d;
        }
        fft.inverse(re, im, padded);
        double fixed = 0;
        for (int j = 0; j < window; j++) fixed += x[j] * x[j];
        double moved = fixed, sum = 0;
        difference[0] = 1;
        for (int lag = 1; lag <= longest; lag++) {
            double in = x[lag + window - 1], out = x[lag - 1];
            moved += in * in - out * out;
            // Rounding may leave a hair below zero where the frame repeats exactly.
            double d = Math.max(0, fixed + moved - 2 * padded[lag]);
            sum += d;
            difference[lag] = sum > 0 ? d * lag / sum : 1;
        }
    }

    /**
     * Fills {@code octave} (log2 of Hz) and {@code cost} with the cheapest minima below {@code limit}, at most as many as
     * the arrays hold, and returns how many. A minimum costs its depth (0 is a perfect repeat, about 1 none), and
     * {@code perOctave} for each octave below the highest pitch: every multiple of a period is a period too, and the
     * shortest is meant.
     */
    int periods(double limit, double perOctave, double[] octave, double[] cost) {
        int found = 0;
        for (int lag = shortest; lag < longest; lag++) {
            double a = difference[lag - 1], b = difference[lag], c = difference[lag + 1];
            if (b >= limit || b >= a || b > c) continue;
            double shift = (a - c) / (2 * (a - 2 * b + c));
            double depth = Math.max(0, b - (a - c) * shift / 4);
            double pitch = Approximation.log2(rate / (lag + shift));
            double price = depth + perOctave * (highest - pitch);
            if (found == cost.length && price >= cost[found - 1]) continue;
            int at = found < cost.length ? found++ : found - 1;
            for (; at > 0 && price < cost[at - 1]; at--) {
                octave[at] = octave[at - 1];
                cost[at] = cost[at - 1];
            }
            octave[at] = pitch;
            cost[at] = price;
        }
        return found;
    }
}
