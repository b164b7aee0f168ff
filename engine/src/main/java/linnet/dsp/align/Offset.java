package linnet.dsp.align;

import java.util.Optional;
import linnet.dsp.Sound;
import linnet.dsp.spectral.Fft;

/**
 * By how much one sound lies later than another that has the same origin, up to one second either way: the peak of their
 * cross-correlation with the phase transform, which weighs every frequency alike, so that the equaliser or the long vowel of
 * one of them does not smear it. Source: C. Knapp, G. Carter, "The generalized correlation method for estimation of time
 * delay", IEEE TASSP 24(4), 1976.
 *
 * @param frames samples; above 0 where the second sound lies later
 * @param inverted true where the second sound is plainly upside down
 */
public record Offset(long frames, boolean inverted) {
    private static final double FARTHEST_SECONDS = 1;
    /** So much of the sounds is compared, from the beginning. */
    private static final int LONGEST = 1 << 20;
    /** A peak is sure where nothing else away from it reaches this share: between strangers the two highest are about equal. */
    private static final double SURE = 0.5;
    /** Around the peak: what the phase of a filter spreads it over. */
    private static final double WIDTH_SECONDS = 0.002;
    /** Bins below this share of the power of the strongest hold rounding only; breath lies above. */
    private static final double FAINT = 1e-10;
    /** A sound that is cut off has a click there, alike in both; it is faded from and to silence. */
    private static final double FADE_SECONDS = 0.05;

    /**
     * Compares the middle of the channels of two sounds of the same rate.
     *
     * @return empty where the sounds do not show it: silence, other takes
     */
    public static Optional<Offset> between(Sound one, Sound other) {
        int farthest = (int) Math.round(FARTHEST_SECONDS * one.rate());
        int length = (int) Math.min(LONGEST, Math.max(one.frames(), other.frames()));
        int size = Integer.highestOneBit(2 * (length + farthest) - 1);
        double[] correlation = correlation(one, other, length, size);
        int peak = highest(correlation, farthest, 0, -1);
        int width = (int) Math.round(WIDTH_SECONDS * one.rate());
        int next = highest(correlation, farthest, peak, width);
        double height = Math.abs(correlation[index(peak, size)]);
        if (!(height > 0) || Math.abs(correlation[index(next, size)]) > SURE * height) return Optional.empty();
        // A filter that turns the phase leaves peaks of both signs, and then neither is upside down.
        double upright = 0;
        for (int lag = peak - width; lag <= peak + width; lag++) upright = Math.max(upright, correlation[index(lag, size)]);
        return Optional.of(new Offset(peak, upright < SURE * height));
    }

    private static double[] correlation(Sound one, Sound other, int length, int size) {
        Fft fft = new Fft(size);
        double[] re = new double[fft.bins()], im = new double[fft.bins()], otherRe = new double[fft.bins()], otherIm = new double[fft.bins()];
        fft.forward(middle(one, length, size), re, im);
        fft.forward(middle(other, length, size), otherRe, otherIm);
        double strongest = 0;
        for (int k = 0; k < re.length; k++) {
            double r = re[k] * otherRe[k] + im[k] * otherIm[k];
            double i = re[k] * otherIm[k] - im[k] * otherRe[k];
            re[k] = r;
            im[k] = i;
            strongest = Math.max(strongest, r * r + i * i);
        }
        for (int k = 0; k < re.length; k++) {
            double power = re[k] * re[k] + im[k] * im[k];
            double weight = power > FAINT * FAINT * strongest ? 1 / Math.sqrt(power) : 0;
            re[k] *= weight;
            im[k] *= weight;
        }
        double[] x = new double[size];
        fft.inverse(re, im, x);
        return x;
    }

    private static double[] middle(Sound sound, int length, int size) {
        double[][] x = new double[sound.channels()][size];
        int n = (int) Math.min(length, sound.frames());
        sound.read(0, x, n);
        if (x.length == 2) for (int i = 0; i < n; i++) x[0][i] += x[1][i];
        int fade = (int) Math.min(n / 2, Math.round(FADE_SECONDS * sound.rate()));
        for (int i = 0; i < fade; i++) {
            double gain = 0.5 - 0.5 * StrictMath.cos(Math.PI * (i + 0.5) / fade);
            x[0][i] *= gain;
            x[0][n - 1 - i] *= gain;
        }
        return x[0];
    }

    /** The lag of the largest magnitude that lies more than {@code width} from {@code peak}. */
    private static int highest(double[] correlation, int farthest, int peak, int width) {
        int highest = -farthest;
        double most = -1;
        for (int lag = -farthest; lag <= farthest; lag++) {
            if (Math.abs(lag - peak) <= width) continue;
            double here = Math.abs(correlation[index(lag, correlation.length)]);
            if (here > most) {
                most = here;
                highest = lag;
            }
        }
        return highest;
    }

    private static int index(int lag, int size) {
        return lag >= 0 ? lag : lag + size;
    }
}
