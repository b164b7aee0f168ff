package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import linnet.dsp.Samples;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Against voices by formula, of which each fact is known beforehand. */
class FactsTest {
    @Test
    void everyFactIsDeclaredOnceWithWordsAndMethod() {
        Set<String> keys = new HashSet<>();
        for (Fact fact : Fact.ALL) {
            assertTrue(keys.add(fact.key()), fact.key());
            assertTrue(fact.key().matches("[a-z][a-z0-9_]*") && !fact.words().isBlank() && fact.method().endsWith("."), fact.toString());
        }
    }

    /** White noise has the power of a band in the share that the band has of half the rate: 10^0.05 - 10^-0.05 times its centre. */
    @ParameterizedTest
    @ValueSource(doubles = {44100, 48000, 96000})
    void hearsTheSpectrumOfTheNoise(double rate) {
        Facts facts = new Facts(new Samples(rate, song(rate).noise(0, 6, 0, -60).data()));
        Bands bands = facts.noiseBands().value().orElseThrow();
        // The band at 20 kHz ends at 22.4 kHz, above half of 44.1 kHz.
        assertEquals(rate == 44100 ? 23 : 24, bands.hz().length);
        for (int i = 3; i < bands.hz().length; i++) {
            double centre = 100 * Math.pow(10, i / 10.0);
            double share = centre * (Math.pow(10, 0.05) - Math.pow(10, -0.05)) / (rate / 2);
            assertEquals(centre, bands.hz()[i], 0.02 * centre);
            // Some 1.9 s of pause leave a band at 200 Hz 90 degrees of freedom: a deviation of 0.65 dB.
            assertEquals(-60 + 10 * Math.log10(share), bands.dbfs()[i], i < 10 ? 2 : 0.7, "at " + centre);
        }
    }

    /** Rumble, noise and offset planted together; the offset is no noise. */
    @ParameterizedTest
    @CsvSource({"44100, -50", "48000, -70"})
    void tellsNoiseFromRumbleAndOffset(double rate, double rumble) {
        Voice voice = song(rate).noise(0, 6, 0, -60).rumble(31, rumble);
        double[] x = voice.data();
        for (int i = 0; i < x.length; i++) x[i] += 0.01;
        Facts facts = new Facts(new Samples(rate, x));
        assertEquals(rumble, value(facts.rumble()), 1);
        assertEquals(10 * Math.log10(Math.pow(10, -6) + Math.pow(10, rumble / 10)), value(facts.noiseFloor()), 1);
        assertEquals(1, value(facts.offset()), 0.01);
    }

    /** A sine of level L in the voice's own band reads L there. */
    @Test
    void hearsTheSpectrumOfTheVoice() {
        double[] x = new Voice(48000, 2).noise(0, 2, 0, -90).data();
        for (int i = 48000; i < x.length; i++) {
            x[i] += Math.sqrt(2) * (0.1 * Math.sin(2 * Math.PI * 200 * i / 48000.0) + 0.01 * Math.sin(2 * Math.PI * 2000 * i / 48000.0));
        }
        Bands bands = new Facts(new Samples(48000, x)).voiceBands().value().orElseThrow();
        assertEquals(-40, bands.dbfs()[13], 0.1);
        assertEquals(2000, bands.hz()[13]);
        assertEquals(-20, 10 * Math.log10(Math.pow(10, bands.dbfs()[2] / 10) + Math.pow(10, bands.dbfs()[3] / 10) + Math.pow(10, bands.dbfs()[4] / 10)), 0.1);
    }

    @Test
    void hearsThePitchRange() {
        Voice voice = new Voice(48000, 8).noise(0, 8, 0, -70);
        for (int i = 0; i < 7; i++) voice.note(0.2 + i, 1 + i, 220 * Math.pow(2, i / 6.0), 0, -20);
        Facts facts = new Facts(new Samples(48000, voice.data()));
        assertEquals(0, cents(value(facts.ear().medianPitch()), 220 * Math.sqrt(2)), 20);
        assertEquals(0, cents(value(facts.ear().highestNote()), 440), 20);
    }

    /** A sibilant of known level beside a note of known level. */
    @ParameterizedTest
    @ValueSource(doubles = {-10, -20})
    void hearsHowStrongSibilantsAre(double over) {
        Voice voice = song(48000).noise(2.65, 2.85, 7000, -20 + over).noise(0, 6, 0, -80);
        Facts facts = new Facts(new Samples(48000, voice.data()));
        double sibilant = voice.dbfs(2.69, 2.81);
        assertEquals(sibilant - value(facts.ear().voice()), value(facts.ear().sibilanceStrength()), 1.5);
    }

    @Test
    void findsClippedRunsAndNoOthers() {
        double[] x = new double[48000];
        for (int i = 0; i < x.length; i++) x[i] = Math.sin(2 * Math.PI * 110 * i / 48000.0);
        assertEquals(0, clipped(x), "a clean sine");
        double[] rounded = x.clone();
        for (int i = 0; i < x.length; i++) rounded[i] = Math.round(Math.sin(2 * Math.PI * 30 * i / 48000.0) * 32767) / 32768.0;
        assertEquals(0, clipped(rounded), "a sine of 16 bits, whose peaks hold still for several samples");
        for (int i = 0; i < x.length; i++) rounded[i] = Math.round(Math.max(-0.9, Math.min(0.9, 1.2 * x[i])) * 32767 * 0.5) / 32768.0;
        assertEquals(220, clipped(rounded), "clipped, then turned down and rounded");
        List<Event> runs = new Facts(new Samples(48000, rounded)).clipped().value().orElseThrow();
        // 1.2 sin stays over 0.9 from 48.59 to 131.41 degrees.
        double degrees = 48000.0 / 110 / 360;
        assertEquals(48.59 * degrees, runs.get(0).from(), 1);
        assertEquals(131.41 * degrees, runs.get(0).to(), 1);
        assertEquals(20 * Math.log10(0.45), runs.get(0).dbfs(), 0.01);
    }

    @Test
    void aHoldOfZerosIsNotClipped() {
        double[] x = new Random(1).doubles(48000, -0.5, 0.5).toArray();
        for (int i = 1000; i < 2000; i++) x[i] = 0;
        assertEquals(0, clipped(x));
    }

    /** Lines of known level in noise; harmonic k is 6 dB weaker than the one before. */
    @ParameterizedTest
    @CsvSource({"44100, 50", "48000, 60", "96000, 50", "8000, 60", "22050, 50", "22051, 60", "65537, 50"})
    void tellsTheHumAndItsLevel(double rate, double mains) {
        Voice voice = hiss(rate);
        for (int k = 1; k <= 4; k++) voice.rumble(k * mains, -60 - 6 * k);
        Hum hum = new Facts(new Samples(rate, voice.data())).hum().value().orElseThrow();
        assertEquals(mains, hum.hz());
        for (int k = 1; k <= 3; k++) {
            assertEquals(k * mains, hum.harmonics().hz()[k - 1]);
            assertEquals(-60 - 6 * k, hum.harmonics().dbfs()[k - 1], 1);
        }
        double all = 0;
        for (int k = 1; k <= 4; k++) all += Math.pow(10, -6 - 0.6 * k);
        assertEquals(10 * Math.log10(all), hum.dbfs(), 1);
    }

    @ParameterizedTest
    @ValueSource(doubles = {0, 41, 75})
    void takesNothingElseForHum(double hz) {
        Voice voice = hiss(48000);
        if (hz > 0) voice.rumble(hz, -50);
        assertEquals("no hum stands out of what sounds in it", new Facts(new Samples(48000, voice.data())).hum().reason());
    }

    @Test
    void hearsTheSilenceAtBothEnds() {
        Facts facts = new Facts(new Samples(48000, song(48000).noise(0, 6, 0, -70).data()));
        assertEquals(0.5, value(facts.silenceAtStart()), 0.04);
        assertEquals(0.5, value(facts.silenceAtEnd()), 0.04);
    }

    /** Every fact of a sound that holds nothing has a reason, at every rate. */
    @ParameterizedTest
    @CsvSource({"48000, 4800", "48000, 480", "8000, 80", "192000, 192000", "44100, 1", "48000, 0"})
    void silenceAndScrapsGiveReasonsAndNoNumbers(double rate, int frames) {
        Facts facts = new Facts(new Samples(rate, new double[frames], new double[frames]));
        for (Fact fact : Fact.ALL) {
            Measured<?> m = fact.measure().apply(facts);
            boolean plain = List.of("clipped_runs", "dc_percent").contains(fact.key());
            assertTrue(plain || !m.known() && !m.reason().isBlank(), fact.key() + " is " + m);
        }
    }

    @ParameterizedTest
    @ValueSource(doubles = {8000, 192000})
    void hearsAtEveryRate(double rate) {
        Voice voice = new Voice(rate, 6);
        for (int i = 0; i < 4; i++) voice.note(0.5 + 1.3 * i, 1.5 + 1.3 * i, 220, 30, -20);
        Facts facts = new Facts(new Samples(rate, voice.noise(0, 6, 0, -60).data()));
        assertEquals(0, cents(value(facts.ear().lowestNote()), 220), 35);
        assertEquals(rate == 8000 ? 16 : 24, facts.noiseBands().value().orElseThrow().hz().length);
        for (Fact fact : Fact.ALL) fact.measure().apply(facts);
    }

    @Test
    void anOffsetAloneIsNoTake() {
        double[] x = new double[96000];
        java.util.Arrays.fill(x, 0.25);
        Facts facts = new Facts(new Samples(48000, x));
        assertEquals(25, value(facts.offset()), 0.001);
        assertEquals(0, facts.clipped().value().orElseThrow().size());
        for (String key : List.of("noise_floor_dbfs", "voice_dbfs", "lowest_note_hz", "breaths", "hum_hz")) {
            Fact fact = Fact.ALL.stream().filter(f -> f.key().equals(key)).findFirst().orElseThrow();
            assertTrue(!fact.measure().apply(facts).known(), key);
        }
    }

    private static Voice hiss(double rate) {
        return new Voice(rate, 20).note(0.5, 2.5, 220, 30, -20).note(10, 12, 330, 0, -20).noise(0, 20, 0, -60);
    }

    private static int clipped(double[] x) {
        return new Facts(new Samples(48000, x)).clipped().value().orElseThrow().size();
    }

    private static Voice song(double rate) {
        return new Voice(rate, 6).note(0.5, 2.5, 220, 30, -20).note(3, 3.5, 330, 0, -20).note(4.5, 5.5, 262, 40, -20);
    }

    private static double cents(double hz, double of) {
        return 1200 * Math.log(hz / of) / Math.log(2);
    }

    private static <T> T value(Measured<T> fact) {
        return fact.value().orElseThrow(() -> new AssertionError(fact.reason()));
    }
}
