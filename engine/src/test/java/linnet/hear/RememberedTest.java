package linnet.hear;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.ByteBuffer;
import java.util.Optional;
import linnet.dsp.pitch.PitchTrack;
import org.junit.jupiter.api.Test;

/** Facts that were not written in their form, in which they can only be forged. */
class RememberedTest {
    private static byte[] track(int hop, int hz, int fine) {
        return ByteBuffer.allocate(12 + 4 * (hz + fine)).putInt(hop).putInt(hz).putInt(4 + 4 * hz + 4, fine).array();
    }

    @Test
    void aPitchHasTwoNumbersForEachFrame() {
        assertEquals(Optional.of(3), Remembered.PITCH.read(track(240, 3, 3)).map(PitchTrack::frames));
        assertEquals(Optional.empty(), Remembered.PITCH.read(track(240, 3, 2)));
        assertEquals(Optional.empty(), Remembered.PITCH.read(track(0, 3, 3)));
    }
}
