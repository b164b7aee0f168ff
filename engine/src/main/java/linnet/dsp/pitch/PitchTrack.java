package linnet.dsp.pitch;

/**
 * The pitch of a voice on an even grid of time.
 *
 * @param hop samples from frame to frame; frame f is heard around sample {@code (f + 1/2) · hop}
 * @param hz per frame; 0 where there is no pitch
 * @param fine the same, within 1 cent also where the voice is high and {@code hz} is up to 10 cents off: for whoever tunes by it
 */
public record PitchTrack(int hop, float[] hz, float[] fine) {
    /** In frames of 10 ms: less than a consonant that lasts. */
    private static final int GAP = 6;

    /** Of a pitch that is as fine as it is. */
    public PitchTrack(int hop, float[] hz) {
        this(hop, hz, hz);
    }

    public int frames() {
        return hz.length;
    }

    public boolean voiced(int frame) {
        return frame >= 0 && frame < hz.length && hz[frame] > 0;
    }

    /** The first frame from one on that has a pitch; where none has, their number. */
    int again(int frame) {
        int f = frame;
        while (f < frames() && !voiced(f)) f++;
        return f;
    }

    /** The frame behind a stretch of voice, over gaps so short that it may go on in them: whether it does, its periods tell. */
    int end(int begin) {
        int end = begin;
        for (int next = begin; next < frames() && next - end <= GAP; next = again(end)) {
            end = next;
            while (voiced(end)) end++;
        }
        return end;
    }
}
