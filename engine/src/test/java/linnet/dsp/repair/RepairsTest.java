package linnet.dsp.repair;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import java.util.Random;
import linnet.dsp.Approximation;
import linnet.dsp.GainCurve;
import linnet.dsp.Samples;
import linnet.dsp.filter.Butterworth;
import linnet.dsp.filter.ZeroPhase;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What repairs are made of, sample by sample. */
class RepairsTest {
    private static double[] noise(int n, long seed) {
        Random random = new Random(seed);
        double[] x = new double[n];
        for (int i = 0; i < n; i++) x[i] = 0.2 * random.nextGaussian();
        return x;
    }

    private static double[] ones(int n) {
        double[] x = new double[n];
        Arrays.fill(x, 1);
        return x;
    }

    @Test
    void aSpanIsDrawnAsADip() {
        Span span = new Span(100, 180, 20);
        assertEquals(80, span.length());
        GainCurve.Builder builder = new GainCurve.Builder();
        span.draw(builder, -10);
        GainCurve curve = builder.build();
        double[] expected = {0, 0, -5, -10, -10, -5, 0, 0};
        long[] at = {90, 100, 110, 120, 160, 170, 180, 190};
        for (int i = 0; i < at.length; i++) assertEquals(expected[i], curve.db(at[i]), 1e-12, "at " + at[i]);
    }

    @Test
    void aSpanIsCrossedAtEqualPower() {
        Span span = new Span(0, 40, 10);
        double[][] x = {noise(40, 1), noise(40, 2)}, own = {x[0].clone(), x[1].clone()}, other = {noise(40, 3), noise(40, 4)};
        span.cross(x, other);
        for (int c = 0; c < 2; c++) {
            for (int i = 0; i < 40; i++) {
                double far = Math.min(1, Math.min(i, 40 - i) / 10.0), stays = Math.cos(Math.PI / 2 * far), comes = Math.sin(Math.PI / 2 * far);
                assertEquals(far == 1 ? other[c][i] : stays * own[c][i] + comes * other[c][i], x[c][i], 1e-15, "at " + i);
            }
        }
        assertEquals(own[0][0], x[0][0], 0);
    }

    @Test
    void aMendedSoundIsPatchedAndThenLowered() {
        double[][] x = {noise(400, 1), noise(400, 2)};
        Samples sound = new Samples(8000, x);
        GainCurve dip = new GainCurve.Builder().point(100, 0).point(110, -20).point(210, -20).point(220, 0).build();
        Mended mended = new Mended(sound, List.of(new Patch(200, new double[][] {ones(50), ones(50)})), List.of(dip));
        assertEquals(8000, mended.rate());
        assertEquals(2, mended.channels());
        assertEquals(400, mended.frames());
        double[][] y = new double[2][390];
        mended.read(5, y, 390);
        for (int c = 0; c < 2; c++) {
            for (int i = 5; i < 395; i++) {
                double there = i >= 200 && i < 250 ? 1 : x[c][i];
                assertEquals(there * Math.pow(10, dip.db(i) / 20), y[c][i - 5], i <= 100 || i >= 220 ? 0 : 1e-9);
            }
        }
    }

    @Test
    void aPatchKnowsWhereItEndsAndCutsLeaveNoTrace() {
        assertEquals(14, new Patch(10, new double[2][4]).to());
        Patch[] patches = {new Patch(3, new double[][] {{1, 2}, {5, 6}}), new Patch(5, new double[][] {{3}, {7}}),
                new Patch(9, new double[][] {{4, 4, 4}, {8, 8, 8}})};
        for (int cut = 1; cut <= 14; cut++) {
            double[][] whole = new double[2][14];
            for (int at = 0; at < 14; at += cut) {
                int n = Math.min(cut, 14 - at);
                double[][] x = new double[2][n];
                Patch.over(patches, at, x, n);
                for (int c = 0; c < 2; c++) System.arraycopy(x[c], 0, whole[c], at, n);
            }
            assertArrayEquals(new double[] {0, 0, 0, 1, 2, 3, 0, 0, 0, 4, 4, 4, 0, 0}, whole[0]);
            assertArrayEquals(new double[] {0, 0, 0, 5, 6, 7, 0, 0, 0, 8, 8, 8, 0, 0}, whole[1]);
        }
    }

    /** The gain of each sample by the points on either side of it, both channels, cut anywhere. */
    @ParameterizedTest
    @CsvSource({"500", "1", "37", "100"})
    void aGainIsThatBetweenItsPoints(int cut) {
        long[] at = {60, 100, 100, 140, 200, 260, 300, 300, 380, 400};
        double[] db = {-3, -3, -9, 0, 0, -200, -200, -1, -1, 0};
        GainCurve.Builder builder = new GainCurve.Builder();
        for (int k = 0; k < at.length; k++) assertSame(builder, builder.point(at[k], db[k]));
        GainCurve curve = builder.build();
        double[][] x = {noise(500, 1), noise(500, 2)}, own = {x[0].clone(), x[1].clone()};
        for (int from = 0; from < 500; from += cut) {
            int n = Math.min(cut, 500 - from);
            double[][] piece = {Arrays.copyOfRange(x[0], from, from + n), Arrays.copyOfRange(x[1], from, from + n)};
            curve.process(from, piece, 2, n, new double[n]);
            for (int c = 0; c < 2; c++) System.arraycopy(piece[c], 0, x[c], from, n);
        }
        for (int i = 0; i < 500; i++) {
            int k = 0;
            while (k < at.length && at[k] <= i) k++;
            double level = k == 0 ? -3 : k == at.length ? 0 : db[k - 1] + (db[k] - db[k - 1]) * (i - at[k - 1]) / (at[k] - at[k - 1]);
            assertEquals(level, curve.db(i), 1e-9, "at " + i);
            double gain = level <= -150 ? 0 : Math.pow(10, level / 20);
            for (int c = 0; c < 2; c++) assertEquals(gain * own[c][i], x[c][i], level == 0 ? 0 : 1e-8, "at " + i);
        }
        assertEquals(Math.pow(10, -3 / 20.0), curve.steady(0, 60), 1e-8);
        assertEquals(Math.pow(10, -3 / 20.0), curve.steady(60, 40), 1e-8);
        assertTrue(Double.isNaN(curve.steady(60, 41)));
        assertTrue(Double.isNaN(curve.steady(110, 5)));
        assertTrue(Double.isNaN(curve.steady(399, 1)));
        assertEquals(1, curve.steady(140, 60));
        assertEquals(0, curve.steady(260, 40));
        assertEquals(1, curve.steady(400, 1000));
        assertEquals(1, new GainCurve.Builder().build().steady(5, 10));
        assertEquals(0, new GainCurve.Builder().build().db(5));
    }

    /** More points than there is room for at first. */
    @Test
    void aCurveOfManyPointsKeepsThemAll() {
        GainCurve.Builder builder = new GainCurve.Builder();
        for (int k = 0; k < 300; k++) builder.point(10L * k, -(k % 7));
        GainCurve curve = builder.build();
        for (int k = 0; k < 300; k++) assertEquals(-(k % 7), curve.db(10L * k), 1e-12);
    }

    /**
     * Of the band below a corner, cut out forwards and backwards, a share is taken where the thump is; the blend to it is half a cosine to either side
     * of its ends, and where a voice begins the corner goes down in the same way.
     */
    @ParameterizedTest
    @CsvSource({"3000, 3600, 99999, 180, 90, 20, 0, 99999", "3000, 3600, 3300, 180, 90, 20, 0, 99999", "3000, 3600, 3300, 180, 180, 6, 0, 99999",
            "3000, 3600, 3200, 150, 80, 40, 2950, 3700",
        "30, 400, 99999, 180, 150, 20, 0, 99999", "7600, 7990, 99999, 180, 150, 20, 0, 8000"})
    void aThumpIsTheBandBelowItsCorner(long from, long to, long voiced, double hz, double voicedHz, double db, long first, long end) {
        double rate = 8000;
        int blend = 80;
        double[][] x = {noise(8000, 1), noise(8000, 2)};
        Patch patch = Thump.remove(new Samples(rate, x), new Thump.Cut(from, to, voiced, hz, voicedHz, db), blend, first, end);
        long begin = Math.max(first, from - blend), stop = Math.min(end, to + blend);
        assertEquals(begin, patch.from());
        assertEquals(stop, patch.to());
        for (int c = 0; c < 2; c++) {
            double[] low = padded(x[c]), lower = padded(x[c]);
            ZeroPhase.process(Butterworth.lowPass(rate, hz, 6), low);
            ZeroPhase.process(Butterworth.lowPass(rate, voicedHz, 6), lower);
            for (long t = begin; t < stop; t++) {
                double share = (1 - Math.pow(10, -db / 20)) * rise((t + 0.5 - begin) / blend) * rise((stop - t - 0.5) / blend);
                double unvoiced = rise((voiced - t - 0.5) / blend);
                int at = (int) t + 4000;
                double taken = unvoiced * low[at] + (1 - unvoiced) * lower[at];
                // The filters run in over 14 periods of their corner: 100 dB.
                assertEquals((t < 0 || t >= 8000 ? 0 : x[c][(int) t]) - share * taken, patch.samples()[c][(int) (t - begin)], 1e-5, "at " + t);
            }
        }
    }

    private static double[] padded(double[] x) {
        double[] y = new double[x.length + 8000];
        System.arraycopy(x, 0, y, 4000, x.length);
        return y;
    }

    private static double rise(double share) {
        return share <= 0 ? 0 : share >= 1 ? 1 : 0.5 - 0.5 * Math.cos(Math.PI * share);
    }

    /** In its place the room is heard, and the loss in dB is told. */
    @Test
    void whatIsRemovedLeavesTheRoom() {
        double[][] x = {noise(4000, 1), noise(4000, 2)};
        for (double[] channel : x) for (int i = 0; i < 4000; i++) channel[i] *= i < 1500 || i > 2500 ? 0.01 : 1;
        Samples sound = new Samples(8000, x);
        Removal removal = new Removal(sound, new long[][] {{0, 1400}, {2600, 4000}});
        assertTrue(removal.room().isPresent());
        Span span = new Span(1450, 2600, 40);
        Removal.Removed removed = removal.of(span).orElseThrow();
        double[][] fill = removal.room().get().fill(1450, 1150), expected = {Arrays.copyOfRange(x[0], 1450, 2600), Arrays.copyOfRange(x[1], 1450, 2600)};
        span.cross(expected, fill);
        assertEquals(1450, removed.patch().from());
        for (int c = 0; c < 2; c++) assertArrayEquals(expected[c], removed.patch().samples()[c], 0);
        // A thousand of its 1150 samples are 40 dB louder than the room.
        assertEquals(10 * Math.log10(1150 / (1000 / 1e-4 + 150)), removed.db(), 1);
        assertFalse(new Removal(sound, new long[0][]).room().isPresent());
        assertFalse(new Removal(sound, new long[0][]).of(span).isPresent());
    }

    /** A breath of -50 dBFS over a room of -70, and under both a rumble of -45 that stays: 20 dB of breath are gone, where the sum loses one. */
    @ParameterizedTest
    @CsvSource({"8000, 25", "44100, 20", "48000, 12"})
    void whatIsGoneIsToldAboveTheRumble(int rate, double hz) {
        Random random = new Random(5);
        double[] x = new double[3 * rate];
        for (int i = 0; i < x.length; i++) {
            double db = i < rate || i >= 1.4 * rate ? -70 : -50;
            x[i] = Math.pow(10, db / 20) * random.nextGaussian() + Math.sqrt(2) * Math.pow(10, -45.0 / 20) * Math.sin(2 * Math.PI * hz * i / rate);
        }
        Removal removal = new Removal(new Samples(rate, x), new long[][] {{0, (long) (0.9 * rate)}, {(long) (1.5 * rate), 3L * rate}});
        assertEquals(-20, removal.of(new Span(rate, (long) (1.4 * rate), rate / 50)).orElseThrow().db(), 0.7);
    }

    /** What is taken out from the middle of a stretch on leaves its first half: 3 dB are lost of it, with no rumble counted. */
    @Test
    void whatIsHalfGoneHasLostHalf() {
        Random random = new Random(6);
        double[] x = new double[24_000];
        for (int i = 0; i < x.length; i++) {
            x[i] = (i >= 8000 && i < 16_000 ? 0.01 : 1e-5) * random.nextGaussian() + 0.02 * Math.sin(2 * Math.PI * 20 * i / 8000);
        }
        Removal removal = new Removal(new Samples(8000, x), new long[][] {{0, 7900}, {16_100, 24_000}});
        assertEquals(-3, removal.lost(new Span(8000, 16_000, 80), new Span(12_000, 17_000, 2)), 0.2);
        assertEquals(0, removal.lost(new Span(8000, 16_000, 80), new Span(16_100, 17_000, 2)), 0.01);
    }

    /** Ten milliseconds of silence in the 100 ms beside it, on either side, in both channels: its place is emptied. */
    @ParameterizedTest
    @CsvSource({"1200, 1280, 2, true", "1200, 1279, 2, false", "690, 770, 2, true", "689, 768, 2, false", "1200, 1280, 1, false", "2600, 2680, 2, true",
            "2600, 2679, 2, false", "3321, 3400, 2, false",
        "3320, 3400, 2, true", "3330, 3410, 2, false"})
    void besideSilenceIsSilence(int from, int to, int channels, boolean emptied) {
        double[][] x = {ones(6000), ones(6000)};
        for (int c = 0; c < channels; c++) for (int i = from; i < to; i++) x[c][i] = c == 0 ? 1e-6 : -1e-6;
        Removal removal = new Removal(new Samples(8000, x), new long[0][]);
        assertEquals(emptied, removal.of(new Span(1490, 2600, 40)).isPresent());
        if (!emptied) return;
        Removal.Removed removed = removal.of(new Span(1490, 2600, 40)).get();
        assertEquals(0, removed.patch().samples()[1][500]);
        assertEquals(-Approximation.MOST_DB, removed.db());
    }

    /**
     * An export leaves some silence before and after a take: a breath near its end has the room of the take in its place. One that follows a whole emptied
     * stretch has silence.
     */
    @ParameterizedTest
    @CsvSource({"0, 120, 200, 1000, false", "3900, 4000, 3000, 3850, false", "0, 200, 200, 1000, false", "0, 1000, 1000, 1900, true",
            "100, 190, 200, 1000, true"})
    void silenceAtTheEndsOfASoundIsNoEmptiedPause(int from, int to, int begin, int end, boolean emptied) {
        double[] x = noise(4000, 1);
        Arrays.fill(x, from, to, 0);
        Removal removal = new Removal(new Samples(8000, x), new long[][] {{2000, 2900}});
        double[] filled = removal.of(new Span(begin, end, 20)).orElseThrow().patch().samples()[0];
        assertEquals(emptied, Arrays.stream(filled, 100, filled.length - 100).allMatch(v -> v == 0));
    }

    /** Without a room that little silence is all there is to put in its place. */
    @Test
    void whereNoRoomIsHeardTheSilenceAtTheEndServes() {
        double[] x = noise(4000, 1);
        Arrays.fill(x, 0, 120, 0);
        assertEquals(-Approximation.MOST_DB, new Removal(new Samples(8000, x), new long[0][]).of(new Span(200, 1000, 20)).orElseThrow().db());
    }

    /** A room louder than what it takes the place of is told as no loss; at the ends of a sound there is no more beside it than there is. */
    @Test
    void aRoomThatIsLouderIsNoGain() {
        double[] x = noise(4000, 1);
        for (int i = 0; i < 300; i++) x[i] = x[3999 - i] *= 0.001;
        Removal removal = new Removal(new Samples(8000, x), new long[][] {{1000, 3000}});
        assertEquals(0, removal.of(new Span(0, 250, 20)).orElseThrow().db());
        assertEquals(0, removal.of(new Span(3800, 4000, 20)).orElseThrow().db());
    }
}
