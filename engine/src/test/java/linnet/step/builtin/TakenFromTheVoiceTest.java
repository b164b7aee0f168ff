package linnet.step.builtin;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import linnet.Rig;
import linnet.demo.Performance;
import linnet.demo.Room;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import org.junit.jupiter.api.Test;

/** Filters that a chain states against the singer, where this singer is another than it was made for. */
class TakenFromTheVoiceTest {
    private static String found(Samples take, String bands) {
        return Rig.usual().render("- eq: [ " + bands + " ]", take).rendered().resolved().toString();
    }

    /** What draft leaves out for the same reason is told of a chain that was made for another singer. */
    @Test
    void whatIsStatedAgainstTheSingerTellsWhereItTakesFromTheVoice() {
        Samples high = new Samples(48_000, Performance.sing(SevenLanterns.lead(), Singer.high(), Room.bedroom(), 48_000).samples());
        String corner = found(high, "{ high-pass: 0.8 x lowest note }"), cut = found(high, "{ bell: resonance 2, gain: -2.5 dB }");
        assertTrue(corner.contains("value=175.7 Hz (so high that it thins the voice: write 120 Hz)"), corner);
        assertTrue(cut.contains("value=380.6 Hz (notes are sung there, and one held often looks the same: leave the band out, or write the place)"), cut);
        // What lies over all that is sung is no note.
        assertTrue(found(high, "{ bell: resonance 1, gain: -2.5 dB }").contains("value=1.35 kHz,"));
        // A number is as the text says, and what lies over the lowest note is meant to take from it.
        assertFalse(found(high, "{ high-pass: 1.5 x lowest note }").contains("thins"));
        assertFalse(found(high, "{ bell: lowest note, gain: -1 dB }").contains("("));
        Samples low = new Samples(48_000, new double[48_000 * 6]);
        for (int i = 0; i < low.data()[0].length; i++) {
            for (int k = 1; k <= 20; k++) low.data()[0][i] += i % 96_000 < 72_000 ? 0.1 / k * Math.sin(2 * Math.PI * 110 * k * i / 48_000) : 0;
        }
        assertTrue(found(low, "{ high-pass: 0.8 x lowest note }").contains("value=88 Hz,"), found(low, "{ high-pass: 0.8 x lowest note }"));
    }
}
