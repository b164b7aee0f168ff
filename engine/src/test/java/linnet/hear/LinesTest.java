package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.util.List;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.hear.Mark.Kind;
import org.junit.jupiter.api.Test;

/** Where lines begin and end that no pitch leads to. */
class LinesTest {
    /** Read off its spectrogram: he speaks on until 5.3 s, from 4.7 s in creak. */
    @Test
    void theLastWordOfASpeakerIsPartOfHisLine() throws IOException {
        assumeTrue(Voices.present());
        try (WavFile take = WavFile.open(Voices.file("male_speech_noisy_sms.wav"))) {
            List<Mark> lines = new Ear(take).marks().of(Kind.PHRASE);
            assertTrue(lines.get(lines.size() - 1).to() > 5.25 * take.rate(), lines.toString());
        }
    }
}
