package linnet.dsp.loudness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Against EBU Tech 3341 (version 4, 2023) and the printed filter of ITU-R BS.1770-5, Annex 2. */
class TruePeakTest {
    /**
     * EBU Tech 3341 cases 15 to 19, tolerance +0.2 / -0.4 dB. The last column is what an independent implementation of
     * the same filter reads.
     */
    @ParameterizedTest
    @CsvSource({"4, 0.50, 0, -6, -6.021", "4, 0.50, 45, -6, -5.976", "6, 0.50, 60, -6, -6.313",
        "8, 0.50, 67.5, -6, -6.026", "4, 1.41, 45, 3, 3.029"})
    void readsTheMinimumRequirementsSignals(
            double period, double amplitude, double degrees, double expected, double independent) {
        double[] x = Tones.sine(48000, 48000 / period, amplitude, degrees, 1);
        Tones.fade(x, 480);
        double read = dbtp(x);
        assertTrue(read <= expected + 0.2 && read >= expected - 0.4, "read " + read);
        assertEquals(independent, read, 0.005);
    }

    @Test
    void readsTheSamplePeakBesideIt() {
        double[] x = Tones.sine(48000, 12000, 0.5, 45, 1);
        TruePeak meter = new TruePeak(1);
        meter.add(new double[][] {x}, x.length);
        assertEquals(-9.031, meter.dbfs(), 0.0005);
    }

    /** The four phases as the standard prints them. */
    private static double[][] phases() {
        double[][] phases = new double[4][12];
        phases[0] = new double[] {0.0017089843750, 0.0109863281250, -0.0196533203125, 0.0332031250000, -0.0594482421875,
            0.1373291015625, 0.9721679687500, -0.1022949218750, 0.0476074218750, -0.0266113281250, 0.0148925781250,
            -0.0083007812500};
        phases[1] = new double[] {-0.0291748046875, 0.0292968750000, -0.0517578125000, 0.0891113281250,
            -0.1665039062500, 0.4650878906250, 0.7797851562500, -0.2003173828125, 0.1015625000000, -0.0582275390625,
            0.0330810546875, -0.0189208984375};
        for (int k = 0; k < 12; k++) {
            phases[2][k] = phases[1][11 - k];
            phases[3][k] = phases[0][11 - k];
        }
        return phases;
    }

    /** The oracle is the convolution as the standard prints it, written out phase by phase. */
    private static double printed(double[] x) {
        double[][] phases = phases();
        double peak = 0;
        for (int i = 0; i < x.length; i++) {
            peak = Math.max(peak, Math.abs(x[i]));
            for (double[] h : phases) {
                double y = 0;
                for (int k = 0; k < 12 && k <= i; k++) y += h[k] * x[i - k];
                peak = Math.max(peak, Math.abs(y));
            }
        }
        return 20 * Math.log10(peak);
    }

    @Test
    void agreesWithThePrintedFilter() {
        for (int seed = 0; seed < 20; seed++) {
            double[] x = new Random(seed).doubles(50 + 61 * seed, -1, 1).toArray();
            assertEquals(printed(x), dbtp(x), 1e-9);
        }
    }

    /**
     * Most of a smooth sound cannot reach the peak so far and is not read; what can is, wherever it hides: here each next second is a hair louder between its
     * samples.
     */
    @Test
    void skipsNothingThatIsHigher() {
        for (int seed = 0; seed < 200; seed++) {
            Random random = new Random(seed);
            double[] x = new double[40 * 480];
            for (int part = 0; part < 40; part++) {
                double hz = 20 * Math.pow(1000, random.nextDouble()), phase = 360 * random.nextDouble(), level = 0.5 + 0.001 * part;
                double[] tone = Tones.sine(48000, hz, level, phase, 0.01);
                Tones.fade(tone, 60);
                System.arraycopy(tone, 0, x, 480 * part, tone.length);
            }
            assertEquals(printed(x), dbtp(x), 1e-9, "seed " + seed);
        }
        // The samples that the second phase of the filter makes most of.
        int[] signs = {-1, 1, -1, 1, -1, 1, 1, -1, 1, -1, 1, -1};
        double[] x = new double[100 * 480];
        for (int part = 0; part < 100; part++) for (int k = 0; k < 12; k++) x[480 * part + 100 + k] = (0.3 + 0.003 * part) * signs[k];
        assertEquals(printed(x), dbtp(x), 1e-9);
    }

    @Test
    void readsSilenceAsMinusInfinity() {
        assertEquals(Double.NEGATIVE_INFINITY, dbtp(new double[1000]));
        assertEquals(Double.NEGATIVE_INFINITY, new TruePeak(2).dbtp());
    }

    @Test
    void readsTheLouderChannel() {
        TruePeak meter = new TruePeak(2);
        meter.add(new double[][] {{0.1, 0.1}, {0.1, -0.25}}, 2);
        assertEquals(20 * Math.log10(0.25), meter.dbfs(), 1e-12);
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 7, 64, 480})
    void readsTheSameBitsHoweverTheSoundIsCut(int cut) {
        double[] x = new Random(2).doubles(5000, -1, 1).toArray();
        TruePeak pieces = new TruePeak(1);
        Tones.cut(x, cut, pieces::add);
        assertEquals(dbtp(x), pieces.dbtp());
    }

    private static double dbtp(double[] x) {
        TruePeak meter = new TruePeak(1);
        meter.add(new double[][] {x}, x.length);
        return meter.dbtp();
    }

    /** The same filter, asked at one place alone. */
    @Test
    void readsBetweenTwoSamplesWhatItReadsAllAlong() {
        double[] x = new Random(3).doubles(200, -1, 1).toArray();
        for (int at = 5; at + 6 < x.length; at++) {
            double most = 0;
            for (double[] h : phases()) {
                double y = 0;
                for (int k = 0; k < 12; k++) y += h[k] * x[at + 6 - k];
                most = Math.max(most, Math.abs(y));
            }
            assertEquals(most, TruePeak.between(x, at), 1e-12);
        }
    }

    /** A peak between two samples, only just over the one before: it is looked for wherever it stands, whichever sign it has. */
    @Test
    void missesNoPeakThatIsOnlyJustHigher() {
        for (int at = 0; at < 40; at++) {
            for (int sign = -1; sign <= 1; sign += 2) {
                TruePeak meter = new TruePeak(1);
                double[] first = new double[480], second = new double[60];
                first[100] = 0.49;
                second[at] = sign * 0.49;
                second[at + 1] = sign * 0.23;
                meter.add(new double[][] {first}, first.length);
                meter.add(new double[][] {second}, second.length);
                assertEquals(20 * Math.log10(0.49 * 0.97216796875 + 0.23 * 0.1373291015625), meter.dbtp(), 1e-9, "at " + at);
            }
        }
    }
}
