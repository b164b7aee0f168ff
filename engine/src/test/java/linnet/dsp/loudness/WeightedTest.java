package linnet.dsp.loudness;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Random;
import linnet.dsp.Samples;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Beside the meter of the standard, and its anchor: 0 dBFS at 997 Hz in one channel reads -3.01 LUFS. */
class WeightedTest {
    @ParameterizedTest
    @ValueSource(doubles = {44100, 48000, 96000})
    void aToneReadsWhatTheStandardSays(double rate) {
        double[] x = new double[(int) (2 * rate)];
        for (int i = 0; i < x.length; i++) x[i] = Math.sin(2 * Math.PI * 997 * i / rate);
        assertEquals(-3.01, Weighted.of(new Samples(rate, x)).loudness((long) rate, (long) (1.2 * rate)), 0.02);
        assertEquals(0, Weighted.of(new Samples(rate, x, x)).loudness((long) rate, 2 * (long) rate), 0.02);
    }

    @Test
    void evenNoiseReadsAsTheMeterReads() {
        Random random = new Random(1);
        double[] x = random.doubles(4 * 48000, -0.1, 0.1).toArray();
        Loudness meter = new Loudness(48000, 1);
        meter.add(new double[][] {x}, x.length);
        assertEquals(meter.integrated(), Weighted.of(new Samples(48000, x)).loudness(0, x.length), 0.05);
    }

    @Test
    void pausesWithinDoNotCountAndSilenceHasNoLoudness() {
        double[] x = new Random(1).doubles(2 * 48000, -0.1, 0.1).toArray();
        double whole = Weighted.of(new Samples(48000, x)).loudness(0, x.length);
        for (int i = 30000; i < 60000; i++) x[i] *= 0.01;
        assertEquals(whole, Weighted.of(new Samples(48000, x)).loudness(0, x.length), 0.05);
        assertEquals(Double.NEGATIVE_INFINITY, Weighted.of(new Samples(48000, new double[48000])).loudness(0, 48000));
        assertEquals(Double.NEGATIVE_INFINITY, Weighted.of(new Samples(48000, x)).loudness(100, 200), "no whole frame");
    }
}
