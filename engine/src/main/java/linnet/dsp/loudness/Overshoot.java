package linnet.dsp.loudness;

/**
 * How far what an interpolator reads between two samples can lie above the samples. A phase of it gives some sum of these two, which is
 * nearly the straight line between them, and of second differences near it. Sound is smooth beside the rate, so these are small: where the largest of
 * both cannot reach what counts, nothing need be read, which is most of a take.
 *
 * @param straight no reading is above the largest sample times this
 * @param bent and the largest second difference times this
 */
public record Overshoot(double straight, double bent) {
    private static final double ROUNDING = 1.000001;

    /**
     * Of an interpolator.
     *
     * @param first index of the tap on the earlier of the two samples
     * @param phases taps of each point between them
     */
    public static Overshoot of(int first, double[]... phases) {
        double straight = 0, bent = 0;
        for (double[] phase : phases) {
            double[] line = line(first, phase);
            straight = Math.max(straight, Math.abs(line[0]) + Math.abs(line[1]));
            bent = Math.max(bent, bent(first, phase, line));
        }
        return new Overshoot(straight * ROUNDING, bent * ROUNDING);
    }

    /** The weights of the two samples that leave only second differences of a phase: they have its sum, and its centre. */
    private static double[] line(int first, double[] phase) {
        double sum = 0, moment = 0;
        for (int k = 0; k < phase.length; k++) {
            sum += phase[k];
            moment += (k - first) * phase[k];
        }
        return new double[] {sum - moment, moment};
    }

    /** What is left of a phase is summed up twice; then it weighs second differences. */
    private static double bent(int first, double[] phase, double[] line) {
        double[] rest = phase.clone();
        rest[first] -= line[0];
        rest[first + 1] -= line[1];
        double once = 0, twice = 0, all = 0;
        for (double r : rest) {
            once += r;
            twice += once;
            all += Math.abs(twice);
        }
        return all;
    }

    /** For what both may read. */
    public Overshoot or(Overshoot other) {
        return new Overshoot(Math.max(straight, other.straight), Math.max(bent, other.bent));
    }

    /**
     * Whether a reading among the first n samples may be above this.
     *
     * @param highest magnitude of a sample among them
     */
    public boolean mayReach(double above, double highest, double[] x, int n) {
        // No second difference is more than four times as high as what it is one of; so of most quiet stretches none is looked at.
        return highest * (straight + 4 * bent) > above && most(highest, x, n) > above;
    }

    /**
     * No reading among the first n samples is above it.
     *
     * @param highest magnitude of a sample among them
     */
    double most(double highest, double[] x, int n) {
        return highest * straight + mostBent(x, n) * bent;
    }

    /** The largest magnitude of a sample; four at a time: each of them waits for itself only. */
    public static double highest(double[] x, int n) {
        double a = 0, b = 0, c = 0, d = 0;
        int i = 0;
        for (; i + 4 <= n; i += 4) {
            double p = Math.abs(x[i]), q = Math.abs(x[i + 1]), r = Math.abs(x[i + 2]), s = Math.abs(x[i + 3]);
            a = p > a ? p : a;
            b = q > b ? q : b;
            c = r > c ? r : c;
            d = s > d ? s : d;
        }
        for (; i < n; i++) a = Math.max(a, Math.abs(x[i]));
        return Math.max(Math.max(a, b), Math.max(c, d));
    }

    private static double mostBent(double[] x, int n) {
        double a = 0, b = 0, c = 0, d = 0;
        int i = 2;
        for (; i + 4 <= n; i += 4) {
            double p = Math.abs(x[i - 2] - 2 * x[i - 1] + x[i]), q = Math.abs(x[i - 1] - 2 * x[i] + x[i + 1]);
            double r = Math.abs(x[i] - 2 * x[i + 1] + x[i + 2]), s = Math.abs(x[i + 1] - 2 * x[i + 2] + x[i + 3]);
            a = p > a ? p : a;
            b = q > b ? q : b;
            c = r > c ? r : c;
            d = s > d ? s : d;
        }
        for (; i < n; i++) a = Math.max(a, Math.abs(x[i - 2] - 2 * x[i - 1] + x[i]));
        return Math.max(Math.max(a, b), Math.max(c, d));
    }
}
