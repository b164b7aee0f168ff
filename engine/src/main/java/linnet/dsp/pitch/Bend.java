package linnet.dsp.pitch;

/** Where the pitch shall go. */
public interface Bend {
    /** Wanted pitch over heard pitch at a sample of the take; exactly 1 leaves it alone. */
    double ratio(long sample);

    /**
     * Whether a voice that seems to end but sounds on as loud may slide a little from this pitch before it, so that what follows goes on in step; otherwise
     * its last period alone makes up for what is left of one.
     */
    default boolean slidesHome() {
        return false;
    }
}
