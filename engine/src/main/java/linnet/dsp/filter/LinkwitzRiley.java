package linnet.dsp.filter;

import java.util.Arrays;
import java.util.List;
import linnet.dsp.Cell;

/**
 * Splits a signal at 1 to 4 frequencies into bands that sum back to it with flat magnitude. Each split is a fourth-order
 * Linkwitz-Riley pair (two equal Butterworth sections each side, -6.02 dB at the split), whose sum is a second-order
 * all-pass. Band by band from below, what lies under a split also passes the all-passes of every split above it, so that
 * all bands have turned through the same phase when they meet.
 *
 * <p>Sources: S. Linkwitz, "Active crossover networks for noncoincident drivers", JAES 24(1), 1976; the compensation:
 * J. D'Appolito, "Active realization of multiway all-pass crossover systems", JAES 35(4), 1987.
 */
public final class LinkwitzRiley {
    private final Split[] splits;

    /**
     * One split, and the all-passes of those above it for what it takes off. Low-pass, high-pass and all-pass have the same poles, and the high-pass pair is
     * what the all-pass leaves over the low-pass pair: so two recursions (direct form II) do the work of four sections.
     */
    private static final class Split {
        private final Biquad lowPass, highPass;
        private final Cascade turn;
        private double w1, w2, u1, u2; // states: of the input, and of what has been low-passed once

        Split(double rate, double hz, List<Biquad> above) {
            lowPass = Biquad.lowPass(rate, hz, Biquad.BUTTERWORTH);
            highPass = Biquad.highPass(rate, hz, Biquad.BUTTERWORTH);
            turn = new Cascade(above);
        }

        void process(double[] rest, double[] band, int n) {
            fork(rest, band, n);
            turn.process(band, n);
        }

        private void fork(double[] rest, double[] band, int n) {
            double b0 = lowPass.b0(), a1 = lowPass.a1(), a2 = lowPass.a2(), w1 = this.w1, w2 = this.w2, u1 = this.u1, u2 = this.u2;
            for (int i = 0; i < n; i++) {
                double w = (rest[i] - a2 * w2) - a1 * w1;
                double all = (a1 * w1 + w2) + a2 * w;
                double u = (b0 * ((w + w2) + (w1 + w1)) - a2 * u2) - a1 * u1;
                double low = b0 * ((u + u2) + (u1 + u1));
                w2 = w1;
                w1 = w;
                u2 = u1;
                u1 = u;
                band[i] = low;
                rest[i] = all - low;
            }
            this.w1 = w1;
            this.w2 = w2;
            this.u1 = u1;
            this.u2 = u2;
        }

        void settle() {
            w1 = Cell.settled(w1);
            w2 = Cell.settled(w2);
            u1 = Cell.settled(u1);
            u2 = Cell.settled(u2);
            turn.settle();
        }

        boolean rests() {
            return w1 == 0 && w2 == 0 && u1 == 0 && u2 == 0 && turn.rests();
        }

        Response below(double hz) {
            Response once = lowPass.response(hz);
            return once.times(once).times(turn.response(hz));
        }

        Response above(double hz) {
            Response once = highPass.response(hz);
            return once.times(once);
        }
    }

    /**
     * @param splits 1 to 4 frequencies in Hz, rising, below half the rate
     * @throws IllegalArgumentException if they are not
     */
    public LinkwitzRiley(double rate, double... splits) {
        if (splits.length < 1 || splits.length > 4) throw new IllegalArgumentException("1 to 4 splits, not " + splits.length);
        for (int k = 0; k < splits.length; k++) {
            if (k > 0 && splits[k] <= splits[k - 1]) throw new IllegalArgumentException("splits must rise: " + splits[k]);
        }
        List<Biquad> allPasses = sum(rate, splits);
        this.splits = new Split[splits.length];
        for (int k = 0; k < splits.length; k++) this.splits[k] = new Split(rate, splits[k], allPasses.subList(k + 1, splits.length));
    }

    /** One more than there are splits. */
    public int bands() {
        return splits.length + 1;
    }

    /** Reads n samples of {@code x} and fills as many of {@code bands[0]} (lowest) to {@code bands[bands() - 1]}, all from index 0. */
    public void split(double[] x, double[][] bands, int n) {
        double[] rest = bands[splits.length];
        System.arraycopy(x, 0, rest, 0, n);
        for (int k = 0; k < splits.length; k++) splits[k].process(rest, bands[k], n);
    }

    /** To be called at the end of each cell. */
    public void settle() {
        for (Split s : splits) s.settle();
    }

    /** Whether silence leaves it as silence; at the border of a cell. */
    public boolean rests() {
        for (Split s : splits) if (!s.rests()) return false;
        return true;
    }

    /** Of one band, 0 the lowest. */
    Response response(int band, double hz) {
        Response all = Response.UNITY;
        for (int k = 0; k < band; k++) all = all.times(splits[k].above(hz));
        return band < splits.length ? all.times(splits[band].below(hz)) : all;
    }

    /** What all bands together do to the signal if none is changed: these all-passes, one for each split. */
    public static List<Biquad> sum(double rate, double... splits) {
        return Arrays.stream(splits).mapToObj(hz -> Biquad.allPass(rate, hz, Biquad.BUTTERWORTH)).toList();
    }
}
