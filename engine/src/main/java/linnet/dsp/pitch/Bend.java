package linnet.dsp.pitch;

/** Where the pitch shall go. */
public interface Bend {
    /** Wanted pitch over heard pitch at a sample of the take; exactly 1 leaves it alone. */
    double ratio(long sample);

    /**
     * Whether a voice that ends may slide a little from this pitch in its last periods, so that the sound after it goes on in step; otherwise
     * the last one alone makes up for what is left of a period.
     */
    default boolean slidesHome() {
        return false;
    }
}
