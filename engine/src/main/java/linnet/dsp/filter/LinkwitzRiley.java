package linnet.dsp.filter;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;

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
    private final List<Biquad> allPasses = new ArrayList<>();
    /** For each split what is taken off below it, and what goes on to the next. */
    private final List<Cascade> below = new ArrayList<>(), above = new ArrayList<>();

    /**
     * @param splits 1 to 4 frequencies in Hz, rising, below half the rate
     * @throws IllegalArgumentException if they are not
     */
    public LinkwitzRiley(double rate, double... splits) {
        if (splits.length < 1 || splits.length > 4) throw new IllegalArgumentException("1 to 4 splits, not " + splits.length);
        for (double hz : splits) allPasses.add(Biquad.allPass(rate, hz, Biquad.BUTTERWORTH));
        for (int k = 0; k < splits.length; k++) {
            if (k > 0 && splits[k] <= splits[k - 1]) throw new IllegalArgumentException("splits must rise: " + splits[k]);
            Biquad low = Biquad.lowPass(rate, splits[k], Biquad.BUTTERWORTH);
            Biquad high = Biquad.highPass(rate, splits[k], Biquad.BUTTERWORTH);
            List<Biquad> band = new ArrayList<>(List.of(low, low));
            band.addAll(allPasses.subList(k + 1, splits.length));
            below.add(new Cascade(band));
            above.add(new Cascade(high, high));
        }
    }

    /** One more than there are splits. */
    public int bands() {
        return below.size() + 1;
    }

    /** Reads n samples of {@code x} and fills as many of {@code bands[0]} (lowest) to {@code bands[bands() - 1]}, all from index 0. */
    public void split(double[] x, double[][] bands, int n) {
        double[] rest = bands[below.size()];
        System.arraycopy(x, 0, rest, 0, n);
        for (int k = 0; k < below.size(); k++) {
            System.arraycopy(rest, 0, bands[k], 0, n);
            below.get(k).process(bands[k], n);
            above.get(k).process(rest, n);
        }
    }

    /** To be called at the end of each cell. */
    public void settle() {
        for (Cascade c : below) c.settle();
        for (Cascade c : above) c.settle();
    }

    /** Of one band, 0 the lowest. */
    public Response response(int band, double hz) {
        Response all = Response.UNITY;
        for (int k = 0; k < band; k++) all = all.times(above.get(k).response(hz));
        return band < below.size() ? all.times(below.get(band).response(hz)) : all;
    }

    /** What all bands together do to the signal if none is changed: these all-passes, one for each split. */
    public List<Biquad> sum() {
        return Collections.unmodifiableList(allPasses);
    }
}
