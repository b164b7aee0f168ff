package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.stream.IntStream;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.demo.Truth;
import linnet.dsp.Samples;
import linnet.dsp.filter.Biquad;
import linnet.dsp.filter.Butterworth;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Against the demo's singers, who know all they sing: vowels with formants, consonants, breaths, clicks, room and hum. */
class EarDemoTest {
    @ParameterizedTest
    @CsvSource({"high, 44100", "low, 48000"})
    void hearsWhatTheSingerKnows(String who, double rate) {
        Singer singer = who.equals("high") ? Singer.high() : Singer.low();
        Performance take = Performance.sing(SevenLanterns.lead(), singer, Room.bedroom(), rate);
        Truth truth = take.truth();
        Ear ear = new Ear(new Samples(rate, take.samples()));

        assertEquals(noiseOfTheCountIn(take), value(ear.noise()), 1);

        int[] voiced = IntStream.range(0, take.samples().length).filter(i -> truth.pitchAt(i / rate) > 0).toArray();
        double square = Arrays.stream(voiced).mapToDouble(i -> take.samples()[i] * take.samples()[i]).average().orElseThrow();
        assertEquals(10 * Math.log10(square), value(ear.voice()), 0.5);

        double[] pitch = Arrays.stream(truth.pitch()).filter(hz -> hz > 0).sorted().toArray();
        double lowest = pitch[(int) (0.025 * pitch.length)];
        assertEquals(0, 1200 * Math.log(value(ear.lowestNote()) / lowest) / Math.log(2), 20);

        Sung sung = ear.sung().value().orElseThrow();
        long heard = Arrays.stream(voiced).filter(sung::at).count();
        assertTrue(heard > 0.98 * voiced.length, heard + " of " + voiced.length);
        for (Truth.Event breath : truth.breaths()) {
            for (double t = breath.start() + 0.03; t < breath.end() - 0.03; t += 0.01) {
                assertFalse(sung.at(Math.round(t * rate)), "sings at " + t + " in " + breath);
            }
        }

        // The song has both /s/ and /sh/: between the fricative peaks of A. Jongman, R. Wayland, S. Wong, JASA 108(3), 2000.
        assertEquals((3820 + 6839) / 2.0, value(ear.sibilance()), (6839 - 3820) / 2.0);
    }

    /** The room rings at 1.3 kHz, and that comes first, before the ring of the voice and its formants. */
    @ParameterizedTest
    @CsvSource({"low, 44100", "low, 48000", "high, 44100", "high, 48000"})
    void hearsTheRoomRing(String who, double rate) {
        Singer singer = who.equals("high") ? Singer.high() : Singer.low();
        Performance take = Performance.sing(SevenLanterns.lead(), singer, Room.bedroom(), rate);
        double ring = take.truth().room().resonanceHz();
        assertEquals(ring, value(new Ear(new Samples(rate, take.samples())).resonance(1)).hz(), 0.05 * ring);
    }

    /** RMS of the 1.5 s before anybody sings or breathes, above 100 Hz. */
    private static double noiseOfTheCountIn(Performance take) {
        double[] x = Arrays.copyOf(take.samples(), (int) (1.5 * take.rate()));
        for (Biquad section : Butterworth.highPass(take.rate(), 100, 4)) Voice.filter(x, section);
        return 10 * Math.log10(Arrays.stream(x).map(v -> v * v).average().orElseThrow());
    }

    private static <T> T value(Measured<T> fact) {
        return fact.value().orElseThrow(() -> new AssertionError(fact.reason()));
    }
}
