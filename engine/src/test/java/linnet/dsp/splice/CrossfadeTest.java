package linnet.dsp.splice;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class CrossfadeTest {
    private static final int FADE = 960;

    private static double[] noise(int seed, int n) {
        SplittableRandom random = new SplittableRandom(seed);
        return random.doubles(n, -0.5, 0.5).toArray();
    }

    /** As it is used: the law follows what is measured over the fade. */
    private static double[] fade(double[] a, double[] b) {
        Crossfade law = new Crossfade(Overlap.of(new double[][] {a}, new double[][] {b}, 0, FADE, 0).correlation());
        double[] x = new double[FADE];
        for (int i = 0; i < FADE; i++) {
            law.at((i + 0.5) / FADE);
            x[i] = law.leaving() * a[i] + law.coming() * b[i];
        }
        return x;
    }

    @Test
    void theSameMaterialPassesAsIfThereWereNoFade() {
        double[] a = noise(1, FADE), x = fade(a, a);
        for (int i = 0; i < FADE; i++) assertEquals(a[i], x[i], 1e-12);
    }

    /** In the middle third of many fades between strangers, and between relatives: 0 dB, where straight lines would lose 3 dB. */
    @Test
    void theLevelStaysEvenForStrangersAndRelatives() {
        for (double share : new double[] {0, 0.3, 0.7, -0.3}) {
            double faded = 0, sources = 0;
            for (int k = 0; k < 200; k++) {
                double[] a = noise(2 * k + 1, FADE), b = noise(2 * k + 2, FADE);
                for (int i = 0; i < FADE; i++) b[i] = share * a[i] + Math.sqrt(1 - share * share) * b[i];
                double[] x = fade(a, b);
                for (int i = FADE / 3; i < 2 * FADE / 3; i++) {
                    faded += x[i] * x[i];
                    sources += (a[i] * a[i] + b[i] * b[i]) / 2;
                }
            }
            assertEquals(0, 10 * Math.log10(faded / sources), 0.1, "share " + share);
        }
    }

    @Test
    void itBeginsAndEndsWithoutACorner() {
        for (double correlation : new double[] {0, 0.5, 1}) {
            Crossfade law = new Crossfade(correlation);
            law.at(0.001);
            assertEquals(1, law.leaving(), 1e-4);
            assertTrue(law.coming() < 1e-4);
            law.at(0.999);
            assertEquals(1, law.coming(), 1e-4);
        }
    }

    /** Two buzzes of one pitch, the second by 40 samples late: it is found, and the nearer of two periods. */
    @Test
    void thePeriodsAreLinedUp() {
        double[] a = new double[4000], b = new double[4000];
        for (int i = 0; i < a.length; i++) for (int k = 1; k < 10; k++) {
            a[i] += Math.sin(2 * Math.PI * k * i / 200.0) / k;
            b[i] += Math.sin(2 * Math.PI * k * (i - 40) / 200.0) / k;
        }
        assertEquals(40, Overlap.lag(new double[][] {a}, new double[][] {b}, 1000, FADE, 288));
        assertEquals(0, Overlap.lag(new double[][] {a}, new double[][] {a}, 1000, FADE, 288));
        assertEquals(-6.02, Overlap.of(new double[][] {a}, new double[][] {half(a)}, 0, 3000, 0).step(), 0.01);
    }

    private static double[] half(double[] x) {
        double[] y = x.clone();
        for (int i = 0; i < y.length; i++) y[i] /= 2;
        return y;
    }

    /** A shelf of 6 dB above 2 kHz is a step of some dB at the top; a change of level alone is none. */
    @Test
    void aChangeOfToneIsToldFromOneOfLevel() {
        double[] a = noise(3, 48_000), b = new double[a.length];
        for (int i = 1; i < b.length; i++) b[i] = a[i] - 0.9 * a[i - 1];
        Timbre plain = new Timbre(new double[][] {a}, a.length, 48_000);
        assertEquals(0, plain.step(new Timbre(new double[][] {half(a)}, a.length, 48_000)), 1e-6);
        assertTrue(plain.step(new Timbre(new double[][] {b}, b.length, 48_000)) < -6);
    }
}
