package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import java.util.Random;
import linnet.dsp.Samples;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Against formulas of sines and noise, and the same laid out plainly; the standards' own signals are in EbuSignalsTest. */
class MetersTest {
    private static final double[] RATES = {8000, 11025, 16000, 22050, 32000, 44100, 48000, 88200, 96000, 176400, 192000};

    /**
     * By formula: a sine of amplitude a has a peak of a and an RMS of a/√2. Loudness by the anchors of BS.1770-5 Annex 1: 997 Hz at full scale
     * reads -3.01 LUFS on one channel and 0.00 on both. The bilinear transform of the weighting strays at 997 Hz by up to 0.041 dB below 32 kHz
     * and 0.027 dB above: the response of its coefficients, computed with numpy.
     */
    @Test
    void readsASineAtEveryRate() {
        for (double rate : RATES) {
            double[] x = sine(rate, 997, 0.1, 0.01, 5);
            Meters mono = Meters.of(new Samples(rate, x)), stereo = Meters.of(new Samples(rate, x, x));
            double within = (rate < 32000 ? 0.041 : 0.027) + 0.005;
            assertEquals(-23.01, value(mono.integrated()), within, rate + " Hz");
            assertEquals(-20.00, value(stereo.integrated()), within, rate + " Hz");
            assertEquals(-20.00, value(stereo.momentaryMax()), within, rate + " Hz");
            assertEquals(-20.00, value(stereo.shortTermMax()), within, rate + " Hz");
            assertEquals(0, value(stereo.loudnessRange()), 0.01, rate + " Hz");
            assertEquals(20 * Math.log10(0.11), value(mono.samplePeak()), 0.02, rate + " Hz");
            assertTrue(value(mono.truePeak()) >= value(mono.samplePeak()), rate + " Hz");
            assertEquals(20 * Math.log10(0.11 / Math.sqrt(0.005 + 0.0001)), value(mono.crest()), 0.02, rate + " Hz");
            assertEquals(0.01, value(mono.dc().get(0)), 1e-5, rate + " Hz");
            assertEquals(1, value(stereo.correlation()), 1e-12, rate + " Hz");
        }
    }

    /** Silence beside a voice changes neither its peak over RMS nor its loudness. */
    @Test
    void readsAVoiceOnOneSideAsItReadsItAlone() {
        double[] x = sine(48000, 997, 0.1, 0, 5);
        Meters alone = Meters.of(new Samples(48000, x)), left = Meters.of(new Samples(48000, x, new double[x.length]));
        assertEquals(value(alone.integrated()), value(left.integrated()), 1e-9);
        assertEquals(value(alone.crest()), value(left.crest()), 1e-12);
        assertEquals(3.01, value(alone.crest()), 0.005);
        assertEquals("one of its channels is silent", left.correlation().reason());
    }

    /** The oracle is Pearson's formula in two passes. */
    @Test
    void readsCorrelationAsPearsonWroteIt() {
        Random random = new Random(5);
        double[] l = new double[5 * 44100 + 17], r = new double[l.length];
        for (int i = 0; i < l.length; i++) {
            double common = random.nextGaussian();
            l[i] = 0.2 + 0.1 * common + 0.03 * random.nextGaussian();
            r[i] = -0.1 - 0.05 * common + 0.08 * random.nextGaussian();
        }
        Meters read = Meters.of(new Samples(44100, l, r));
        assertEquals(pearson(l, r, 0, l.length), value(read.correlation()), 1e-9);
        double lowest = 1;
        for (int at = 0; at + 3 * 44100 <= l.length; at += 4410) lowest = Math.min(lowest, pearson(l, r, at, at + 3 * 44100));
        assertEquals(lowest, value(read.lowestCorrelation()), 1e-9);
    }

    /** A passage out of phase is found; noise in a pause, which is not correlated, is not taken for one. */
    @Test
    void findsThePassageThatASumToMonoLoses() {
        double[] l = sine(48000, 200, 0.1, 0, 20), r = l.clone();
        Random random = new Random(6);
        for (int i = 0; i < 5 * 48000; i++) {
            l[i] = 1e-4 * random.nextGaussian();
            r[i] = 1e-4 * random.nextGaussian();
        }
        assertEquals(1, value(Meters.of(new Samples(48000, l, r)).lowestCorrelation()), 0.001);
        for (int i = 10 * 48000; i < 14 * 48000; i++) r[i] = -r[i];
        Meters read = Meters.of(new Samples(48000, l, r));
        assertEquals(-1, value(read.lowestCorrelation()), 0.001);
        assertTrue(value(read.correlation()) > 0.4);
    }

    /** By formula: windows that lie half a hop beside a tone would hold 50 ms less of it, 0.6 dB of 400 ms and 0.07 dB of 3 s. */
    @Test
    void findsTheMaximaBetweenTheHops() {
        double[] x = new double[48000 * 5];
        double[] tone = sine(48000, 997, 0.1, 0, 3), burst = sine(48000, 997, 0.2, 0, 0.4);
        System.arraycopy(tone, 0, x, 48000 * 55 / 100, tone.length);
        assertEquals(-23.01, value(Meters.of(new Samples(48000, x)).shortTermMax()), 0.02);
        System.arraycopy(burst, 0, x, 48000 * 435 / 100, burst.length);
        assertEquals(-16.99, value(Meters.of(new Samples(48000, x)).momentaryMax()), 0.02);
    }

    @Test
    void givesTheSeriesWithTheirTimes() {
        double[] x = sine(48000, 997, 0.1, 0, 5.05);
        Arrays.fill(x, 2 * 48000, x.length, 0);
        Meters read = Meters.of(new Samples(48000, x));
        LoudnessSeries momentary = read.momentary().value().orElseThrow(), shortTerm = read.shortTerm().value().orElseThrow();
        assertEquals(47, momentary.size());
        assertEquals(21, shortTerm.size());
        assertEquals(0.4, momentary.seconds(0), 1e-12);
        assertEquals(5.0, momentary.seconds(46), 1e-12);
        assertEquals(3.0, shortTerm.seconds(0), 1e-12);
        assertEquals(-23.01, momentary.lufs(16), 0.02, "0.4 s that end at 2.0 s");
        assertEquals(-23.01 + 10 * Math.log10(0.75), momentary.lufs(17), 0.02, "at 2.1 s");
        assertEquals(-23.01 + 10 * Math.log10(1.5 / 3), shortTerm.lufs(5), 0.02, "3 s that end at 3.5 s");
        assertEquals(Double.NEGATIVE_INFINITY, momentary.lufs(46), "the filter has died away and was zeroed");
    }

    @Test
    void saysWhatItCannotMeasure() {
        Meters silent = Meters.of(new Samples(48000, new double[5 * 48000]));
        for (Measured<Double> m : List.of(silent.momentaryMax(), silent.shortTermMax(), silent.truePeak(), silent.samplePeak(), silent.crest())) {
            assertEquals("it is silent", m.reason());
        }
        assertEquals("it is never louder than -70 LUFS", silent.integrated().reason());
        assertEquals("it is never louder than -70 LUFS", silent.loudnessRange().reason());
        assertEquals("it has one channel", silent.correlation().reason());
        assertEquals("it has one channel", silent.lowestCorrelation().reason());
        assertEquals(0, value(silent.dc().get(0)));

        double[] click = sine(48000, 997, 0.1, 0, 0.39);
        Meters brief = Meters.of(new Samples(48000, click, click));
        assertEquals("it is shorter than 0.4 s", brief.integrated().reason());
        assertEquals("it is shorter than 0.4 s", brief.momentaryMax().reason());
        assertEquals("it is shorter than 0.4 s", brief.momentary().reason());
        assertEquals("it is shorter than 3 s", brief.shortTermMax().reason());
        assertEquals("it is shorter than 3 s", brief.loudnessRange().reason());
        assertEquals("it is shorter than 3 s", brief.lowestCorrelation().reason());
        assertEquals(1, value(brief.correlation()), 1e-12);
        assertEquals(-20, value(brief.samplePeak()), 0.02);

        Meters empty = Meters.of(new Samples(48000, new double[0], new double[0]));
        for (Measured<Double> m : List.of(empty.integrated(), empty.momentaryMax(), empty.shortTermMax(), empty.loudnessRange(), empty.truePeak(),
                empty.samplePeak(), empty.crest(), empty.dc().get(1), empty.correlation(), empty.lowestCorrelation())) {
            assertFalse(m.known());
            assertEquals("there is no sound in it", m.reason());
        }
    }

    @ParameterizedTest
    @ValueSource(doubles = {5, 60, 90})
    void trustsTheRangeOfAMinute(double seconds) {
        double[] x = sine(8000, 997, 0.1, 0, seconds);
        assertEquals(Math.min(1, seconds / 60), Meters.of(new Samples(8000, x)).loudnessRange().confidence(), 1e-12);
    }

    static double value(Measured<Double> m) {
        return m.value().orElseThrow(() -> new AssertionError(m.reason()));
    }

    private static double[] sine(double rate, double hz, double amplitude, double dc, double seconds) {
        double[] x = new double[(int) Math.round(seconds * rate)];
        for (int i = 0; i < x.length; i++) x[i] = dc + amplitude * Math.sin(2 * Math.PI * hz * i / rate);
        return x;
    }

    private static double pearson(double[] x, double[] y, int from, int to) {
        double mx = 0, my = 0;
        for (int i = from; i < to; i++) {
            mx += x[i] / (to - from);
            my += y[i] / (to - from);
        }
        double xx = 0, yy = 0, xy = 0;
        for (int i = from; i < to; i++) {
            xx += (x[i] - mx) * (x[i] - mx);
            yy += (y[i] - my) * (y[i] - my);
            xy += (x[i] - mx) * (y[i] - my);
        }
        return xy / Math.sqrt(xx * yy);
    }
}
