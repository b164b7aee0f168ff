package linnet.dsp.repair;

/**
 * Least-squares interpolation of lost samples: those values are filled in with which the model's error is least, over all equations that
 * a lost sample stands in. Source: A. Janssen, R. Veldhuis, L. Vries, "Adaptive interpolation of discrete-time signals that can be
 * modeled as autoregressive processes", IEEE TASSP 34(2), 1986.
 */
final class Interpolation {
    private Interpolation() {}

    /**
     * Fills {@code x[from … to - 1]}.
     *
     * @return false where it could not be told, and nothing was changed
     */
    static boolean fill(double[] x, int from, int to, Autoregression model) {
        double[] off = model.around(x, from, to, x.length).solved(0);
        if (off == null) return false;
        for (int i = from; i < to; i++) x[i] -= off[i - from];
        return true;
    }
}
