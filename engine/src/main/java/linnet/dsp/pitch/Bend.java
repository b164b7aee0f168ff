package linnet.dsp.pitch;

/** Where the pitch shall go. */
public interface Bend {
    /** Wanted pitch over heard pitch at a sample of the take; exactly 1 leaves it alone. */
    double ratio(long sample);
}
