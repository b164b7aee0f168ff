package linnet.dsp.reverb;

import java.util.Random;
import linnet.dsp.Cell;
import linnet.dsp.spectral.Fft;

/**
 * Measurements of impulse responses. Decay: M. R. Schroeder's backward integral, fitted from -5 to -35 dB and doubled (T30 of
 * ISO 3382-1), in octave bands cut out of the spectrum with edges of half an octave's raised cosine.
 */
final class Measured {
    private Measured() {}

    /** Both channels of a room's answer to an impulse on both sides. */
    static double[][] impulseResponse(Room room, int length) {
        double[][] y = new double[2][length];
        y[0][0] = y[1][0] = 1;
        run(room, y, Cell.LENGTH);
        return y;
    }

    /** Runs the room over the signal in place, the cells cut into blocks of the given length. */
    static void run(Room room, double[][] y, int block) {
        double[] l = new double[Cell.LENGTH], r = new double[Cell.LENGTH];
        int length = y[0].length;
        for (int from = 0, n; from < length; from += n) {
            n = Math.min(Math.min(block, length - from), Cell.LENGTH - from % Cell.LENGTH);
            System.arraycopy(y[0], from, l, 0, n);
            System.arraycopy(y[1], from, r, 0, n);
            room.process(l, r, n);
            System.arraycopy(l, 0, y[0], from, n);
            System.arraycopy(r, 0, y[1], from, n);
            if ((from + n) % Cell.LENGTH == 0) room.settle();
        }
    }

    /** Seconds to fall by 60 dB. Decay curves of several responses are added, as the standard does over places of a room. */
    static double t30(double rate, double[]... responses) {
        double[] left = new double[responses[0].length];
        for (double[] x : responses) {
            double sum = 0;
            for (int i = x.length - 1; i >= 0; i--) left[i] += sum += x[i] * x[i];
        }
        int from = 0, to;
        while (10 * Math.log10(left[from] / left[0]) > -5) from++;
        to = from;
        while (10 * Math.log10(left[to] / left[0]) > -35) to++;
        double n = to - from, sx = 0, sy = 0, sxx = 0, sxy = 0;
        for (int i = from; i < to; i++) {
            double t = i / rate, db = 10 * Math.log10(left[i] / left[0]);
            sx += t;
            sy += db;
            sxx += t * t;
            sxy += t * db;
        }
        return -60 * (n * sxx - sx * sx) / (n * sxy - sx * sy);
    }

    /** The octave about a centre frequency. */
    static double[] octave(double[] x, double rate, double centre) {
        int size = Integer.highestOneBit(2 * x.length - 1);
        Fft fft = new Fft(size);
        double[] re = new double[fft.bins()], im = new double[fft.bins()], y = java.util.Arrays.copyOf(x, size);
        fft.forward(y, re, im);
        for (int k = 0; k < fft.bins(); k++) {
            double octaves = k == 0 ? 99 : Math.abs(Math.log(k * rate / size / centre) / Math.log(2));
            double w = octaves < 0.25 ? 1 : octaves > 0.75 ? 0 : 0.5 + 0.5 * Math.cos(2 * Math.PI * (octaves - 0.25));
            re[k] *= w;
            im[k] *= w;
        }
        fft.inverse(re, im, y);
        return java.util.Arrays.copyOf(y, x.length);
    }

    /**
     * How far the strongest mode of a tail stands above its surroundings, in dB: the part that lies 20 to 60 dB down is
     * levelled by the decay measured in it, its power spectrum is averaged over half-overlapping Hann windows of a
     * fifteenth of the decay and over both channels, and each bin from 200 Hz to 6 kHz is held against the mean of the third of
     * an octave about it. Gaussian noise of the same decay reads about 3 dB.
     */
    static double strongestMode(double[][] y, double rate, double decay) {
        int from = (int) (decay / 3 * rate), to = Math.min(y[0].length, (int) (decay * rate));
        int window = Integer.highestOneBit((int) (decay * rate / 15));
        Fft fft = new Fft(2 * window);
        double[] power = new double[fft.bins()], re = new double[fft.bins()], im = new double[fft.bins()], x = new double[2 * window];
        for (int at = from; at + window <= to; at += window / 2) {
            double[] windowPower = new double[fft.bins()];
            for (double[] channel : y) {
                java.util.Arrays.fill(x, 0);
                for (int i = 0; i < window; i++) x[i] = channel[at + i] * (0.5 - 0.5 * Math.cos(2 * Math.PI * i / window));
                fft.forward(x, re, im);
                for (int k = 0; k < windowPower.length; k++) windowPower[k] += re[k] * re[k] + im[k] * im[k];
            }
            // Levels the decay band by band: each window counts alike in each third of an octave.
            double[] smooth = thirds(windowPower);
            for (int k = 1; k < power.length; k++) power[k] += smooth[k] > 0 ? windowPower[k] / smooth[k] : 0;
        }
        double[] smooth = thirds(power);
        double most = 0;
        for (int k = 1; k < power.length; k++) {
            double hz = k * rate / (2 * window);
            if (hz > 200 && hz < 6000) most = Math.max(most, 10 * Math.log10(power[k] / smooth[k]));
        }
        return most;
    }

    private static double[] thirds(double[] power) {
        double[] sum = new double[power.length + 1], y = new double[power.length];
        for (int k = 0; k < power.length; k++) sum[k + 1] = sum[k] + power[k];
        double edge = Math.pow(2, 1 / 6.0);
        for (int k = 1; k < power.length; k++) {
            int lo = (int) Math.floor(k / edge), hi = Math.min(power.length, (int) Math.ceil(k * edge) + 1);
            y[k] = (sum[hi] - sum[lo]) / (hi - lo);
        }
        return y;
    }

    /** Normalised cross-correlation of the channels at lag 0, from a place on. */
    static double correlation(double[][] y, int from) {
        double lr = 0, ll = 0, rr = 0;
        for (int i = from; i < y[0].length; i++) {
            lr += y[0][i] * y[1][i];
            ll += y[0][i] * y[0][i];
            rr += y[1][i] * y[1][i];
        }
        return lr / Math.sqrt(ll * rr);
    }

    /** Gaussian noise that falls by 60 dB in {@code decay} seconds. */
    static double[] decayingNoise(double rate, double decay, int length, long seed) {
        Random random = new Random(seed);
        double[] x = new double[length];
        for (int i = 0; i < length; i++) x[i] = random.nextGaussian() * Math.pow(10, -3 * i / (rate * decay));
        return x;
    }
}
