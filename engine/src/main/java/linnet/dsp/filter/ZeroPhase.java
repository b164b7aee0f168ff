package linnet.dsp.filter;

import java.util.List;
import linnet.dsp.Cell;

/**
 * A filter run forwards and then backwards over a stretch: it turns no phase, and its gain counts twice, so that a Butterworth low-pass has
 * half the amplitude at its corner. What it takes out can therefore be subtracted from the sound, and nothing else moves.
 *
 * <p>Source: F. Gustafsson, "Determining the initial states in forward-backward filtering", IEEE Transactions on Signal Processing 44(4),
 * 1996. Here it starts at rest: give it a run-in at both ends that is long beside its own ringing.
 */
public final class ZeroPhase {
    private ZeroPhase() {}

    /** In place, the whole array. */
    public static void process(List<Biquad> sections, double[] x) {
        forwards(new Cascade(sections), x);
        reverse(x);
        forwards(new Cascade(sections), x);
        reverse(x);
    }

    private static void forwards(Cascade filter, double[] x) {
        double[] cell = new double[Cell.LENGTH];
        for (int at = 0; at < x.length; at += Cell.LENGTH) {
            int n = Math.min(Cell.LENGTH, x.length - at);
            System.arraycopy(x, at, cell, 0, n);
            filter.process(cell, n);
            filter.settle();
            System.arraycopy(cell, 0, x, at, n);
        }
    }

    private static void reverse(double[] x) {
        for (int i = 0, k = x.length - 1; i < k; i++, k--) {
            double v = x[i];
            x[i] = x[k];
            x[k] = v;
        }
    }
}
