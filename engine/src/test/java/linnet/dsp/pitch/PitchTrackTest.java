package linnet.dsp.pitch;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;

class PitchTrackTest {
    /** A voice whose pitch flickers for hours is one stretch, and takes no more than its frames. */
    @Test
    void aFlickeringPitchIsOneStretch() {
        float[] hz = new float[600_000];
        for (int f = 0; f < hz.length; f++) hz[f] = f % 4 == 0 ? 200 : 0;
        PitchTrack track = new PitchTrack(480, hz);
        assertEquals(hz.length - 3, track.end(0));
        assertEquals(4, track.again(1));
        assertEquals(hz.length, track.again(hz.length - 2));
    }

    /** Up to six frames of 10 ms are the voice's. */
    @Test
    void aShortGapPartsNothing() {
        float[] hz = new float[30];
        for (int f : new int[] {3, 4, 11, 12, 20, 21}) hz[f] = 150;
        PitchTrack track = new PitchTrack(480, hz);
        assertEquals(3, track.again(0));
        assertEquals(13, track.end(3));
        assertEquals(20, track.again(13));
        assertEquals(22, track.end(20));
    }
}
