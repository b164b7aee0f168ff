package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.List;
import java.util.Random;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.dsp.filter.Biquad;
import linnet.hear.Mark.Kind;
import org.junit.jupiter.api.Test;

/** Where lines begin and end that no pitch leads to. */
class LinesTest {
    /** A passing car has the body of a creaking voice, but no voice creaks for longer than a second: each line ends within that. */
    @Test
    void whatSoundsOnForLongIsNoPartOfALine() {
        double rate = 48_000;
        Voice voice = new Voice(rate, 9).noise(0, 9, 0, -75).note(1, 2.5, 200, 20, -20).note(5.5, 7, 220, 20, -20);
        double[] car = new Random(8).doubles((int) (3.4 * rate), -1, 1).toArray();
        Voice.filter(car, Biquad.bandPass(rate, 500, 0.4));
        for (int i = 0; i < car.length; i++) voice.data()[(int) (2.3 * rate) + i] += 0.1 * car[i];
        List<Mark> lines = voice.ear().marks().of(Kind.PHRASE);
        assertEquals(2, lines.size(), lines.toString());
        assertTrue(lines.get(0).to() < 3.6 * rate && lines.get(1).from() > 4.4 * rate, lines.toString());
    }

    /** Read off its spectrogram: he speaks on until 5.3 s, from 4.7 s in creak. */
    @Test
    void theLastWordOfASpeakerIsPartOfHisLine() throws IOException {
        Voices.assumePresent();
        try (WavFile take = WavFile.open(Voices.file("male_speech_noisy_sms.wav"))) {
            List<Mark> lines = new Ear(take).marks().of(Kind.PHRASE);
            assertTrue(lines.get(lines.size() - 1).to() > 5.25 * take.rate() && lines.get(lines.size() - 1).to() < 5.5 * take.rate(), lines.toString());
        }
    }
}
