package linnet.dsp.dynamics;

/**
 * The highest magnitude of the last few milliseconds. With a window of a voice's period the level stands still from peak to
 * peak, so that a fast release does not follow the waveform of a low note; a low note would growl.
 *
 * <p>Source: the sliding maximum of M. van Herk, Pattern Recognition Letters 13(7), 1992, here over the maxima of hops: the
 * window is cut into fixed stretches, and it always is the end of one and the beginning of the next.
 */
final class HeldPeak {
    private static final int HOP = 40;

    /** Of the stretch before: from each hop to its end; overwritten, hop by hop, with the maxima of the present one. */
    private final double[] toEnd;
    private int at;
    private double fromBeginning;
    private double hop, before;
    private int into;

    /** @param window in samples; it is rounded to whole hops */
    HeldPeak(double window) {
        toEnd = new double[Math.max(1, (int) Math.round(window / HOP)) + 1]; // the last stays 0: nothing is left
    }

    /** Fills {@code held} with the highest magnitude of the window that ends with each sample; both may be the same array. */
    void process(double[] x, double[] held, int n) {
        int i = 0;
        while (i < n) {
            int to = Math.min(n, i + HOP - into);
            into += to - i;
            double most = hop, earlier = before;
            for (; i < to; i++) {
                double size = Math.abs(x[i]);
                most = size > most ? size : most;
                held[i] = most > earlier ? most : earlier;
            }
            hop = most;
            if (into == HOP) next();
        }
    }

    private void next() {
        toEnd[at++] = hop;
        fromBeginning = Math.max(fromBeginning, hop);
        if (at == toEnd.length - 1) {
            for (int k = at - 2; k >= 0; k--) toEnd[k] = Math.max(toEnd[k], toEnd[k + 1]);
            at = 0;
            fromBeginning = 0;
        }
        before = Math.max(fromBeginning, toEnd[at]);
        hop = 0;
        into = 0;
    }
}
