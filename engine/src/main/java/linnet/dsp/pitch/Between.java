package linnet.dsp.pitch;

import linnet.dsp.resample.Kaiser;

/**
 * Reads a sound between its samples: a sinc under a Kaiser window of 80 dB, flat within 0.01 dB up to 0.42 of the rate. On a
 * sample it gives that sample, to the bit, as long as nothing is cut. The weights of 256 places between two samples are
 * kept, those between them lie on straight lines (error below -90 dB).
 */
final class Between {
    private static final int PLACES = 256, SIDE = 16;

    private final boolean whole;
    private final int side;
    private final double[][] weights = new double[PLACES + 1][];
    private final double[] now;

    /** @param cut share of the band that passes, 1 or less: what is read faster than it was written must be cut before */
    Between(double cut) {
        this(cut, (int) Math.ceil(SIDE / cut), 80);
    }

    /** Lets through only what lies below {@code hz}, with a slope some 3 kHz wide at 48 kHz. */
    static Between below(double hz, double rate) {
        return new Between(Math.min(0.9, 2 * hz / rate), SIDE, 40);
    }

    /** The same with a slope a quarter as wide, which costs four times as much. */
    static Between steeplyBelow(double hz, double rate) {
        return new Between(Math.min(0.9, 2 * hz / rate), 4 * SIDE, 40);
    }

    private Between(double cut, int side, double stopDb) {
        this.whole = cut == 1;
        this.side = side;
        double beta = Kaiser.beta(stopDb);
        now = new double[2 * side];
        for (int p = 0; p <= PLACES; p++) {
            double[] h = weights[p] = new double[2 * side];
            double sum = 0;
            for (int j = 0; j < h.length; j++) {
                double x = j - (side - 1) - (double) p / PLACES;
                // The sine is exactly 0 a whole number of samples away, which rounding would not quite reach.
                boolean elsewhere = whole && x != 0 && x == Math.rint(x);
                h[j] = elsewhere ? 0 : Kaiser.sinc(cut * x) * Kaiser.at(x / side, beta);
                sum += h[j];
            }
            for (int j = 0; j < h.length; j++) h[j] /= sum;
        }
    }

    /** Samples it needs on either side of a place. */
    int side() {
        return side;
    }

    /** Writes {@code n} samples a whole sample apart, the first at place {@code at} of {@code x}, to {@code y} from index 0. */
    void read(double[] x, double at, double[] y, int n) {
        int first = (int) Math.floor(at);
        double place = (at - first) * PLACES;
        if (place == 0 && whole) {
            System.arraycopy(x, first, y, 0, n);
            return;
        }
        int p = (int) place;
        double more = place - p;
        double[] a = weights[p], b = weights[p + 1];
        for (int j = 0; j < now.length; j++) now[j] = a[j] + more * (b[j] - a[j]);
        int base = first - (side - 1);
        // Four taps at a time, so that a sum is loaded and stored a quarter as often.
        for (int j = 0; j < now.length; j += 4) {
            double h0 = now[j], h1 = now[j + 1], h2 = now[j + 2], h3 = now[j + 3];
            int o = base + j;
            if (j == 0) for (int i = 0; i < n; i++) y[i] = h0 * x[o + i] + h1 * x[o + i + 1] + h2 * x[o + i + 2] + h3 * x[o + i + 3];
            else for (int i = 0; i < n; i++) y[i] += h0 * x[o + i] + h1 * x[o + i + 1] + h2 * x[o + i + 2] + h3 * x[o + i + 3];
        }
    }

    /**
     * The same, {@code step} samples of the sound apart: {@code x[0]} is its sample {@code start}, and the first is {@code away}
     * steps after {@code from}.
     */
    void read(double[] x, long start, double from, double away, double step, double[] y, int n) {
        for (int i = 0; i < n; i++) y[i] = at(x, start, from + (away + i) * step);
    }

    private double at(double[] x, long start, double at) {
        long first = (long) Math.floor(at);
        double place = (at - first) * PLACES;
        int p = (int) place;
        double more = place - p;
        double[] a = weights[p], b = weights[p + 1];
        int base = (int) (first - start) - (side - 1);
        double here = 0, there = 0;
        for (int j = 0; j < a.length; j++) {
            double v = x[base + j];
            here += a[j] * v;
            there += b[j] * v;
        }
        return here + more * (there - here);
    }
}
