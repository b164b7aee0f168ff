package linnet.dsp.align;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import linnet.dsp.Samples;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Sounds of which level, place and colour are known. */
class CepstraTest {
    private static double[] tone(double rate, double seconds, double hz, double peak) {
        double[] x = new double[(int) (seconds * rate)];
        for (int i = 0; i < x.length; i++) x[i] = peak * Math.sin(2 * Math.PI * hz * i / rate);
        return x;
    }

    private static Cepstra heard(double rate, double[]... x) {
        return new Cepstra(new Samples(rate, x), s -> true);
    }

    /** A buzz at some pitch through one resonance, for so many seconds. */
    private static double[] vowel(double pitch, double formant, double seconds) {
        double rate = 48_000;
        double[] x = new double[(int) (seconds * rate)];
        for (int k = 1; k * pitch < 6000; k++) {
            double gain = 0.1 / (1 + Math.pow((k * pitch - formant) / 200, 2)) + 0.002;
            for (int i = 0; i < x.length; i++) x[i] += gain * Math.sin(2 * Math.PI * k * pitch * i / rate + k * k);
        }
        return x;
    }

    private static double[] join(double[]... parts) {
        return java.util.Arrays.stream(parts).flatMapToDouble(java.util.Arrays::stream).toArray();
    }

    @ParameterizedTest
    @ValueSource(doubles = {44_100, 48_000, 96_000})
    void theLevelIsTheRmsOfWhatIsHeard(double rate) {
        Cepstra tone = heard(rate, tone(rate, 0.5, 1000, 0.5));
        assertEquals(0.005, tone.hop() / rate, 0.0001);
        assertEquals(0.5 / 0.005 + 1, tone.frames(), 1);
        int middle = tone.frame((long) (0.25 * rate));
        assertEquals(20 * Math.log10(0.5) - 3.01, tone.db(middle), 0.2); // what halves the rate takes a tenth of a dB
        assertTrue(heard(rate, tone(rate, 0.5, 40, 0.5)).db(middle) < -25, "below 150 Hz little is heard");
        assertTrue(heard(rate, tone(rate, 0.5, 9000, 0.5)).db(middle) < -25, "nor above 6 kHz");
        assertTrue(heard(rate, new double[(int) rate]).db(middle) <= -149);
    }

    @Test
    void channelsAreHeardAsTheirMean() {
        double[] x = tone(48_000, 0.5, 1000, 0.5), turned = x.clone();
        for (int i = 0; i < x.length; i++) turned[i] = -x[i];
        assertEquals(heard(48_000, x).db(50), heard(48_000, x, x).db(50), 1e-6);
        assertEquals(heard(48_000, x).db(50) - 6.02, heard(48_000, x, new double[x.length]).db(50), 0.01);
        assertTrue(heard(48_000, x, turned).db(50) < -100);
    }

    /** Frame f stands at sample f · hop, from the first to the last, also where more than one block lies before it. */
    @ParameterizedTest
    @ValueSource(ints = {0, 3000, 4800, 24_000, 47_000})
    void aBurstIsHeardWhereItIs(int at) {
        double[] x = new double[48_000];
        Random random = new Random(1);
        for (int i = Math.max(0, at - 60); i < Math.min(x.length, at + 60); i++) x[i] = random.nextGaussian();
        Cepstra heard = heard(48_000, x);
        int loudest = 0;
        for (int f = 0; f < heard.frames(); f++) if (heard.db(f) > heard.db(loudest)) loudest = f;
        assertEquals(at / (double) heard.hop(), loudest, 1);
    }

    @Test
    void theNearestFrameIsHeldInside() {
        Cepstra heard = heard(48_000, new double[24_000]);
        int hop = heard.hop();
        assertEquals(0, heard.frame(0));
        assertEquals(0, heard.frame(hop / 2 - 1));
        assertEquals(1, heard.frame(hop / 2));
        assertEquals(7, heard.frame(7L * hop));
        assertEquals(0, heard.frame(-100_000));
        assertEquals(heard.frames() - 1, heard.frame(10_000_000));
    }

    @Test
    void whatIsNotWantedIsSilent() {
        double[] x = tone(48_000, 1, 1000, 0.5);
        Cepstra half = new Cepstra(new Samples(48_000, x), s -> s < 24_000);
        assertEquals(-9, half.db(50), 0.2);
        assertEquals(-150, half.db(150), 0.1);
    }

    /** Neither level nor pitch counts much, and another vowel does. */
    @Test
    void anotherVowelIsFartherThanAnotherPitchOrLevel() {
        double[] sung = join(vowel(200, 600, 0.5), vowel(200, 2000, 0.5)), high = join(vowel(250, 600, 0.5), vowel(250, 2000, 0.5)), soft = sung.clone();
        for (int i = 0; i < soft.length; i++) soft[i] *= 0.1;
        Cepstra own = heard(48_000, sung), pitch = heard(48_000, high), level = heard(48_000, soft);
        double apart = own.distance(50, own, 150);
        assertEquals(0, own.distance(50, own, 50));
        assertEquals(apart, own.distance(150, own, 50), 1e-6);
        assertEquals(0, own.distance(50, level, 50), 0.02 * apart);
        assertTrue(own.distance(50, pitch, 50) < 0.4 * apart && own.distance(150, pitch, 150) < 0.4 * apart, own.distance(50, pitch, 50) + " beside " + apart);
        assertEquals(apart, level.distance(50, own, 150), 0.05 * apart);
    }

    /** Where one vowel goes over into another something happens: that frame is unlike either, and the change is the same forwards only. */
    @Test
    void aChangeIsHeardAsOne() {
        Cepstra up = heard(48_000, join(vowel(200, 600, 0.5), vowel(200, 2000, 0.5))), down = heard(48_000, join(vowel(200, 2000, 0.5), vowel(200, 600, 0.5)));
        double apart = up.distance(50, up, 150);
        assertTrue(up.distance(100, up, 50) > 0.8 * apart && up.distance(100, up, 150) > 0.8 * apart);
        assertTrue(up.distance(100, down, 100) > 1.5 * apart, "a change the other way is twice as far: " + up.distance(100, down, 100) / apart);
        assertTrue(up.distance(90, up, 50) < 0.2 * apart && up.distance(110, up, 150) < 0.2 * apart, "50 ms beside it is over");
    }
}
