package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.dsp.filter.Biquad;
import linnet.hear.Mark.Kind;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Stops in a row, and that no two marks of a kind lie in one place: such a list is refused when it is read. */
class StopsTest {
    private static final double RATE = 48_000;

    /** A burst that comes at once and dies away, bright as that of a t. */
    private static void burst(double[] x, double at) {
        Random random = new Random(3);
        double[] noise = random.doubles((int) (0.02 * RATE), -1, 1).toArray();
        Voice.filter(noise, Biquad.bandPass(RATE, 7000, 1));
        for (int i = 0; i < noise.length; i++) x[(int) (at * RATE) + i] += 0.3 * noise[i] * Math.exp(-i / (0.004 * RATE));
    }

    private static List<Mark> stops(double apart) {
        Voice voice = new Voice(RATE, 4).noise(0, 4, 0, -75).note(0.5, 1.87, 200, 20, -20).note(2, 3, 220, 20, -20);
        burst(voice.data(), 1.98 - apart);
        burst(voice.data(), 1.98);
        // The first note begins as suddenly as a stop opens.
        return voice.ear().marks().of(Kind.STOP).stream().filter(m -> m.from() > 1.5 * RATE).toList();
    }

    /** As in "act": the mouth is closed for the second only once the first burst is over. */
    @ParameterizedTest
    @ValueSource(doubles = {0.036, 0.04, 0.05, 0.06, 0.07})
    void twoStopsInARowAreTwo(double apart) {
        List<Mark> found = stops(apart);
        assertEquals(2, found.size(), found.toString());
        assertTrue(found.get(0).to() <= found.get(1).from(), found.toString());
        assertEquals((1.98 - apart) * RATE, found.get(0).to(), 0.03 * RATE);
        assertTrue(found.get(1).from() < 1.98 * RATE && found.get(1).to() > 1.98 * RATE, found.toString());
    }

    @Test
    void noTwoMarksOfAKindLieInOnePlace() throws IOException {
        Voices.assumePresent();
        for (Path voice : Voices.all()) {
            try (WavFile take = WavFile.open(voice)) {
                Marks marks = new Ear(take).speech();
                for (Kind kind : Kind.values()) {
                    List<Mark> all = marks.of(kind);
                    for (int i = 1; i < all.size(); i++) {
                        assertTrue(all.get(i - 1).to() <= all.get(i).from() && all.get(i - 1).from() < all.get(i).from(),
                                voice.getFileName() + ": " + all.get(i - 1) + ", " + all.get(i));
                    }
                }
            }
        }
    }
}
