package linnet.dsp.resample;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import linnet.dsp.Samples;
import linnet.dsp.Sound;
import org.junit.jupiter.api.Test;

/** Limits of a mastering-grade conversion: ripple 0.01 dB to 20 kHz, images 110 dB down and more (reference sheet of DSP facts, resampling). */
class ResampledTest {
    private static final double[][] RATES = {{44_100, 48_000}, {48_000, 44_100}, {48_000, 96_000}, {96_000, 44_100}, {44_100, 192_000}, {96_000, 22_050},
            {44_056, 48_000}};

    private static Samples sine(double rate, double hz, double seconds) {
        double[] x = new double[(int) (rate * seconds)];
        for (int i = 0; i < x.length; i++) x[i] = 0.5 * Math.sin(2 * Math.PI * hz * i / rate + 0.3);
        return new Samples(rate, x);
    }

    private static double[] all(Sound sound) {
        double[] x = new double[(int) sound.frames()];
        sound.read(0, new double[][] {x}, x.length);
        return x;
    }

    /** Fits a sine of known frequency to the middle of a signal; returns its amplitude and the RMS of all else, re the amplitude, in dB. */
    private static double[] fit(double[] x, double rate, double hz) {
        int from = x.length / 4, to = x.length - x.length / 4;
        double ss = 0, cc = 0, sc = 0, xs = 0, xc = 0;
        for (int i = from; i < to; i++) {
            double s = Math.sin(2 * Math.PI * hz * i / rate), c = Math.cos(2 * Math.PI * hz * i / rate);
            ss += s * s;
            cc += c * c;
            sc += s * c;
            xs += x[i] * s;
            xc += x[i] * c;
        }
        double det = ss * cc - sc * sc, a = (xs * cc - xc * sc) / det, b = (xc * ss - xs * sc) / det;
        double rest = 0;
        for (int i = from; i < to; i++) {
            double e = x[i] - a * Math.sin(2 * Math.PI * hz * i / rate) - b * Math.cos(2 * Math.PI * hz * i / rate);
            rest += e * e;
        }
        double amplitude = Math.hypot(a, b);
        return new double[] {amplitude, 10 * Math.log10(rest / (to - from) / (amplitude * amplitude / 2) + 1e-30), Math.atan2(b, a)};
    }

    @Test
    void sinesKeepTheirLevelAndPhaseAndNothingElseComes() {
        for (double[] r : RATES) {
            for (double hz : new double[] {1000, 10_000, 19_500}) {
                if (hz > 0.45 * Math.min(r[0], r[1])) continue;
                double[] f = fit(all(new Resampled(sine(r[0], hz, 0.5), r[1])), r[1], hz);
                String what = r[0] + " to " + r[1] + " at " + hz + ": ";
                assertEquals(0, 20 * Math.log10(f[0] / 0.5), 0.01, what + "level");
                assertTrue(f[1] < -110, what + "rest " + f[1] + " dB");
                assertEquals(0.3, f[2], 1e-6, what + "phase");
            }
        }
    }

    @Test
    void whatDoesNotFitIsGone() {
        double[] y = all(new Resampled(sine(48_000, 23_000, 0.5), 44_100));
        double sum = 0;
        for (int i = y.length / 4; i < y.length * 3 / 4; i++) sum += y[i] * y[i];
        double db = 10 * Math.log10(sum / (y.length / 2.0) / 0.125);
        assertTrue(db < -110, db + " dB");
    }

    @Test
    void thereAndBackIsWhatItWas() {
        double[] x = new double[24_000];
        for (int i = 0; i < x.length; i++) {
            for (double hz : new double[] {90, 900, 5000, 11_000, 18_500}) x[i] += 0.1 * Math.sin(2 * Math.PI * hz * i / 48_000.0);
        }
        double[] back = all(new Resampled(new Resampled(new Samples(48_000, x), 44_100), 48_000));
        double worst = 0;
        for (int i = 4000; i < 20_000; i++) worst = Math.max(worst, Math.abs(back[i] - x[i]));
        // The pass band has 0.01 dB of ripple at most; measured it is far less.
        assertTrue(20 * Math.log10(worst) < -100, 20 * Math.log10(worst) + " dB");
    }

    @Test
    void aConstantStaysOneAtEveryPhase() {
        double[] x = new double[20_000];
        java.util.Arrays.fill(x, 0.7);
        for (double[] r : RATES) {
            double[] y = all(new Resampled(new Samples(r[0], x), r[1]));
            for (int i = y.length / 3; i < y.length * 2 / 3; i++) assertEquals(0.7, y[i], 1e-9);
        }
    }

    /** A sound that begins and ends at full level is what it is with silence around it. */
    @Test
    void beforeAndAfterItThereIsSilence() {
        double[] x = new double[30_000];
        java.util.Arrays.fill(x, 0.7);
        for (double[] r : new double[][] {{44_100, 48_000}, {48_000, 44_100}, {48_000, 96_000}}) {
            // In this time both rates have a whole number of samples.
            int before = (int) r[0] / 100, shift = (int) r[1] / 100;
            double[] around = new double[before + x.length + before];
            System.arraycopy(x, 0, around, before, x.length);
            Resampled bare = new Resampled(new Samples(r[0], x), r[1]);
            double[] expected = all(new Resampled(new Samples(r[0], around), r[1])), y = all(bare);
            assertArrayEquals(java.util.Arrays.copyOfRange(expected, shift, shift + y.length), y, 1e-12);
            // Whatever was read before.
            double[] again = new double[500];
            bare.read(0, new double[][] {again}, again.length);
            assertArrayEquals(java.util.Arrays.copyOfRange(y, 0, again.length), again);
        }
    }

    @Test
    void anyPieceIsThatPieceOfTheWhole() {
        Resampled sound = new Resampled(sine(44_100, 700, 0.6), 48_000);
        double[] whole = all(sound);
        assertEquals((long) Math.ceil(0.6 * 44_100 * 160 / 147.0), whole.length);
        double[] piece = new double[1000];
        // A stretch is 21 440 outputs long.
        for (int from : new int[] {0, 1, 777, 20_900, 21_440, whole.length - 1000, 3}) {
            sound.read(from, new double[][] {piece}, 1000);
            assertArrayEquals(java.util.Arrays.copyOfRange(whole, from, from + 1000), piece);
        }
    }

    @Test
    void usualRatesNeedLittleMemoryAndItIsKnownBeforehand() {
        double[] usual = {8000, 11_025, 16_000, 22_050, 32_000, 44_100, 48_000, 88_200, 96_000, 176_400, 192_000};
        for (double from : usual) {
            for (double to : usual) {
                if (from != to) assertTrue(Resampled.bytes(from, to, 2) < 20_000_000, from + " to " + to + ": " + Resampled.bytes(from, to, 2));
            }
        }
        // Nothing in common: 48 000 phases of 180 weights, and three signals of 134 times as many samples.
        assertEquals(48_000 * 8.0 * (180 + 5 * 134), Resampled.bytes(47_999, 48_000, 2), 1e6);
    }
}
