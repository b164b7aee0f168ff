package linnet.dsp.loudness;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Random;
import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Against ITU-R BS.1770-5 and the minimum requirements signals of EBU Tech 3341 (version 4, 2023). */
class LoudnessTest {
    /** The table of BS.1770-5 Annex 1; the rows of other rates were made by the libebur128 library's prototype. */
    @ParameterizedTest
    @CsvSource({
        "48000, 1.53512485958697, -2.69169618940638, 1.19839281085285, -1.69065929318241, 0.73248077421585,"
                + " -1.99004745483398, 0.99007225036621",
        "44100, 1.53084123005035, -2.65097999515473, 1.16907907992159, -1.66365511325602, 0.71259542807323,"
                + " -1.98916967362980, 0.98919903578704",
        "88200, 1.55751537557965, -2.90562707992635, 1.36133397747221, -1.83091998796233, 0.84414226108785,"
                + " -1.99457751545034, 0.99458487587805",
        "96000, 1.55971422897580, -2.92674157825108, 1.37826120231582, -1.84460946989011, 0.85584332293064,"
                + " -1.99501754472472, 0.99502375904092"
    })
    void weightsAsTheStandardTabulates(
            double rate, double b0, double b1, double b2, double a1, double a2, double h1, double h2) {
        double[] expected = {b0, b1, b2, a1, a2, h1, h2};
        assertArrayEquals(expected, new KWeighting(rate).coefficients(), 1e-14);
    }

    /** Gain of both stages at 48 kHz: the response of the tabulated coefficients, computed with scipy. */
    @ParameterizedTest
    @CsvSource({"20, -13.2754", "50, -3.9341", "100, -1.1335", "200, -0.2649", "500, 0.0425", "997, 0.6910",
        "1000, 0.6977", "2000, 3.0713", "4000, 3.9680", "10000, 4.0419"})
    void passesEachFrequencyWithItsGain(double hz, double gainDb) {
        KWeighting k = new KWeighting(48000);
        double[] x = Tones.sine(48000, hz, 1, 0, 3);
        k.addSquares(x, 0, 96000, 0);
        double meanSquare = k.addSquares(x, 96000, 144000, 0) / 48000;
        assertEquals(gainDb, 10 * Math.log10(2 * meanSquare), 1e-3);
    }

    /** BS.1770-5 Annex 1: a 0 dBFS 997 Hz sine on one channel reads -3.01 LKFS; on both, 0.00. */
    @Test
    void readsTheAnchors() {
        double[] tone = Tones.sine(48000, 997, 1, 0, 5);
        double[] turned = Tones.sine(48000, 997, 1, 180, 5);
        assertEquals(-3.01, integrated(48000, tone), 0.005);
        assertEquals(-3.01, integrated(48000, tone, new double[tone.length]), 0.005);
        assertEquals(0.00, integrated(48000, tone, tone), 0.005);
        assertEquals(0.00, integrated(48000, tone, turned), 0.005);
    }

    /** EBU Tech 3341 cases 1 to 5: the tolerance there is 0.1 LU; an independent implementation agrees within 0.005. */
    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "48000 | 20 -23.0                                 | -22.9933",
        "44100 | 20 -23.0                                 | -22.9905",
        "48000 | 20 -33.0                                 | -32.9933",
        "48000 | 10 -36 60 -23 10 -36                     | -23.0139",
        "48000 | 10 -72 10 -36 60 -23 10 -36 10 -72       | -23.0139",
        "48000 | 20 -26 20.1 -20 20 -26                   | -22.9787"
    })
    void readsTheMinimumRequirementsSignals(double rate, String secondsAndDbfs, double expected) {
        double[] x = Tones.steps(rate, 1000, secondsAndDbfs);
        double read = integrated(rate, x, x);
        assertEquals(-23.0 - (expected < -30 ? 10 : 0), read, 0.1);
        assertEquals(expected, read, 0.005);
    }

    /** Blocks lie across the border too; what both have heard counts once, as the first has heard it. */
    @Test
    void readsWhatWasHeardInTwoPieces() {
        double[] x = Tones.steps(48000, 1000, "3 -36 4.5 -20 2 -60 3 -23 0.25 -10");
        for (int twice : new int[] {1, 5, 20}) {
            for (int middle : new int[] {20, 30, 71, 90}) {
                Loudness whole = new Loudness(48000, 1), first = new Loudness(48000, 1), second = new Loudness(48000, 1);
                whole.add(new double[][] {x}, x.length);
                first.add(new double[][] {x}, middle * 4800);
                second.add(new double[][] {Arrays.copyOfRange(x, (middle - twice) * 4800, x.length)}, x.length - (middle - twice) * 4800);
                assertEquals(whole.integrated(), first.integrated(second, twice), 1e-4);
                assertEquals(whole.integrated(), whole.integrated(new Loudness(48000, 1), 0));
            }
        }
    }

    @Test
    void readsShortOrSilentSoundsAsNotMeasurable() {
        assertEquals(Double.NEGATIVE_INFINITY, new Loudness(48000, 1).integrated());
        assertEquals(Double.NEGATIVE_INFINITY, integrated(48000, new double[96000]));
        assertEquals(Double.NEGATIVE_INFINITY, integrated(48000, Tones.sine(48000, 1000, 1, 0, 0.39)));
        assertEquals(Double.NEGATIVE_INFINITY, integrated(48000, Tones.sine(48000, 1000, 1e-4, 0, 2)));
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 7, 64, 480, 5000})
    void readsTheSameBitsHoweverTheSoundIsCut(int cut) {
        double[] x = new Random(1).doubles(4 * 11025 + 100, -1, 1).toArray();
        Loudness whole = new Loudness(11025, 1), pieces = new Loudness(11025, 1);
        whole.add(new double[][] {x}, x.length);
        Tones.cut(x, cut, pieces::add);
        assertEquals(whole.integrated(), pieces.integrated());
        assertEquals(whole.momentaryMax(), pieces.momentaryMax());
        assertEquals(whole.shortTermMax(), pieces.shortTermMax());
        assertEquals(whole.range(), pieces.range());
        assertArrayEquals(whole.momentary(), pieces.momentary());
        assertArrayEquals(whole.shortTerm(), pieces.shortTerm());
    }

    /** A pair in one loop is two channels: loudness of the sum of their powers. */
    @Test
    void hearsBothChannelsOfAPair() {
        double[] l = new Random(2).doubles(2 * 48000, -1, 1).toArray(), r = new Random(3).doubles(2 * 48000, -0.3, 0.3).toArray();
        double powers = Math.pow(10, integrated(48000, l) / 10) + Math.pow(10, integrated(48000, r) / 10);
        assertEquals(10 * Math.log10(powers), integrated(48000, l, r), 1e-9);
    }

    private static double integrated(double rate, double[]... x) {
        Loudness loudness = new Loudness(rate, x.length);
        loudness.add(x, x[0].length);
        return loudness.integrated();
    }
}
