package linnet.hear;

import java.util.Random;
import linnet.dsp.Samples;
import linnet.dsp.filter.Biquad;

/** A voice by formula: sawtooth notes with 20 ms ramps, noise, and rests between, so that every fact of it is known. */
final class Voice {
    private final double rate;
    private final double[] x;
    private final Random random = new Random(7);

    Voice(double rate, double seconds) {
        this.rate = rate;
        x = new double[(int) Math.round(rate * seconds)];
    }

    /** A sawtooth, all harmonics below 8 kHz, of that RMS level, with a vibrato of 5.5 Hz. */
    Voice note(double from, double to, double hz, double vibratoCents, double dbfs) {
        double[] note = new double[at(to) - at(from)];
        double phase = 0;
        for (int i = 0; i < note.length; i++) {
            double f = hz * Math.pow(2, vibratoCents / 1200 * Math.sin(2 * Math.PI * 5.5 * i / rate));
            phase += f / rate;
            for (int h = 1; h * hz < 8000; h++) note[i] += Math.sin(2 * Math.PI * h * phase) / h;
        }
        return place(note, from, dbfs);
    }

    /** White noise of that RMS level through band-passes at that frequency, or as it is for 0 Hz. */
    Voice noise(double from, double to, double hz, double dbfs) {
        double[] noise = random.doubles(at(to) - at(from), -1, 1).toArray();
        if (hz > 0) {
            filter(noise, Biquad.bandPass(rate, hz, 3));
            filter(noise, Biquad.bandPass(rate, hz, 3));
        }
        return place(noise, from, dbfs);
    }

    Voice rumble(double hz, double dbfs) {
        for (int i = 0; i < x.length; i++) x[i] += Math.sqrt(2) * Math.pow(10, dbfs / 20) * Math.sin(2 * Math.PI * hz * i / rate);
        return this;
    }

    /** The whole voice so far, through a bell. */
    Voice bell(double hz, double q, double gainDb) {
        filter(x, Biquad.bell(rate, hz, q, gainDb));
        return this;
    }

    double dbfs(double from, double to) {
        double sum = 0;
        for (int i = at(from); i < at(to); i++) sum += x[i] * x[i];
        return 10 * Math.log10(sum / (at(to) - at(from)));
    }

    double[] data() {
        return x;
    }

    Ear ear() {
        return new Ear(new Samples(rate, x));
    }

    private int at(double seconds) {
        return (int) Math.round(seconds * rate);
    }

    private Voice place(double[] y, double from, double dbfs) {
        double sum = 0;
        for (double v : y) sum += v * v;
        double gain = Math.pow(10, dbfs / 20) / Math.sqrt(sum / y.length);
        double ramp = 0.02 * rate;
        for (int i = 0; i < y.length; i++) x[at(from) + i] += gain * y[i] * Math.min(1, Math.min(i, y.length - 1 - i) / ramp);
        return this;
    }

    static void filter(double[] x, Biquad b) {
        double x1 = 0, x2 = 0, y1 = 0, y2 = 0;
        for (int i = 0; i < x.length; i++) {
            double y = b.b0() * x[i] + b.b1() * x1 + b.b2() * x2 - b.a1() * y1 - b.a2() * y2;
            x2 = x1;
            x1 = x[i];
            y2 = y1;
            y1 = y;
            x[i] = y;
        }
    }
}
