package linnet.dsp.pitch;

/**
 * The pitch of a voice on an even grid of time.
 *
 * @param hop samples from frame to frame; frame f is heard around sample {@code (f + 1/2) · hop}
 * @param hz per frame; 0 where there is no pitch
 */
public record PitchTrack(int hop, float[] hz) {
    public int frames() {
        return hz.length;
    }

    public boolean voiced(int frame) {
        return frame >= 0 && frame < hz.length && hz[frame] > 0;
    }
}
