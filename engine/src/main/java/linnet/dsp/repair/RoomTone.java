package linnet.dsp.repair;

import java.util.Arrays;
import java.util.Optional;
import linnet.dsp.Sound;
import linnet.dsp.spectral.Fft;
import org.apache.commons.math3.util.KthSelector;

/**
 * The sound of a room as endless noise: its power spectrum is measured in stretches of bare room (P. Welch, IEEE Transactions on Audio
 * and Electroacoustics 15(2), 1967), and noise with that spectrum is made of it, so that nothing of the room is heard twice, as it would
 * be in a loop. In stereo the two channels are as alike, frequency by frequency, as they are in the room.
 *
 * <p>Of each frequency the median over all windows counts, brought to the mean that noise with this median has: clicks of the mouth and
 * bumps of the stand are not the room. A steady tone comes out 1.6 dB too strong for that, and in its level but not in its phase.
 *
 * <p>The phases are a hash of the place in the take: the same place has the same noise, whatever else is filled.
 */
public final class RoomTone {
    /** Windows of about 90 ms; where no stretch is as long, down to about 20 ms. */
    private static final double WINDOW_SECONDS = 0.1, SHORTEST_SECONDS = 0.015;
    private static final int TURNS = 256;
    /** The odd increment and the mixing of SplitMix64 (G. Steele, D. Lea, C. Flood, OOPSLA 2014). */
    private static final long STEP = 0x9E37_79B9_7F4A_7C15L;

    private final int channels, length;
    private final Fft fft;
    /** Magnitude of the first channel; of the second what follows the first, and what is its own. */
    private final double[] first, followRe, followIm, own;
    private final double[] window, cosine = new double[TURNS], sine = new double[TURNS];

    /**
     * The tone of a room.
     *
     * @param stretches pairs of the first sample and the sample after the last
     * @return empty where no stretch is long enough
     */
    public static Optional<RoomTone> of(Sound sound, long[][] stretches) {
        int longest = Integer.highestOneBit((int) (WINDOW_SECONDS * sound.rate()));
        for (int length = longest; length >= SHORTEST_SECONDS * sound.rate(); length /= 2) {
            Cross cross = new Cross(sound, length);
            for (long[] s : stretches) cross.add(s[0], s[1]);
            if (cross.count > 0) return Optional.of(new RoomTone(cross));
        }
        return Optional.empty();
    }

    private RoomTone(Cross cross) {
        channels = cross.sound.channels();
        length = cross.length;
        fft = cross.fft;
        int bins = fft.bins();
        first = new double[bins];
        followRe = new double[bins];
        followIm = new double[bins];
        own = new double[bins];
        cross.hear();
        // The window weighs the squares of N samples by its own; a spectrum of N samples at full weight has N times the power.
        double scale = length / cross.weight;
        for (int k = 0; k < bins; k++) {
            double l = scale * cross.typical(0, k), r = channels > 1 ? scale * cross.typical(1, k) : 0;
            double both = Math.sqrt(cross.sum[0][k] * cross.sum[channels - 1][k]);
            double alikeRe = both > 0 ? cross.re[k] / both : 0, alikeIm = both > 0 ? cross.im[k] / both : 0;
            first[k] = Math.sqrt(l);
            followRe[k] = Math.sqrt(r) * alikeRe;
            followIm[k] = Math.sqrt(r) * alikeIm;
            own[k] = Math.sqrt(r * Math.max(0, 1 - alikeRe * alikeRe - alikeIm * alikeIm));
        }
        window = new double[length];
        for (int i = 0; i < length; i++) {
            // Smooth at its ends, so that strong rumble does not leak into the quiet above it; its squares add up to one at half a length.
            double s = StrictMath.sin(Math.PI * (i + 0.5) / length);
            window[i] = StrictMath.sin(Math.PI / 2 * s * s);
        }
        for (int i = 0; i < TURNS; i++) {
            cosine[i] = StrictMath.cos(2 * Math.PI * i / TURNS);
            sine[i] = StrictMath.sin(2 * Math.PI * i / TURNS);
        }
    }

    /** The room at {@code from … from + n - 1}, per channel. */
    public double[][] fill(long from, int n) {
        double[][] x = new double[channels][n];
        double[][] block = new double[channels][length];
        int hop = length / 2;
        for (long b = Math.floorDiv(from, hop) - 1; b * hop < from + n; b++) {
            make(b, block);
            long at = b * hop;
            int begin = (int) Math.max(0, from - at), end = (int) Math.min(length, from + n - at);
            for (int c = 0; c < channels; c++) for (int i = begin; i < end; i++) x[c][(int) (at + i - from)] += window[i] * block[c][i];
        }
        return x;
    }

    /** One block of noise without a window; two that overlap by half add up to the power of one. */
    private void make(long number, double[][] block) {
        int bins = fft.bins();
        double[] re = new double[bins], im = new double[bins], otherRe = new double[bins], otherIm = new double[bins];
        for (int k = 0; k < bins; k++) {
            long random = mix((number * bins + k + 1) * STEP);
            int turn = (int) (random & TURNS - 1), other = (int) (random >>> 32 & TURNS - 1);
            double c = cosine[turn], s = sine[turn];
            re[k] = first[k] * c;
            im[k] = first[k] * s;
            otherRe[k] = followRe[k] * c - followIm[k] * s + own[k] * cosine[other];
            otherIm[k] = followRe[k] * s + followIm[k] * c + own[k] * sine[other];
        }
        fft.inverse(re, im, block[0]);
        if (channels > 1) fft.inverse(otherRe, otherIm, block[1]);
    }

    private static long mix(long z) {
        z = (z ^ z >>> 30) * 0xBF58_476D_1CE4_E5B9L;
        z = (z ^ z >>> 27) * 0x94D0_49BB_1331_11EBL;
        return z ^ z >>> 31;
    }

    /** The power spectra of each channel and what both have in common, under Hann windows that overlap by half. */
    private static final class Cross {
        /** More say nothing new. */
        private static final int MOST = 300;
        /** Finds what would stand in some place if all were sorted, without sorting the rest. */
        private static final KthSelector SELECTOR = new KthSelector();

        private final Sound sound;
        private final int length;
        private final Fft fft;
        private final double[] hann;
        private final double weight;
        private long[] places = new long[64];
        private int count;
        /** Power of each channel, bin by bin, of every window; its sum, and the sum of the cross spectrum. */
        private float[][][] power;
        private double[][] sum;
        private double[] re, im;

        Cross(Sound sound, int length) {
            this.sound = sound;
            this.length = length;
            fft = new Fft(length);
            hann = new double[length];
            double squares = 0;
            for (int i = 0; i < length; i++) {
                hann[i] = 0.5 - 0.5 * StrictMath.cos(2 * Math.PI * (i + 0.5) / length);
                squares += hann[i] * hann[i];
            }
            weight = squares;
        }

        /** Takes a stretch for room; what is shorter than a window is left out. */
        void add(long from, long to) {
            for (long at = Math.max(0, from); at + length <= Math.min(to, sound.frames()); at += length / 2) {
                if (count == places.length) places = Arrays.copyOf(places, 2 * count);
                places[count++] = at;
            }
        }

        void hear() {
            if (count > MOST) {
                for (int i = 0; i < MOST; i++) places[i] = places[(int) ((long) i * count / MOST)];
                count = MOST;
            }
            int channels = sound.channels(), bins = fft.bins();
            double[][] x = new double[channels][length], r = new double[channels][bins], j = new double[channels][bins];
            power = new float[channels][bins][count];
            sum = new double[channels][bins];
            re = new double[bins];
            im = new double[bins];
            for (int w = 0; w < count; w++) {
                sound.read(places[w], x, length);
                for (int c = 0; c < channels; c++) {
                    for (int i = 0; i < length; i++) x[c][i] *= hann[i];
                    fft.forward(x[c], r[c], j[c]);
                    for (int k = 0; k < bins; k++) {
                        double p = r[c][k] * r[c][k] + j[c][k] * j[c][k];
                        power[c][k][w] = (float) p;
                        sum[c][k] += p;
                    }
                }
                double[] re1 = r[channels - 1], im1 = j[channels - 1];
                for (int k = 0; k < bins; k++) {
                    re[k] += re1[k] * r[0][k] + im1[k] * j[0][k];
                    im[k] += im1[k] * r[0][k] - re1[k] * j[0][k];
                }
            }
        }

        /** The mean power of noise whose median is that of the windows: the expected middle of so many powers with mean 1 is divided out. */
        double typical(int channel, int bin) {
            double[] powers = new double[count];
            for (int w = 0; w < count; w++) powers[w] = power[channel][bin][w];
            int middle = (count - 1) / 2;
            double expected = 0;
            for (int i = 0; i <= middle; i++) expected += 1.0 / (count - i);
            return SELECTOR.select(powers, null, middle) / expected;
        }
    }
}
