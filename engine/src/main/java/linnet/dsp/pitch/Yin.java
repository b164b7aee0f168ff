package linnet.dsp.pitch;

import java.util.stream.IntStream;
import linnet.dsp.Approximation;
import linnet.dsp.spectral.Fft;

/**
 * The periodicity of one frame after A. de Cheveigné and H. Kawahara, "YIN, a fundamental frequency estimator for speech
 * and music", JASA 111(4), 2002. The difference function (their step 2) of a window W and lag τ,
 * {@code d(τ) = Σ (x[j] - x[j+τ])²}, is taken as {@code e(0) + e(τ) - 2 r(τ)}, energies from a running sum and r by
 * transforms; it is then divided by its own mean over the shorter lags (step 3). A minimum of this is a period that the
 * frame may have, placed between the samples by a parabola (step 5), and more finely by {@link #fine}. Which one it has is left to who knows the
 * neighbouring frames: see {@link PitchTracker}.
 */
final class Yin {
    private final double rate, highest;
    private final int shortest, longest, window;
    private final Fft fft;
    /** How the window of the frame correlates with the frame. */
    private final double[] correlation;
    private final double[] difference;
    /** The difference function before it is divided. */
    private final double[] raw;
    /** Its sum over this lag and the shorter ones; and the lags themselves. */
    private final double[] sums, lags;
    /** Between two lags the function is read by a windowed sinc at so many places. */
    private static final int PLACES = 16, SIDE = 8;
    private final double[][] between = new double[PLACES][2 * SIDE];

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
        correlation = new double[length];
        difference = new double[longest + 1];
        raw = new double[longest + 1];
        sums = new double[longest + 1];
        lags = IntStream.rangeClosed(0, longest).asDoubleStream().toArray();
        for (int p = 0; p < PLACES; p++) {
            for (int k = 0; k < 2 * SIDE; k++) {
                double t = k - SIDE + 1 - (double) p / PLACES, angle = Math.PI * t;
                double window = 0.5 + 0.5 * StrictMath.cos(angle / SIDE);
                between[p][k] = t == 0 ? 1 : window * StrictMath.sin(angle) / angle;
            }
        }
    }

    /** Samples in a frame. */
    int length() {
        return correlation.length;
    }

    /** The sample of a frame that its estimate belongs to, for a period of that frequency: the middle of all that was compared. */
    int centre(double hz) {
        return (int) Math.round((window + rate / hz) / 2);
    }

    /** Hears the frame {@code x[at] … x[at + length - 1]}. */
    void hear(double[] x, int at) {
        fft.correlate(x, at, window, correlation);
        double both = 2 * energy(x, at, window), sum = 0;
        for (int lag = 1; lag <= longest; lag++) {
            double in = x[at + lag + window - 1], out = x[at + lag - 1];
            both += in * in - out * out;
            double d = both - 2 * correlation[lag];
            // Rounding may leave a hair below zero where the frame repeats exactly.
            if (d < 0) d = 0;
            sum += d;
            raw[lag] = d;
            sums[lag] = sum;
        }
        // In a loop of its own, several at a time: a quotient takes long.
        for (int lag = 0; lag <= longest; lag++) difference[lag] = raw[lag] * lags[lag] / sums[lag];
        for (int lag = 0; lag <= longest && sums[lag] == 0; lag++) difference[lag] = 1;
    }

    /** In four sums: each of them waits for itself only. */
    private static double energy(double[] x, int at, int n) {
        double a = 0, b = 0, c = 0, d = 0;
        int j = at;
        for (; j + 4 <= at + n; j += 4) {
            a += x[j] * x[j];
            b += x[j + 1] * x[j + 1];
            c += x[j + 2] * x[j + 2];
            d += x[j + 3] * x[j + 3];
        }
        for (; j < at + n; j++) a += x[j] * x[j];
        return (a + b) + (c + d);
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

    /**
     * The pitch (log2 of Hz) of the frame heard last near one that {@link #periods} gave. Few samples lie in a period of a high voice, and
     * its overtones bend the difference function away from a parabola through three of them, by up to 10 cents; it has no more band than
     * the signal, so it is read between them, which is right within 1 cent.
     */
    double fine(double octave) {
        double near = rate * Approximation.gain(-Approximation.DB_PER_OCTAVE * octave);
        int at = (int) Math.round(near * PLACES);
        if (at < (SIDE + 1) * PLACES || at > (longest - SIDE - 1) * PLACES) return octave;
        double here = raw(at), below = raw(at - 1), above = raw(at + 1);
        for (int step = 0; step < PLACES / 2 && (below < here || above < here); step++) {
            if (below < above) {
                at--;
                above = here;
                here = below;
                below = raw(at - 1);
            } else {
                at++;
                below = here;
                here = above;
                above = raw(at + 1);
            }
        }
        double bend = below - 2 * here + above;
        return bend > 0 && below >= here && above >= here ? Approximation.log2(rate * PLACES / (at + (below - above) / (2 * bend))) : octave;
    }

    /** The difference function at so many 16ths of a lag, in four sums too. */
    private double raw(int place) {
        int lag = place / PLACES - SIDE + 1;
        double[] w = between[place % PLACES];
        double a = 0, b = 0, c = 0, d = 0;
        for (int k = 0; k < w.length; k += 4) {
            a += w[k] * raw[lag + k];
            b += w[k + 1] * raw[lag + k + 1];
            c += w[k + 2] * raw[lag + k + 2];
            d += w[k + 3] * raw[lag + k + 3];
        }
        return (a + b) + (c + d);
    }
}
