package linnet.dsp.reverb;

/** A reverberator without its surroundings: stereo in place, fully wet, as loud as what goes in. */
interface Room {
    /** Replaces the first {@code n} samples of both channels by the room's answer to them. */
    void process(double[] l, double[] r, int n);

    /** The same for a sound alike on both sides, which comes in on the left alone: the very bits of {@link #process}. */
    void processMono(double[] l, double[] r, int n);

    /** To be called at the end of each {@link linnet.dsp.Cell}. */
    void settle();

    /** Whether nothing sounds in it any more, so that silence passes by {@link #settle} alone; at the border of a cell. */
    boolean rests();

    /** Samples from a sound to the first of its reflections. */
    int firstArrival();

    /** Samples of its longest delay line: after such a silence, and not before, it is known to be over. */
    int longestLine();
}
